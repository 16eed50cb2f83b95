"""The assembly map shows the sheet as it is, only smaller."""

from __future__ import annotations

import pytest
from hypothesis import given, settings

from tests.demos import each_publication, plan_of, sheets_of
from tests.printed import fills_on
from tests.strategies import lengths
from tiler.pattern.bounds import Bounds
from tiler.sheets.assembly import fit, thumbnail
from tiler.sheets.drawing import Stroke


@settings(deadline=None)
@given(lengths(30, 300), lengths(30, 300))
def test_the_map_fills_its_frame_without_distortion(width: float, height: float) -> None:
    """One factor both ways; one side of the frame is filled; nothing sticks out."""
    frame = Bounds(12, 34, 12 + width, 34 + height)
    sheet = plan_of("apron", "a4").grid.bounds
    at = fit(plan_of("apron", "a4"), frame)
    assert (at.a, at.b, at.c) == (at.d, 0, 0)
    box = sheet.moved(at)
    assert box.left >= frame.left - 1e-9
    assert box.right <= frame.right + 1e-9
    assert box.bottom >= frame.bottom - 1e-9
    assert box.top == pytest.approx(frame.top)
    filled = (box.width / frame.width, box.height / frame.height)
    assert max(filled) == pytest.approx(1)


@each_publication
def test_the_small_map_has_a_cell_for_every_page_and_the_outline_of_every_piece(
    demo: str, paper: str
) -> None:
    """Cells are the pages' own parts of the sheet, shrunk."""
    plan = plan_of(demo, paper)
    drawing, at = thumbnail(plan, 17, 17)
    strokes = [item for item in drawing.items if isinstance(item, Stroke)]
    boxes = [path.bounds for stroke in strokes for path in stroke.paths]
    for cell in plan.cells:
        core = plan.grid.core(cell).moved(at)
        assert any(box == pytest.approx(core, abs=1e-6) for box in boxes)
    for placement in plan.placements:
        for outline in placement.piece.outlines:
            ring = outline.path.moved(placement.at.then(at)).bounds
            assert any(box == pytest.approx(ring, abs=0.06) for box in boxes)


@each_publication
def test_each_page_darkens_its_own_cell_of_the_small_map(demo: str, paper: str) -> None:
    """The dark cell has the proportions of the page's part, and each page another one."""
    plan = plan_of(demo, paper)
    seen = set()
    for cell, page in sheets_of(demo, paper):
        dark = [fill.ink for fill in fills_on(page) if 0.2 < fill.grey < 0.9]
        assert len(dark) <= 1
        if dark:
            left, bottom, right, top = dark[0].bounds
            core = plan.grid.core(cell)
            shape = (right - left) / (top - bottom)
            assert shape == pytest.approx(core.width / core.height, rel=1e-3)
            # Where it lies on the small map, seen from the name beside it, differs by page.
            seen.add((cell, round(left, 3), round(bottom, 3)))
    assert len(seen) >= len(plan.cells) / 2
