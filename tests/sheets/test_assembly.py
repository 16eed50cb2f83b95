"""The assembly map shows the sheets as they are, only smaller."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely

from tests.demos import each_publication, plan_of, sheets_of
from tests.printed import fills_on, lines_on, words_on
from tests.sheets.map_plans import sheets_plan
from tests.sheets.test_nothing_overlaps import colliding_words, struck_words
from tiler.layout.plan import Plan
from tiler.pattern.bounds import Bounds
from tiler.sheets.assembly import PAGE_LINE, draw_map
from tiler.sheets.drawing import Page
from tiler.sheets.mapfit import fit
from tiler.sheets.maplabels import Numbers

FRAME = Bounds(10, 10, 190, 250)


def mapped(plan: Plan, whole: Plan | None = None, frame: Bounds = FRAME) -> Page:
    return Page("map", 200, 260, tuple(draw_map(plan, frame, Numbers.of(whole or plan)).items))


@each_publication
def test_the_map_shows_every_page_and_every_piece_where_it_is(demo: str, paper: str) -> None:
    """Each page's own part and each outline, as the map from sheet to frame has them."""
    plan = plan_of(demo, paper)
    page = mapped(plan)
    pages = [line.path.bounds for line in lines_on(page) if line.pen == PAGE_LINE]
    outlines = [line.path.bounds for line in lines_on(page) if line.pen.width > 0.3]
    for cells, at in fit(plan, FRAME).sheets:
        for cell in cells:
            core = plan.grid.core(cell).moved(at)
            assert any(box == pytest.approx(core, abs=1e-6) for box in pages)
        sheet = plan.grid.bounds_of_block(plan.grid.block_of(cells[0]))
        for placement in plan.placements:
            if sheet.holds(placement.piece.bounds.moved(placement.at)):
                for outline in placement.piece.outlines:
                    ring = outline.path.moved(placement.at.then(at)).bounds
                    assert any(box == pytest.approx(ring, abs=0.06) for box in outlines)
    assert len(pages) == len(plan.cells)


@each_publication
def test_words_on_the_map_can_be_read(demo: str, paper: str) -> None:
    """No words over others, no line through them, page names at least 7 points."""
    page = mapped(plan_of(demo, paper))
    assert colliding_words(page) == []
    assert struck_words(page, lambda _: True) == []
    assert min(words.size_pt for words in words_on(page)) >= 7


@each_publication
def test_a_name_on_the_map_stands_within_its_piece(demo: str, paper: str) -> None:
    """Whoever reads a name sees whose it is; pieces without room have their number instead."""
    plan = plan_of(demo, paper)
    page = mapped(plan)
    at = {cell: to for cells, to in fit(plan, FRAME).sheets for cell in cells}
    bold = [words for words in words_on(page) if words.bold]
    named = 0
    for number, placement in enumerate(plan.placements, start=1):
        middle = placement.piece.bounds.moved(placement.at).centre
        nearest = min(plan.cells, key=lambda c: plan.grid.core(c).centre.to(middle))
        whole = placement.at.then(at[nearest])
        shapes = [
            shapely.make_valid(shapely.Polygon(outline.path.moved(whole).flattened(0.02)))
            for outline in placement.piece.outlines
        ]
        body = shapely.union_all(shapes).buffer(0.1)
        parts = [w for w in bold if w.text in placement.piece.name and body.covers(w.ink)]
        numbers = [w for w in bold if w.text == str(number) and body.intersects(w.ink)]
        assert parts or numbers
        named += bool(parts)
    assert named * 2 >= len(plan.placements)


def test_joints_have_on_the_map_the_numbers_that_they_have_on_the_pages() -> None:
    """Between its two pages each; also where only some of the pieces are printed."""
    _, whole = sheets_plan([(2, 2), (1, 3)])
    kept = replace(
        whole,
        placements=whole.placements[1:],
        cells=tuple(cell for cell in whole.cells if cell.row == 2),
    )
    assert [w.text for w in words_on(mapped(whole)) if not w.bold] == ["1", "2", "3", "4", "5", "6"]
    assert [w.text for w in words_on(mapped(kept, whole)) if not w.bold] == ["5", "6"]
    page = mapped(whole)
    at = {cell: to for cells, to in fit(whole, FRAME).sheets for cell in cells}
    found = {w.text: w.ink for w in words_on(page) if not w.bold}
    for number, (one, other) in enumerate(whole.joints, start=1):
        boxes = [shapely.box(*whole.grid.core(c).moved(at[c])) for c in (one, other)]
        joint = shapely.intersection_all([box.buffer(1e-6) for box in boxes])
        assert joint.distance(found[str(number)]) < 1e-6


def test_single_pages_are_said_to_need_no_tape() -> None:
    """One heading for all of them, and no steps beside them."""
    _, plan = sheets_plan([(2, 2), (1, 1), (1, 1), (1, 1)])
    texts = [words.text for words in words_on(mapped(plan))]
    assert texts.count("Single pages: nothing to tape") == 1
    _, plan = sheets_plan([(1, 1), (1, 1)])
    drawn = draw_map(plan, FRAME, Numbers.of(plan))
    assert not drawn.joints
    assert not any(words.text.isdigit() for words in words_on(mapped(plan)))


def test_places_without_a_page_are_dotted_only_within_a_sheet() -> None:
    """A missing page in the middle is; the paper between two sheets is not."""
    _, plan = sheets_plan([(3, 3), (2, 2)])
    hole = plan.cells[4]
    page = mapped(replace(plan, cells=tuple(cell for cell in plan.cells if cell != hole)))
    dotted = [line.path.bounds for line in lines_on(page) if line.pen.dash]
    at = fit(plan, FRAME).sheets[0][1]
    assert dotted == [pytest.approx(plan.grid.core(hole).moved(at).grown(-0.3), abs=1e-6)]
    assert [line for line in lines_on(mapped(plan)) if line.pen.dash] == []


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
