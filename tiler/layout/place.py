"""Simple placing: pieces on shelves, the best of many shelf lengths, turns and grids."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from tiler.layout.ink import Floats, bounds_of_chords, chords_of, inked, moved
from tiler.layout.plan import Placement, Plan
from tiler.layout.tiles import Cell, Grid, PageSetup
from tiler.pattern.affine import Affine
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Pattern, Piece

#: Free paper between two pieces, millimetres: room for a pair of shears.
GAP = 8.0
#: Paper between the outermost lines and the edge of the pattern windows, millimetres: a line that
#: runs along the edge itself would lose half its width.
RIM = 1.0
#: A sheet longer than this does not lie on a table while it is taped, millimetres.
TABLE = 1800.0
#: More pages than anyone can tape; a drawing in the wrong unit ends here and not in the tray.
MOST_PAGES = 2000

Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class _Shape:
    """A piece in one of its turns, moved so that its lower left corner is the origin."""

    index: int
    at: Affine
    chords: Floats
    width: float
    height: float


def place(pattern: Pattern, setups: Sequence[PageSetup], progress: Progress | None = None) -> Plan:
    """Lay the pieces on pages, choosing among the setups the one that needs fewest.

    Pieces stand as drawn or turned by a quarter, on shelves; several shelf lengths are tried.

    Args:
        pattern: At least one piece.
        setups: The papers that may be used, such as portrait and landscape.
        progress: Called with the number of arrangements tried and their total.

    Raises:
        PatternError: The sheet would take more pages than anyone can tape.
    """
    turns = [_turned(index, piece) for index, piece in enumerate(pattern.pieces)]
    tries = [
        (setup, columns, choice)
        for setup in setups
        for columns in range(1, 13)
        for choice in (_lying, _standing, _as_drawn, _fewest(setup))
    ]
    best: tuple[tuple[int, bool, int, float], Plan] | None = None
    for count, (setup, columns, choose) in enumerate(tries):
        if progress:
            progress(count, len(tries))
        shapes = [choose(options) for options in turns]
        length = Grid(setup, 1, columns).bounds.width - 2 * RIM
        if max(shape.width for shape in shapes) > length and columns < 12:
            continue
        plan = _shelved(pattern, setup, shapes, length)
        if plan is None:
            continue
        sheet = plan.grid.bounds
        awkward = max(sheet.width, sheet.height) > TABLE
        score = (len(plan.cells), awkward, _joints(plan.cells), sheet.height)
        if best is None or score < best[0]:
            best = (score, plan)
    if best is None:
        raise PatternError(
            f"this pattern would take more than {MOST_PAGES} pages",
            where=pattern.title,
            remedy="Look at its size with 'blocksheet look': is the drawing in the right unit?",
        )
    return best[1]


def _turned(index: int, piece: Piece) -> tuple[_Shape, _Shape]:
    drawn = chords_of(piece)
    shapes = []
    for degrees in (0, 90):
        turn = Affine.turn(degrees)
        chords = moved(drawn, turn)
        bounds = bounds_of_chords(chords)
        home = Affine.move(-bounds.left, -bounds.bottom)
        shapes.append(
            _Shape(index, turn.then(home), moved(chords, home), bounds.width, bounds.height)
        )
    return shapes[0], shapes[1]


_Choice = Callable[[tuple[_Shape, _Shape]], _Shape]


def _as_drawn(options: tuple[_Shape, _Shape]) -> _Shape:
    return options[0]


def _lying(options: tuple[_Shape, _Shape]) -> _Shape:
    return min(options, key=lambda shape: shape.height)


def _standing(options: tuple[_Shape, _Shape]) -> _Shape:
    return min(options, key=lambda shape: shape.width)


def _fewest(setup: PageSetup) -> _Choice:
    def pages(shape: _Shape) -> tuple[int, float]:
        grid = Grid.smallest(setup, shape.width + 2 * RIM, shape.height + 2 * RIM)
        return grid.rows * grid.columns, shape.height

    return lambda options: min(options, key=pages)


def _shelved(
    pattern: Pattern, setup: PageSetup, shapes: list[_Shape], length: float
) -> Plan | None:
    """First-fit decreasing height: tall pieces first, each on the first shelf with room."""
    length = max(length, max(shape.width for shape in shapes))
    shelves: list[tuple[float, float]] = []
    spots: dict[int, tuple[_Shape, float, int]] = {}
    for shape in sorted(shapes, key=lambda s: (-s.height, -s.width, s.index)):
        for number, (used, height) in enumerate(shelves):
            if used + shape.width <= length + 1e-9 and shape.height <= height + 1e-9:
                spots[shape.index] = (shape, used, number)
                shelves[number] = (used + shape.width + GAP, height)
                break
        else:
            spots[shape.index] = (shape, 0.0, len(shelves))
            shelves.append((shape.width + GAP, shape.height))
    tall = sum(height for _, height in shelves) + GAP * (len(shelves) - 1)
    wide = max(spot[1] + spot[0].width for spot in spots.values())
    grid = Grid.smallest(setup, wide + 2 * RIM, tall + 2 * RIM)
    if grid.rows * grid.columns > MOST_PAGES:
        return None
    top = grid.bounds.height - RIM
    ceilings = []
    for _, height in shelves:
        ceilings.append(top)
        top -= height + GAP
    placements = []
    cells: set[Cell] = set()
    for index, piece in enumerate(pattern.pieces):
        shape, x, shelf = spots[index]
        shift = Affine.move(x + RIM, ceilings[shelf] - shape.height)
        placements.append(Placement(piece, shape.at.then(shift)))
        cells |= inked(grid, moved(shape.chords, shift))
    ordered = sorted(cells, key=lambda cell: (cell.row, cell.column))
    return Plan(grid, tuple(placements), tuple(ordered), _least_pages(pattern, setup))


def _joints(cells: Sequence[Cell]) -> int:
    there = set(cells)
    return sum(
        (Cell(c.row, c.column + 1) in there) + (Cell(c.row + 1, c.column) in there) for c in cells
    )


def _least_pages(pattern: Pattern, setup: PageSetup) -> int:
    """Pages that the pieces' area alone would fill, if blank pages counted too."""
    area = sum(max(o.area for o in piece.outlines) for piece in pattern.pieces)
    across, down = setup.pitch
    return max(1, math.ceil(area / (across * down)))
