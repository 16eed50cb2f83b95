"""Every page says its own name and those of the pieces on it, to be read from where one stands."""

from __future__ import annotations

import pytest
import shapely
import shapely.affinity

from tests.demos import each_publication, pattern_of_demo, plan_of, sheets_of
from tests.printed import PrintedWords, fills_on, words_on
from tests.strategies import pattern_of, rectangular
from tiler.layout.papers import find_paper
from tiler.layout.plan import Placement, Plan
from tiler.layout.tiles import Block, Cell, Grid, PageSetup
from tiler.pattern.affine import Affine, Point
from tiler.pattern.model import Piece
from tiler.sheets.drawing import Page
from tiler.sheets.label import how_to_cut
from tiler.sheets.publication import lay_out


def body_of(plan: Plan, piece: Piece) -> shapely.Geometry:
    at = next(p.at for p in plan.placements if p.piece.name == piece.name)
    return shapely.union_all(
        [shapely.Polygon(o.path.moved(at).flattened(0.05)) for o in piece.outlines]
    )


def tag_of(page: Page) -> PrintedWords:
    [tag] = [w for w in words_on(page) if w.text == page.name and w.bold and w.size_pt >= 14]
    return tag


@each_publication
def test_each_page_has_its_name_at_twenty_points(demo: str, paper: str) -> None:
    """The demos' pages all have room for it: about 5 mm high, read at arm's length."""
    for _, page in sheets_of(demo, paper):
        assert tag_of(page).size_pt >= 20


@each_publication
def test_the_name_stands_outside_the_pieces_where_there_is_much_room(demo: str, paper: str) -> None:
    """An empty square of 60 mm on the page's own part holds the tag, so it is not in a piece."""
    pattern, plan = pattern_of_demo(demo), plan_of(demo, paper)
    bodies = shapely.union_all([body_of(plan, piece) for piece in pattern.pieces])
    for cell, page in sheets_of(demo, paper):
        origin = plan.grid.origin(cell)
        core = shapely.box(*plan.grid.core(cell))
        # What a square of 60 mm can reach of the paper that no piece takes.
        free = (core - bodies).buffer(-30 * 2**0.5)
        if not free.is_empty:
            ink = shapely.affinity.translate(tag_of(page).ink, *origin)
            assert not ink.intersects(bodies), page.name


@each_publication
def test_each_page_with_much_of_a_piece_tells_its_name_and_how_to_cut_it(
    demo: str, paper: str
) -> None:
    """On every page of whose part of the sheet a piece takes more than a fifth, whole, upright."""
    pattern, plan = pattern_of_demo(demo), plan_of(demo, paper)
    missing = []
    for piece in pattern.pieces:
        body = body_of(plan, piece)
        for cell, page in sheets_of(demo, paper):
            core = shapely.box(*plan.grid.core(cell))
            if (body & core).area <= 0.2 * core.area:
                continue
            told = [w for w in words_on(page) if w.layer == piece.name and w.whole]
            text = " ".join(words.text for words in told)
            named = [w for w in told if w.bold and piece.name.startswith(w.text.split()[0])]
            if not all(part in text for part in (piece.name, *how_to_cut(piece))):
                missing.append((piece.name, page.name))
            elif max(w.size_pt for w in named) < 10 and not body.buffer(-40).is_empty:
                # On a strip narrower than 80 mm the words are as large as they fit.
                missing.append((piece.name, page.name, "too small"))
    assert missing == []


@each_publication
def test_the_rest_is_on_the_page_that_is_told(demo: str, paper: str) -> None:
    """Where a page says that the rest is on another one, the allowance is told there."""
    pages = {page.name: page for _, page in sheets_of(demo, paper)}
    for page in pages.values():
        for words in words_on(page):
            if words.layer and words.text.startswith("the rest: page "):
                there = pages[words.text.removeprefix("the rest: page ")]
                told = [w.text for w in words_on(there) if w.layer == words.layer]
                assert any("allowance" in text for text in told), (words.layer, there.name)


@pytest.fixture
def two_sheets() -> tuple[Plan, list[Page]]:
    """A sheet of two pages, and one of a single page."""
    setup = PageSetup(find_paper("a4"))
    wide, small = rectangular("Band", 300, 100), rectangular("Loop", 80, 60)
    apart = 2 * setup.bleed + 20.0
    grid = Grid(setup, 2, 2, (Block(0, 0, 1, 2, Point(0, apart)), Block(1, 0, 1, 1)))
    upper = grid.bounds_of_block(grid.blocks[0])
    plan = Plan(
        grid,
        (
            Placement(wide, Affine.move(upper.left + 20, upper.bottom + 20)),
            Placement(small, Affine.move(20, 20)),
        ),
        (Cell(0, 0), Cell(0, 1), Cell(1, 0)),
    )
    pages = lay_out(pattern_of(wide, small), plan).pages
    return plan, list(pages[-3:])


def test_the_small_sheet_shows_the_page_s_own_sheet_alone(
    two_sheets: tuple[Plan, list[Page]],
) -> None:
    """Of two pages the one is dark on the left and the other on the right; one alone has none."""
    _, pages = two_sheets
    dark = [[fill.ink for fill in fills_on(page) if 0.2 < fill.grey < 0.9] for page in pages]
    assert [len(found) for found in dark] == [1, 1, 0]
    (left,), (right,), _ = dark
    for page, cell in zip(pages, (left, right), strict=False):
        x0, y0, x1, y1 = cell.bounds
        # Two pages side by side, 180 by 267 and a bit: a cell is higher than wide.
        assert (y1 - y0) / (x1 - x0) == pytest.approx(270.2 / 181.6, rel=0.02)
        tag = tag_of(page).ink.bounds
        assert x0 > tag[2]
    assert [tag_of(page).text for page in pages] == ["A1", "A2", "B1"]
