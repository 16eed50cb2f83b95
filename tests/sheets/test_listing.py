"""The list of pieces: which pages each piece is on, by name and by their place in the file."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.printed import words_on
from tests.sheets.map_plans import A4, sheets_plan
from tests.strategies import lengths, pieces
from tiler.layout.ink import chords_of
from tiler.layout.plan import Placement, Plan
from tiler.layout.settle import settle
from tiler.layout.tiles import Cell
from tiler.pattern.affine import Affine
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Piece
from tiler.sheets.drawing import Page
from tiler.sheets.listing import (
    draw_listing,
    entries_of,
    listing_height,
    names_in_runs,
    numbers_in_runs,
    pages_of,
)
from tiler.sheets.maplabels import Numbers


@settings(deadline=None, max_examples=60)
@given(pieces(), pieces("Back"), st.integers(0, 359), lengths(-600, 600), lengths(-600, 600))
def test_a_piece_at_any_turn_is_on_the_pages_that_its_lines_enter(
    one: Piece, other: Piece, turn: int, x: float, y: float
) -> None:
    """Judged by shapely: every page that the outline crosses, none that it stays 0.2 mm off."""
    at = [Affine.turn(turn).then(Affine.move(x, y)), Affine.move(-x, y)]
    settled = settle(A4, [chords_of(one), chords_of(other)], at)
    placements = tuple(Placement(p, a) for p, a in zip((one, other), settled.at, strict=True))
    plan = Plan(settled.grid, placements, settled.cells)
    for placement in placements:
        piece = placement.piece
        paths = [run.edge.path for run in piece.runs] + [line.path for line in piece.lines]
        paths += [mark.path for mark in piece.marks] + ([piece.grain] if piece.grain else [])
        ink = shapely.union_all(
            [shapely.LineString(path.moved(placement.at).flattened(0.01)) for path in paths]
        )
        block = plan.grid.block_of(pages_of(plan, placement)[0])
        found = set(pages_of(plan, placement))
        for cell in plan.cells:
            core = shapely.box(*plan.grid.core(cell))
            if block.holds(cell) and ink.intersects(core):
                assert cell in found
            if ink.distance(core) > 0.2:
                assert cell not in found


@given(st.sets(st.integers(1, 60), min_size=1))
def test_numbers_in_runs_say_the_same_as_one_by_one(numbers: set[int]) -> None:
    """Spelled out again, they are the numbers that were given."""
    spelled: list[int] = []
    for part in numbers_in_runs(sorted(numbers)):
        first, *rest = (int(word) for word in part.split("–"))
        spelled += range(first, (rest or [first])[0] + 1)
    assert spelled == sorted(numbers)


@given(st.sets(st.tuples(st.integers(0, 30), st.integers(0, 12)), min_size=1))
def test_names_in_runs_say_the_same_as_one_by_one(places: set[tuple[int, int]]) -> None:
    """A run stays in its row; spelled out again, it is the names that were given."""
    cells = [Cell(*place) for place in sorted(places)]
    spelled: list[str] = []
    for part in names_in_runs(cells):
        first, *rest = part.split("–")
        letters = first.rstrip("0123456789")
        last = (rest or [first])[0]
        assert last.startswith(letters)
        numbers = range(int(first[len(letters) :]), int(last[len(letters) :]) + 1)
        spelled += [f"{letters}{number}" for number in numbers]
    assert spelled == [cell.name for cell in cells]


def test_an_entry_names_the_pages_and_their_numbers_in_the_file() -> None:
    """Two pages before the pattern: A1 is the third of the file."""
    _, plan = sheets_plan([(2, 3), (1, 1)])
    first, second = entries_of(plan, {"Part 2": ("Cut with care.",)}, 2, Numbers.of(plan))
    assert (first.number, first.name) == (1, "Part 1")
    assert first.texts == ("A1–A3 B1–B3 · in the file: pages 3–8",)
    assert second.texts == ("C1 · in the file: page 9", "Cut with care.")
    bare = entries_of(plan, {}, None, Numbers.of(plan))
    assert [entry.texts for entry in bare] == [("A1–A3 B1–B3",), ("C1",)]


@pytest.mark.parametrize("columns", [1, 2, 3])
def test_all_entries_fit_in_the_height_that_is_asked_for_them(columns: int) -> None:
    """In the height told, nothing is left over; 3 mm less, something is, or a column is too low."""
    _, plan = sheets_plan([(1, 2)] * 7)
    entries = entries_of(plan, {"Part 3": ("A long note. " * 9,)}, 2, Numbers.of(plan))
    height = listing_height(entries, 180, columns)
    items, over = draw_listing(entries, Bounds(0, 0, 180, height), columns)
    assert over == []
    names = {words.text for words in words_on(Page("list", 180, height, tuple(items)))}
    assert {f"Part {number}" for number in range(1, 8)} <= names
    assert draw_listing(entries, Bounds(0, 0, 180, height - 4), columns)[1]
