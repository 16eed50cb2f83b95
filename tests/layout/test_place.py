"""How pieces are laid on the sheet: apart, inside, never mirrored, always the same."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import pytest
import shapely
from hypothesis import given

from tests.demos import DEMOS, PAPERS, pattern_of_demo, plan_of
from tests.drawing import draws
from tests.laying import laid
from tests.strategies import moved, pattern_of, patterns, rectangular
from tiler.layout.ink import paths_of
from tiler.layout.packing.options import GAP, Packing
from tiler.layout.papers import find_paper
from tiler.layout.place import MOST_PAGES, place
from tiler.layout.plan import Placement, Plan
from tiler.layout.tiles import Grid, PageSetup
from tiler.layout.units import units_of
from tiler.pattern.affine import Affine
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Pattern

UPRIGHT = PageSetup(find_paper("a4"))
LYING = PageSetup(find_paper("a4"), landscape=True)


def extent(placement: Placement) -> Bounds:
    """The exact extent of everything that is drawn for a placed piece."""
    return bounds_of([path.moved(placement.at).bounds for path in paths_of(placement.piece)])


def body(placement: Placement) -> shapely.Geometry:
    """The paper that is cut out for a piece, on the sheet, by shapely alone."""
    rings = [
        shapely.Polygon([placement.at(p) for p in outline.path.flattened(0.02)])
        for outline in placement.piece.outlines
    ]
    return shapely.union_all([shapely.make_valid(ring) for ring in rings])


def check_sound(plan: Plan, pattern: Pattern, gap: float = GAP) -> None:
    """Every piece once, in order, inside the sheet, apart from the others, rigid, not mirrored."""
    assert [p.piece for p in plan.placements] == list(pattern.pieces)
    sheet = plan.grid.bounds
    for placement in plan.placements:
        at = placement.at
        assert at.determinant == pytest.approx(1, abs=1e-9)
        assert (at.a, at.b) == pytest.approx((at.d, -at.c), abs=1e-9)
        box = extent(placement)
        assert box.left >= sheet.left + 0.5
        assert box.bottom >= sheet.bottom + 0.5
        assert box.right <= sheet.right - 0.5
        assert box.top <= sheet.top - 0.5
    together = {frozenset(pair) for pair in pattern.joined}
    for one, other in combinations(plan.placements, 2):
        if frozenset((one.piece.name, other.piece.name)) in together:
            assert one.at == other.at
            continue
        # Bodies are found on chords, which stay within 0.05 mm of each line.
        assert body(one).distance(body(other)) >= gap - 0.2, (one.piece.name, other.piece.name)
    windows = shapely.union_all([shapely.box(*plan.grid.window(cell)) for cell in plan.cells])
    for placement in plan.placements:
        for path in paths_of(placement.piece):
            points = [placement.at(p) for p in path.flattened(0.05)]
            line = shapely.LineString(points)
            assert shapely.difference(line, windows).length < 0.1


@draws(6)
@given(patterns(most=5, largest=300))
def test_pieces_lie_apart_inside_the_sheet_and_are_never_mirrored(pattern: Pattern) -> None:
    """A piece may turn, keeps its face, and some paper round it."""
    check_sound(place(pattern, [UPRIGHT, LYING]), pattern)


@pytest.mark.parametrize("demo", DEMOS)
@pytest.mark.parametrize("paper", PAPERS)
def test_the_demos_lie_apart_inside_the_sheet(demo: str, paper: str) -> None:
    """The same holds for the garments that ship with the tool."""
    check_sound(plan_of(demo, paper), pattern_of_demo(demo))


@draws(3)
@given(patterns(most=4))
def test_the_same_pattern_is_always_laid_the_same_way(pattern: Pattern) -> None:
    """Nothing depends on chance, on object identity or on the order of a set."""
    first, second = (laid(pattern, [UPRIGHT, LYING]) for _ in range(2))
    assert first == second


@draws(2)
@given(patterns(most=4))
def test_of_two_papers_the_one_with_fewer_pages_is_taken(pattern: Pattern) -> None:
    """Pieces that stay the way up they are drawn: as few pages as on the better paper alone."""
    still = Packing("quick", turn=False)
    both = len(laid(pattern, [UPRIGHT, LYING], still).cells)
    alone = [len(laid(pattern, [setup], still).cells) for setup in (UPRIGHT, LYING)]
    assert both == min(alone)
    assert both == len(laid(pattern, [LYING, UPRIGHT], still).cells)


@draws(3)
@given(patterns(most=4))
def test_where_pieces_may_turn_a_second_paper_never_takes_more_pages(pattern: Pattern) -> None:
    """The search packs the first one only: what lies on one can be turned to lie on the other."""
    both = len(laid(pattern, [UPRIGHT, LYING]).cells)
    assert both <= len(laid(pattern, [UPRIGHT]).cells)


@draws(4)
@given(patterns(most=1))
def test_a_piece_alone_takes_no_more_than_the_better_of_its_two_turns(pattern: Pattern) -> None:
    """As drawn or turned: at most the whole grid of the turn that needs the smaller one."""
    bounds = pattern.pieces[0].bounds
    grids = [
        Grid.smallest(UPRIGHT, width + 2.2, height + 2.2)
        for width, height in ((bounds.width, bounds.height), (bounds.height, bounds.width))
    ]
    cells = place(pattern, [UPRIGHT]).cells
    assert len(cells) <= min(grid.rows * grid.columns for grid in grids)


def test_what_fits_on_one_page_takes_one_page() -> None:
    """A4 upright shows 183.2 x 270.2 mm: a piece of 181 x 268 leaves 1 mm all round."""
    plan = place(pattern_of(rectangular("Pocket", 181, 268)), [UPRIGHT])
    assert [cell.name for cell in plan.cells] == ["A1"]
    turned = place(pattern_of(rectangular("Pocket", 268, 181)), [UPRIGHT])
    assert [cell.name for cell in turned.cells] == ["A1"]
    assert turned.placements[0].at.b != 0


def test_a_wide_piece_makes_the_paper_lie() -> None:
    """Where only the paper may turn to save a page, it does."""
    wide = rectangular("Yoke", 260, 180)
    slim = rectangular("Cuff", 120, 60)
    plan = place(pattern_of(wide), [UPRIGHT, LYING])
    assert len(plan.cells) == 1
    assert len(place(pattern_of(wide, slim), [UPRIGHT, LYING]).cells) == 2


def test_pages_without_ink_are_left_out() -> None:
    """The middle of a large square is blank, so those pages are not printed."""
    plan = place(pattern_of(rectangular("Cloth", 1400, 1400)), [UPRIGHT])
    assert len(plan.cells) < plan.grid.rows * plan.grid.columns


def test_small_pieces_share_pages() -> None:
    """Four pieces of a quarter page each lie on one page."""
    names = ("Left cuff", "Right cuff", "Loop", "Tab")
    pattern = pattern_of(*(rectangular(name, 80, 120) for name in names))
    assert len(place(pattern, [UPRIGHT]).cells) == 1


def test_a_drawing_in_the_wrong_unit_is_told_and_not_printed() -> None:
    """A piece of 40 x 30 m would take thousands of pages."""
    outline = rectangular("Front", 40_000, 30_000)
    with pytest.raises(PatternError, match=f"more than {MOST_PAGES} pages") as told:
        place(pattern_of(outline), [UPRIGHT, LYING])
    assert "right unit" in str(told.value)


def test_joined_pieces_are_placed_as_one() -> None:
    """Both get the same turn and shift, and nothing else comes between them."""
    left, right = rectangular("Front", 150, 400), rectangular("Back", 140, 400)
    left = moved(left, Affine.move(-150, 0))
    pattern = pattern_of(
        rectangular("Cuff", 100, 60),
        left,
        rectangular("Loop", 90, 50),
        right,
        joined=(("Front", "Back"),),
    )
    plan = place(pattern, [UPRIGHT, LYING])
    check_sound(plan, pattern)
    front, back = plan.placements[1], plan.placements[3]
    assert front.at == back.at
    both = extent(front).joined(extent(back))
    assert sorted((both.width, both.height)) == pytest.approx([290, 400])


def test_a_unit_is_a_piece_or_a_joined_pair() -> None:
    """Every piece is in one unit; a pair that has lost a piece is a piece alone."""
    front, back, cuff = (rectangular(name, 50, 50) for name in ("Front", "Back", "Cuff"))
    pair = (("Back", "Front"),)
    assert units_of(pattern_of(front, cuff, back, joined=pair)) == ((front, back), (cuff,))
    assert units_of(pattern_of(front, cuff, joined=pair)) == ((front,), (cuff,))


def test_progress_tells_the_best_so_far() -> None:
    """Whoever waits sees a steady count, and pages that only get fewer."""
    seen: list[tuple[int, int, int]] = []
    plan = place(
        pattern_of(rectangular("Front", 300, 500), rectangular("Back", 200, 300)),
        [UPRIGHT, LYING],
        progress=lambda pages, done, total: seen.append((pages, done, total)),
    )
    pages, done, totals = zip(*seen, strict=True)
    assert list(done) == sorted(done)
    assert len(set(totals)) == 1
    assert all(0 <= count <= totals[0] for count in done)
    assert list(pages) == sorted(pages, reverse=True)
    assert pages[-1] >= len(plan.cells)


def test_pieces_that_are_kept_together_share_a_page_with_one_another() -> None:
    """Two large pieces would lie on pages of their own; the group makes them one sheet."""
    names = ("Front", "Back", "Loop")
    pieces = [rectangular("Front", 150, 250), rectangular("Back", 160, 240)]
    pattern = replace(
        pattern_of(*pieces, rectangular("Loop", 40, 100)), together=(("Front", "Back"),)
    )
    plan = place(pattern, [UPRIGHT])
    check_sound(plan, pattern)
    pages = {
        placement.piece.name: {
            cell
            for cell in plan.cells
            if shapely.box(*plan.grid.core(cell)).intersects(body(placement))
        }
        for placement in plan.placements
    }
    assert set(pages) == set(names)
    assert pages["Front"] & pages["Back"]


def test_a_piece_that_fits_a_page_is_not_split_on_request() -> None:
    """Five pieces of 100 x 150 mm: whole ones take three pages at least, two on each."""
    pattern = pattern_of(*(rectangular(f"Part {n}", 120, 150) for n in range(5)))
    plan = place(pattern, [UPRIGHT], Packing(effort="quick", small_whole=True))
    check_sound(plan, pattern)
    for placement in plan.placements:
        box = extent(placement)
        assert any(plan.grid.window(cell).holds(box) for cell in plan.cells)


def test_what_is_split_all_the_same_is_told() -> None:
    """Groups may leave no way to keep every piece whole; the tally names those that are not."""
    bags = [rectangular(f"Bag {k}", 130 - 9 * k, 90) for k in range(6)]
    pattern = replace(
        pattern_of(*bags, rectangular("Skirt", 380, 520)),
        together=(("Bag 1", "Bag 4"), ("Bag 2", "Bag 5", "Skirt")),
    )
    plan = place(pattern, [UPRIGHT], Packing(effort="quick", small_whole=True, gap=10))
    check_sound(plan, pattern, 10)
    windows = [plan.grid.window(cell) for cell in plan.cells]
    split = {
        placement.piece.name
        for placement in plan.placements
        if placement.piece.name != "Skirt"
        and not any(window.holds(extent(placement)) for window in windows)
    }
    assert plan.tally is not None
    assert set(plan.tally.split) == split


def test_pieces_do_not_turn_when_they_must_not() -> None:
    """Not even where a turn would save a page."""
    pattern = pattern_of(rectangular("Yoke", 260, 100), rectangular("Cuff", 250, 60))
    plan = place(pattern, [UPRIGHT], Packing(effort="quick", turn=False))
    check_sound(plan, pattern)
    assert all(placement.at[:4] == (1, 0, 0, 1) for placement in plan.placements)
    assert len(place(pattern, [UPRIGHT]).cells) == 1
    assert len(place(pattern, [UPRIGHT, LYING], Packing("quick", turn=False)).cells) == 1


@pytest.mark.parametrize("demo", DEMOS)
def test_no_demo_takes_more_than_the_naive_layout_or_less_than_its_bound(demo: str) -> None:
    """The tally is what the report says."""
    plan = plan_of(demo, "a4")
    assert plan.tally is not None
    assert plan.tally.bound <= len(plan.cells) < plan.tally.naive


@draws(3)
@given(patterns(most=3))
def test_where_a_drawing_lies_on_its_canvas_does_not_matter(pattern: Pattern) -> None:
    """Shifted drawings need as many pages; a piece as wide as high may turn by a rounding error."""
    shifted = pattern_of(*(moved(p, Affine.move(-1000, 2000)) for p in pattern.pieces))
    here, there = (laid(p, [UPRIGHT]) for p in (pattern, shifted))
    assert len(here.cells) == len(there.cells)
    for one, other in zip(here.placements, there.placements, strict=True):
        sides = [sorted((extent(p).width, extent(p).height)) for p in (one, other)]
        assert sides[0] == pytest.approx(sides[1], abs=1e-6)
