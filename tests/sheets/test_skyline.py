"""Boxes on a strip: apart, inside, and packed as by hand."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import lengths
from tiler.sheets.skyline import packed

_SIZES = st.lists(st.tuples(lengths(5, 200), lengths(5, 300)), min_size=1, max_size=12)


@given(_SIZES)
def test_boxes_lie_apart_inside_the_strip(sizes: list[tuple[float, float]]) -> None:
    """No two share any room, and none leaves the strip at either side or at the top."""
    boxes = [
        (left, down, left + wide, down + high)
        for (left, down), (wide, high) in zip(packed(sizes, 200.0), sizes, strict=True)
    ]
    assert all(box[0] >= 0 and box[1] >= 0 and box[2] <= 200 + 1e-6 for box in boxes)
    for one, other in combinations(boxes, 2):
        across = min(one[2], other[2]) - max(one[0], other[0])
        down = min(one[3], other[3]) - max(one[1], other[1])
        assert across <= 1e-6 or down <= 1e-6


@given(_SIZES)
def test_each_box_is_as_high_up_as_what_is_above_it_lets_it(
    sizes: list[tuple[float, float]],
) -> None:
    """Moved up a little, a box would meet another one or leave the strip."""
    placed = packed(sizes, 200.0)
    boxes = [
        (left, down, left + wide, down + high)
        for (left, down), (wide, high) in zip(placed, sizes, strict=True)
    ]
    for number, (left, down, right, _) in enumerate(boxes):
        above = [box[3] for box in boxes[:number] if min(box[2], right) - max(box[0], left) > 1e-6]
        assert abs(down - max(above, default=0.0)) < 1e-6


def test_a_small_box_goes_under_a_short_one_and_not_under_a_tall_one() -> None:
    """Three columns of 100, 60 and 30 high; the next box of 40 wide goes below the 30."""
    sizes = [(40, 100), (40, 60), (40, 30), (40, 20)]
    assert packed(sizes, 120.0) == [(0, 0), (40, 0), (80, 0), (80, 30)]
