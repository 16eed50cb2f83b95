"""On the map every sheet is as it is on the table, only smaller, and apart from the others."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.sheets.map_plans import A4, sheets_plan
from tests.strategies import lengths
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.sheets.lettering import depth_of, height_of, width_of
from tiler.sheets.mapfit import HEADING, STEPS, fit, size_words

SIZES = st.lists(st.tuples(st.integers(1, 5), st.integers(1, 5)), min_size=1, max_size=7)


@settings(deadline=None, max_examples=60)
@given(SIZES, lengths(110, 300), lengths(90, 400))
def test_sheets_keep_their_shape_and_stay_apart_inside_the_frame(
    sizes: list[tuple[int, int]], width: float, height: float
) -> None:
    """One factor for all and both ways; each sheet inside; clear gaps between any two."""
    _, plan = sheets_plan(sizes)
    frame = Bounds(12, 34, 12 + width, 34 + height)
    fitted = fit(plan, frame)
    assert {cells for cells, _ in fitted.sheets} == set(plan.sheets)
    boxes = []
    for cells, at in fitted.sheets:
        assert (at.a, at.b, at.c, at.d) == (fitted.factor, 0, 0, fitted.factor)
        boxes.append(bounds_of([plan.grid.core(cell).moved(at) for cell in cells]))
    for box in boxes:
        assert frame.grown(1e-6).holds(box)
        assert fitted.extent.grown(1e-6).holds(box)
    for one, other in combinations(boxes, 2):
        assert not one.grown(1.4).meets(other.grown(1.4))


@settings(deadline=None, max_examples=60)
@given(SIZES, lengths(110, 300), lengths(90, 400))
def test_headings_keep_off_sheets_and_off_each_other(
    sizes: list[tuple[int, int]], width: float, height: float
) -> None:
    """Every sheet of several pages has its heading, all single pages have one together."""
    _, plan = sheets_plan(sizes)
    frame = Bounds(0, 0, width, height)
    fitted = fit(plan, frame)
    large = sum(size != (1, 1) for size in sizes)
    assert len(fitted.headings) == large + (large < len(sizes))
    words = []
    for heading in fitted.headings:
        x, y = heading.at
        wide = width_of(heading.text, heading.size_pt, bold=True)
        high, low = height_of(heading.size_pt), depth_of(heading.size_pt)
        words.append(Bounds(x, y - low, x + wide, y + high))
    boxes = [bounds_of([plan.grid.core(c).moved(at) for c in cells]) for cells, at in fitted.sheets]
    for one, other in combinations([*words, *boxes], 2):
        assert not one.grown(-0.01).meets(other.grown(-0.01))
    for box in words:
        assert frame.grown(0.1).holds(box)


@settings(deadline=None)
@given(st.integers(1, 6), st.integers(2, 6), lengths(60, 300), lengths(60, 300))
def test_a_single_sheet_is_as_large_as_the_frame_allows(
    rows: int, columns: int, width: float, height: float
) -> None:
    """By the rule of three: whichever side fills the frame first, beside steps and heading."""
    _, plan = sheets_plan([(rows, columns)])
    sheet = plan.grid.bounds
    by_rule = min((width - STEPS) / sheet.width, (height - HEADING) / sheet.height)
    fitted = fit(plan, Bounds(0, 0, width, height))
    # Few pages are not drawn larger than is of use: 42 mm across.
    assert fitted.factor == pytest.approx(min(by_rule, 42.0 / min(A4.pitch)), rel=1e-6)


def test_sizes_are_told_in_centimetres_and_inches() -> None:
    """1080 by 720 mm are 42.5 by 28.3 in."""
    assert size_words(Bounds(0, 0, 1080, 720)) == "108 × 72 cm (43 × 28 in)"
