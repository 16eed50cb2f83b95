"""Blocks dealt into columns: in order, apart, as low as it goes."""

from __future__ import annotations

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from tiler.sheets.flow import Block, flowed


@given(st.lists(st.integers(1, 60), min_size=1, max_size=12), st.integers(80, 900))
def test_blocks_stay_in_order_and_share_no_room(heights: list[int], width: int) -> None:
    """Each begins below the one before it, or at the head of a column to the right."""
    flow = flowed(lambda _: [Block((), h) for h in heights], width, (60, 120), 8.0, 10.0)
    ends = [(s.x, s.y - b.height) for s, b in zip(flow.starts, flow.blocks, strict=True)]
    for (before, end), start in pairwise(zip(flow.starts, ends, strict=True)):
        after = start[0]
        assert (after.x == before.x and abs(after.y - end[1]) < 1e-9) or (
            after.x > before.x and after.y == 0
        )
    assert flow.height >= max(-end[1] for end in ends) - 1e-9
    assert max(start.x for start in flow.starts) + min(60, width) <= width + 1e-9


@given(st.lists(st.integers(1, 60), min_size=1, max_size=12))
def test_no_order_in_columns_is_lower(heights: list[int]) -> None:
    """Against every way to cut the list into three runs, to the step of a millimetre."""
    width = 3 * 60 + 2 * 8
    flow = flowed(lambda _: [Block((), h) for h in heights], width, (60, 60), 8.0, 0.0)
    count = len(heights)
    best = min(
        max(sum(heights[:a]), sum(heights[a:b]), sum(heights[b:]))
        for a in range(count + 1)
        for b in range(a, count + 1)
    )
    assert best <= flow.height <= best + 1.0
