"""From turns and places on an endless grid to a plan: sheets, their pages, what they cost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tiler.layout.arrange import arrange
from tiler.layout.bridges import joints_of
from tiler.layout.ink import Floats, moved
from tiler.layout.pages import sheets_of
from tiler.layout.tiles import Cell, Grid, PageSetup
from tiler.pattern.affine import Affine

#: Paper between the outermost lines and the edge of the pattern windows, millimetres: a line that
#: runs along the edge itself would lose half its width.
RIM = 1.0
#: A sheet longer than this does not lie on a table while it is taped, millimetres.
TABLE = 1800.0


@dataclass(frozen=True)
class Settled:
    """Units on the sheets of a grid.

    Args:
        grid: With a block for each sheet.
        at: Unit -> sheet coordinates, for each unit.
        cells: The pages that are printed, sheet by sheet and row by row.
        cost: Pages, sheets too long for a table, joints, millimetres to tape: to be compared.
    """

    grid: Grid
    at: tuple[Affine, ...]
    cells: tuple[Cell, ...]
    cost: tuple[int, int, int, float]


def settle(
    setup: PageSetup, chords: Sequence[Floats], at: Sequence[Affine], rim: float = RIM
) -> Settled:
    """Find the sheets that units make, and give each its own place in one grid.

    Units that share a page are one sheet.

    Args:
        setup: The paper.
        chords: What is drawn for each unit, in its own coordinates.
        at: Unit -> millimetres on an endless grid whose joints are at whole multiples of the
            pitch, y up.
        rim: What stays free between the outermost lines and the edge of the windows, millimetres.
    """
    pitch, bleed = setup.pitch, setup.bleed
    lying = [moved(lines, place) for lines, place in zip(chords, at, strict=True)]
    past = bleed - rim
    sizes, found = [], []
    for sheet in sheets_of(lying, pitch, (past, past)):
        rows, columns = ([getattr(c, side) for c in sheet.printed] for side in ("row", "column"))
        top, left = min(rows), min(columns)
        size = 1 + max(rows) - top, 1 + max(columns) - left
        # Rows of the endless grid count downwards from 0 and are negative above it.
        home = Affine.move(bleed - left * pitch[0], bleed + (top + size[0]) * pitch[1])
        sizes.append(size)
        printed = [Cell(c.row - top, c.column - left) for c in sheet.printed]
        found.append((sheet.members, home, printed))
    grid = arrange(setup, sizes)
    places: dict[int, Affine] = {}
    pages: list[tuple[Cell, ...]] = []
    for block, (members, home, printed) in zip(grid.blocks, found, strict=True):
        corner = grid.bounds_of_block(block)
        there = home.then(Affine.move(corner.left, corner.bottom))
        places |= {k: at[k].then(there) for k in members}
        cells = frozenset(Cell(c.row + block.row, c.column + block.column) for c in printed)
        pages.append(tuple(sorted(cells, key=lambda cell: (cell.row, cell.column))))
    pages.sort(key=lambda cells: (cells[0].row, cells[0].column))
    ordered = tuple(cell for cells in pages for cell in cells)
    return Settled(grid, tuple(places[k] for k in range(len(at))), ordered, _cost(grid, pages))


def _cost(grid: Grid, sheets: Sequence[Sequence[Cell]]) -> tuple[int, int, int, float]:
    across, down = grid.setup.pitch
    joints, tape, long = 0, 0.0, 0
    for cells in sheets:
        upright, level = joints_of(cells)
        joints += upright + level
        tape += upright * down + level * across
        size = grid.bounds_of_block(grid.block_of(cells[0]))
        long += max(size.width, size.height) > TABLE
    return sum(len(cells) for cells in sheets), long, joints, tape
