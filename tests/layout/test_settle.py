"""From places on an endless grid to sheets: units that share a page, and nothing is lost."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tiler.layout.ink import Floats, inked, moved
from tiler.layout.papers import find_paper
from tiler.layout.plan import Plan
from tiler.layout.settle import RIM, settle
from tiler.layout.tiles import Cell, PageSetup
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds

A4 = PageSetup(find_paper("a4"))
ACROSS, DOWN = A4.pitch


def ring(width: float, height: float) -> Floats:
    """The outline of a rectangle with its lower left corner at the origin, as chords."""
    corners = np.array([(0, 0), (width, 0), (width, height), (0, height)], dtype=float)
    return np.stack([corners, np.roll(corners, -1, axis=0)], axis=1)


def at(x: float, y: float, degrees: float = 0.0) -> Affine:
    return Affine.turn(degrees).then(Affine.move(x, y))


units = st.lists(
    st.tuples(
        st.floats(20, 700),
        st.floats(20, 700),
        st.floats(-900, 900),
        st.floats(-900, 900),
        st.floats(0, 360),
    ),
    min_size=1,
    max_size=5,
)


@settings(deadline=None)
@given(units)
def test_every_line_lies_in_the_windows_of_its_own_sheet(
    units: list[tuple[float, float, float, float, float]],
) -> None:
    """Sampled every 2 mm: a point of a unit is seen by a printed page, and by one sheet only."""
    chords = [ring(width, height) for width, height, *_ in units]
    settled = settle(A4, chords, [at(x, y, turn) for _, _, x, y, turn in units])
    windows = [(settled.grid.block_of(c), settled.grid.window(c)) for c in settled.cells]
    for lines, place in zip(chords, settled.at, strict=True):
        steps = np.linspace(0, 1, 350)[:, None, None]
        ends = moved(lines, place)
        points = (ends[:, 0] * (1 - steps) + ends[:, 1] * steps).reshape(-1, 2)
        seen = np.zeros(len(points), dtype=bool)
        sheets = set()
        for block, (left, bottom, right, top) in windows:
            x, y = points.T
            inside = (x >= left) & (x <= right) & (y >= bottom) & (y <= top)
            seen |= inside
            if inside.any():
                sheets.add(block)
        assert seen.all()
        assert len(sheets) == 1


@settings(deadline=None)
@given(units)
def test_units_keep_their_turn_and_those_of_a_sheet_their_places_to_each_other(
    units: list[tuple[float, float, float, float, float]],
) -> None:
    """A unit is only shifted, by whole pages and what keeps its sheet apart from others."""
    chords = [ring(width, height) for width, height, *_ in units]
    before = [at(x, y, turn) for _, _, x, y, turn in units]
    settled = settle(A4, chords, before)
    for old, new in zip(before, settled.at, strict=True):
        assert new[:4] == pytest.approx(old[:4], abs=1e-12)


def test_two_units_on_one_page_are_one_sheet_and_apart_they_are_two() -> None:
    """By hand: side by side on one page; one page apart they are taped separately."""
    chords = [ring(60, 100), ring(60, 100)]
    shared = settle(A4, chords, [at(10, 10), at(90, 10)])
    assert [cell.name for cell in shared.cells] == ["A1"]
    assert len(shared.grid.blocks) == 1
    apart = settle(A4, chords, [at(10, 10), at(ACROSS + 10, 10)])
    assert [cell.name for cell in apart.cells] == ["A1", "A2"]
    assert len(apart.grid.blocks) == 2
    assert Plan(apart.grid, (), apart.cells).joints == ()


def test_a_line_of_units_that_share_pages_is_one_sheet() -> None:
    """The first and the last share no page, but both share one with the middle one."""
    chords = [ring(100, 100), ring(200, 100), ring(100, 100)]
    settled = settle(A4, chords, [at(5, 5), at(120, 5), at(ACROSS + 150, 5)])
    assert [cell.name for cell in settled.cells] == ["A1", "A2", "A3"]
    assert len(settled.grid.blocks) == 1


def test_outer_pages_show_a_little_more() -> None:
    """The window of A4 is 183.2 x 270.2 mm: less 1 mm of rim, 181.2 x 268.2 lie on one page."""
    width, height = ACROSS + 2 * (A4.bleed - RIM), DOWN + 2 * (A4.bleed - RIM)
    one = settle(A4, [ring(width, height)], [at(-(A4.bleed - RIM), -(A4.bleed - RIM))])
    assert len(one.cells) == 1
    inside = Bounds(*A4.window).moved(Affine.move(*one.grid.origin(one.cells[0]))).grown(-RIM)
    ends = moved(ring(width, height), one.at[0])
    assert all(inside.grown(1e-6).holds(Bounds(x, y, x, y)) for x, y in ends.reshape(-1, 2))
    wider = settle(A4, [ring(width + 0.3, height)], [at(-(A4.bleed - RIM) - 0.3, 0)])
    assert len(wider.cells) > 1


def test_the_blank_middle_of_a_large_unit_is_not_printed_and_a_mark_in_it_is_bridged() -> None:
    """By hand: a ring over 5 x 5 pages has 16; a mark in the middle page needs one to hang by."""
    outline = ring(4.5 * ACROSS, 4.5 * DOWN)
    assert len(settle(A4, [outline], [at(40, 40)]).cells) == 16
    mark = moved(ring(10, 10), at(2.4 * ACROSS, 2.4 * DOWN))
    marked = settle(A4, [np.concatenate([outline, mark])], [at(40, 40)])
    assert len(marked.cells) == 18
    assert Cell(2, 2) in marked.cells


def test_cost_counts_pages_joints_and_tape() -> None:
    """By hand: a rectangle over 2 x 2 pages has four joints, two upright and two level."""
    settled = settle(A4, [ring(300, 400)], [at(10, 10)])
    assert settled.cost == (4, 0, 4, pytest.approx(2 * ACROSS + 2 * DOWN))


def test_a_sheet_longer_than_a_table_costs() -> None:
    """2 m are more than the 1.8 m that lie flat while they are taped."""
    assert settle(A4, [ring(2000, 100)], [at(10, 10)]).cost[1] == 1
    assert settle(A4, [ring(1500, 100)], [at(10, 10)]).cost[1] == 0


def test_pages_are_printed_sheet_by_sheet_and_row_by_row() -> None:
    """Whoever tapes while printing has the neighbours of each page at hand."""
    chords = [ring(300, 400), ring(50, 50), ring(300, 200)]
    settled = settle(A4, chords, [at(10, 10), at(2000, 0), at(-1800 + 10, 30)])
    names = [cell.name for cell in settled.cells]
    assert names == ["A1", "A2", "B1", "B2", "C1", "C2", "D1"]
    assert Plan(settled.grid, (), settled.cells).sheets == (
        settled.cells[:4],
        settled.cells[4:6],
        settled.cells[6:],
    )


@settings(deadline=None)
@given(st.floats(0, 360), st.floats(0, 180), st.floats(0, 267))
def test_no_more_pages_than_cells_with_ink(turn: float, x: float, y: float) -> None:
    """A unit alone: none but cells with ink is printed, and some for its area."""
    lines = ring(420, 640)
    settled = settle(A4, [lines], [at(x, y, turn)])
    found = inked(settled.grid, moved(lines, settled.at[0]))
    assert set(settled.cells) <= found
    area = 420 * 640 / ((ACROSS + 2 * A4.bleed) * (DOWN + 2 * A4.bleed))
    assert len(settled.cells) >= math.floor(area)


def test_the_corner_of_the_grid_is_the_origin() -> None:
    """All windows lie right of and above the origin, and touch it."""
    settled = settle(A4, [ring(50, 50), ring(60, 60)], [at(-700, -900), at(800, 1200)])
    assert (settled.grid.bounds.left, settled.grid.bounds.bottom) == Point(0, 0)
