"""Places in order of preference: tested late, each once, and never lost or mixed up."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from tiler.pattern.bounds import Bounds
from tiler.sheets.places import Boxes, Mask, Sifted, as_boxes, batches, shapes_of

numbers = st.lists(st.integers(0, 999), max_size=700, unique=True)


def boxes_of(lefts: list[int]) -> Boxes:
    """A box of 1 mm at each place."""
    return as_boxes([Bounds(x, 0, x + 1, 1) for x in lefts])


def even(boxes: Boxes) -> Mask:
    """Whether a box stands at an even place."""
    return boxes[:, 0] % 2 == 0


@given(numbers)
def test_batches_are_all_boxes_in_order(lefts: list[int]) -> None:
    """Put together again they are what was given."""
    boxes = boxes_of(lefts)
    assert [row for batch in batches(boxes) for row in batch.tolist()] == boxes.tolist()


@given(numbers, st.booleans())
def test_those_that_pass_come_first_and_each_keeps_its_order(
    lefts: list[int], others: bool
) -> None:
    """As a stable sort of all of them would have it, and the same again when asked again."""
    sifted = Sifted(boxes_of(lefts), even, others=others)
    wanted = sorted(lefts, key=lambda x: x % 2)
    if not others:
        wanted = [x for x in lefts if x % 2 == 0]
    assert sifted.all()[:, 0].tolist() == wanted
    assert sifted.all()[:, 0].tolist() == wanted


def test_boxes_are_tested_only_as_far_as_they_are_asked_for_and_once() -> None:
    """The first batch alone at first; going through all of them twice tests each box once."""
    tested: list[float] = []

    def passes(boxes: Boxes) -> Mask:
        tested.extend(boxes[:, 0].tolist())
        return np.ones(len(boxes), dtype=bool)

    sifted = Sifted(boxes_of(list(range(600))), passes, others=True)
    first = next(iter(sifted))
    assert tested == first[:, 0].tolist()
    assert len(tested) < 60
    assert len(sifted.all()) == len(sifted.all()) == 600
    assert tested == list(range(600))


def test_shapes_cover_their_boxes() -> None:
    """Left, bottom, right and top, in that order."""
    [shape] = shapes_of(as_boxes([Bounds(1, 2, 4, 8)]))
    assert shape.bounds == (1, 2, 4, 8)
    assert shapely.area(shape) == pytest.approx(3 * 6)
