"""Which pages are printed: all that a line enters, and no other."""

from __future__ import annotations

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.drawing import draws
from tests.strategies import lengths, pattern_of, patterns, pieces
from tiler.layout.ink import CLOSE, bounds_of_chords, chords_of, inked, moved, paths_of
from tiler.layout.papers import find_paper
from tiler.layout.place import place
from tiler.layout.settle import RIM
from tiler.layout.tiles import Cell, Grid, PageSetup
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import bounds_of
from tiler.pattern.model import Pattern, Piece
from tiler.pattern.path import Path

A4 = PageSetup(find_paper("a4"))
SETUPS = [A4, PageSetup(find_paper("letter"), landscape=True, margin=5, overlap=20)]


def sampled(path: Path, steps: int) -> list[Point]:
    """Points of a path taken from its segments' own formulas, not from its flattening."""
    return [s.at(i / steps) for s in path.segments for i in range(steps + 1)]


@draws(6)
@given(patterns(most=3), st.sampled_from(SETUPS))
def test_every_point_of_every_line_is_printed(pattern: Pattern, setup: PageSetup) -> None:
    """Each point lies in the window of a printed page, 1 mm or more from where printing ends."""
    plan = place(pattern, [setup])
    windows = shapely.union_all([shapely.box(*plan.grid.window(c)) for c in plan.cells])
    for placement in plan.placements:
        points = [placement.at(p) for path in paths_of(placement.piece) for p in sampled(path, 40)]
        dots = shapely.points(np.array(points))
        assert shapely.distance(windows, dots).max() <= 1e-9
        assert shapely.distance(windows.boundary, dots).min() >= RIM - CLOSE - 1e-6


@draws(6)
@given(patterns(most=3), st.sampled_from(SETUPS))
def test_no_page_is_printed_without_ink_and_none_with_ink_is_left_out(
    pattern: Pattern, setup: PageSetup
) -> None:
    """Compared with finely sampled lines cut by each page's core in shapely.

    What lies less than the bleed less the rim beyond a joint is shown by the page beside it.
    """
    plan = place(pattern, [setup])
    lines = shapely.union_all(
        [
            shapely.LineString([placement.at(p) for p in sampled(path, 250)])
            for placement in plan.placements
            for path in paths_of(placement.piece)
        ]
    )
    # 0.05 mm for closeness, as much for chords, and what 250 samples a curve may miss.
    near = 0.12
    shown = setup.bleed - RIM + near
    for block in plan.grid.blocks:
        for row in range(block.row, block.row + block.rows):
            for column in range(block.column, block.column + block.columns):
                cell = Cell(row, column)
                core = plan.grid.core(cell)
                if cell in plan.cells:
                    assert lines.intersects(shapely.box(*core.grown(near))), cell.name
                else:
                    assert not lines.intersects(shapely.box(*core.grown(-shown))), cell.name


chords = st.lists(
    st.tuples(lengths(0, 900), lengths(0, 700), lengths(0, 900), lengths(0, 700)),
    min_size=1,
    max_size=6,
)


@settings(deadline=None)
@given(chords)
def test_straight_lines_ink_the_cells_that_they_come_within_a_twentieth_of(
    drawn: list[tuple[float, float, float, float]],
) -> None:
    """A line inks a cell when it meets the core grown by 0.05 mm, and only then."""
    grid = Grid.smallest(A4, 900, 700)
    found = inked(grid, np.array(drawn, dtype=float).reshape(-1, 2, 2))
    # A chord of no length is a dot.
    dots = [shapely.Point(a, b) for a, b, c, d in drawn if (a, b) == (c, d)]
    lines = shapely.GeometryCollection(
        dots + [shapely.LineString([(a, b), (c, d)]) for a, b, c, d in drawn if (a, b) != (c, d)]
    )
    for row in range(grid.rows):
        for column in range(grid.columns):
            cell = Cell(row, column)
            core = grid.core(cell)
            if cell in found:
                assert lines.distance(shapely.box(*core.grown(CLOSE))) < 1e-6
            else:
                assert not lines.intersects(shapely.box(*core.grown(CLOSE - 1e-6)))


def test_a_line_past_the_corner_of_a_cell_does_not_ink_it() -> None:
    """Passing a corner at 1 mm leaves the cell diagonally opposite blank."""
    grid = Grid(A4, 2, 2)
    corner = Point(grid.core(Cell(0, 0)).right, grid.core(Cell(0, 0)).bottom)
    past = np.array([[[corner.x - 40, corner.y + 42], [corner.x + 42, corner.y - 40]]])
    names = {cell.name for cell in inked(grid, past)}
    assert names == {"A1", "A2", "B2"}


@draws(40)
@given(pieces(), st.sampled_from([0, 90, 180, 270]), lengths(-300, 300))
def test_chords_stand_for_all_lines_within_a_twentieth(
    piece: Piece, degrees: float, shift: float
) -> None:
    """Moved by a turn and a shift, chords stay within 0.05 mm of the moved lines."""
    at = Affine.turn(degrees).then(Affine.move(shift, -shift))
    flat = moved(chords_of(piece), at)
    drawn = shapely.MultiLineString([chord.tolist() for chord in flat])
    points = [at(p) for path in paths_of(piece) for p in sampled(path, 30)]
    assert shapely.distance(drawn, shapely.points(np.array(points))).max() <= CLOSE + 1e-9
    exact = bounds_of([path.moved(at).bounds for path in paths_of(piece)])
    assert np.allclose(bounds_of_chords(flat), exact, atol=CLOSE)


@settings(deadline=None)
@given(pieces())
def test_everything_that_is_drawn_counts_as_ink(piece: Piece) -> None:
    """Every edge, line, mark and the grain is among the paths, each once."""
    edges = sum(len(outline.edges) for outline in piece.outlines)
    count = edges + len(piece.lines) + len(piece.marks) + (piece.grain is not None)
    assert len(paths_of(piece)) == count
    assert pattern_of(piece).pieces == (piece,)
