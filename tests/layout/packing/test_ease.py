"""Whether units lie apart is measured in millimetres, by shapely."""

from __future__ import annotations

import pytest

from tests.layout.packing.sample_shapes import PITCH, rectangle
from tiler.layout.packing.ease import eased, keeps_apart
from tiler.pattern.affine import Affine

#: What a page of the sample shows beyond its cell on each side.
PAST = (1.6, 1.6)


@pytest.mark.parametrize(
    ("apart", "gap", "kept"),
    [(-5.0, 4.0, False), (2.0, 4.0, False), (4.0, 4.0, True), (6.0, 4.0, True), (0.5, 0.0, True)],
)
def test_two_units_of_a_sheet_have_the_gap_between_them(
    apart: float, gap: float, kept: bool
) -> None:
    shapes = [rectangle(0, 60, 60), rectangle(1, 60, 60)]
    at = [Affine.move(10, 10), Affine.move(10 + 60 + apart, 10)]
    assert keeps_apart(shapes, at, PITCH, PAST, gap) is kept


def test_units_of_two_sheets_need_no_gap() -> None:
    shapes = [rectangle(0, 60, 60), rectangle(1, 60, 60)]
    at = [Affine.move(10, 10), Affine.move(10 + 3 * PITCH[0], 10)]
    assert keeps_apart(shapes, at, PITCH, PAST, 2 * PITCH[0])


def test_what_lies_too_near_is_pushed_apart_on_its_page() -> None:
    shapes = [rectangle(0, 60, 60), rectangle(1, 60, 60)]
    at = [Affine.move(10, 10), Affine.move(71, 10)]
    found = eased(shapes, at, PITCH, PAST, 4.0)
    assert found is not None
    assert found[1].e - found[0].e - 60 >= 4.0 - 0.05
    assert keeps_apart(shapes, found, PITCH, PAST, 4.0)
