"""Plans for tests of the map: sheets of chosen sizes, without looking for a layout."""

from __future__ import annotations

from collections.abc import Sequence

from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from tests.strategies import pattern_of, rectangular
from tiler.layout.arrange import arrange
from tiler.layout.papers import PAPERS
from tiler.layout.plan import Placement, Plan
from tiler.layout.tiles import Block, Cell, Grid, PageSetup
from tiler.pattern.affine import Affine
from tiler.pattern.model import Pattern

A4 = PageSetup(PAPERS["a4"])


def sheets_plan(sizes: Sequence[tuple[int, int]], setup: PageSetup = A4) -> tuple[Pattern, Plan]:
    """A pattern whose piece number n just fills sheet n, which has those rows and columns."""
    grid = arrange(setup, sizes)
    pieces, placements = [], []
    for number, block in enumerate(grid.blocks, start=1):
        box = grid.bounds_of_block(block).grown(-4.0)
        piece = rectangular(f"Part {number}", box.width, box.height)
        own = piece.bounds
        at = Affine.move(box.left - own.left, box.bottom - own.bottom)
        pieces.append(piece)
        placements.append(Placement(piece, at))
    cells = [
        Cell(row, column)
        for block in sorted(grid.blocks, key=lambda block: (block.row, block.column))
        for row in range(block.row, block.row + block.rows)
        for column in range(block.column, block.column + block.columns)
    ]
    return pattern_of(*pieces), Plan(grid, tuple(placements), tuple(cells))


@st.composite
def ragged_plans(draw: DrawFn) -> Plan:
    """One sheet of pages that hang together edge to edge, in any shape, without pieces."""
    cells = {Cell(0, 0)}
    for _ in range(draw(st.integers(1, 14))):
        at = draw(st.sampled_from(sorted(cells, key=lambda c: (c.row, c.column))))
        down, right = draw(st.sampled_from(((0, 1), (1, 0), (0, -1), (-1, 0))))
        cells.add(Cell(at.row + down, at.column + right))
    top, left = min(c.row for c in cells), min(c.column for c in cells)
    moved = sorted((c.row - top, c.column - left) for c in cells)
    rows, columns = 1 + max(r for r, _ in moved), 1 + max(c for _, c in moved)
    grid = Grid(A4, rows, columns, (Block(0, 0, rows, columns),))
    return Plan(grid, (), tuple(Cell(row, column) for row, column in moved))
