"""Simple placing: units on shelves, the best of many shelf lengths, turns and grids."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from tiler.layout.ink import (
    Floats,
    along_joints,
    beads,
    bounds_of_chords,
    inked,
    moved,
    roughly_inked,
)
from tiler.layout.packing.options import GAP
from tiler.layout.settle import RIM, TABLE
from tiler.layout.tiles import Cell, Grid, PageSetup
from tiler.pattern.affine import Affine
from tiler.pattern.bounds import Bounds

#: More pages than anyone can tape; a drawing in the wrong unit ends here and not in the tray.
MOST_PAGES = 2000

Progress = Callable[[int, int], None]


#: Millimetres of line along a joint that are worth a shift, and the shifts that are tried.
LEAST_ALONG = 4.0
_NUDGES = [(x * 4.0, y * 4.0) for x in range(-6, 7) for y in range(-6, 7)]
#: Arrangements whose rough count is this close to the best are counted exactly.
FINALISTS = 6


@dataclass(frozen=True, eq=False)
class _Shape:
    """A unit in one of its turns, moved so that its lower left corner is the origin."""

    index: int
    at: Affine
    chords: Floats
    beads: Floats
    width: float
    height: float


@dataclass(frozen=True, eq=False)
class _Arrangement:
    """Shapes with the place of each on the sheet of a grid."""

    grid: Grid
    shapes: tuple[tuple[_Shape, Affine], ...]

    def rough_score(self) -> tuple[int, bool, int, float]:
        """The score that counting beads gives."""
        cells: set[int] = set()
        for shape, shift in self.shapes:
            cells |= roughly_inked(self.grid, shape.beads + np.array([shift.e, shift.f]))
        columns = self.grid.columns
        return self._score([Cell(number // columns, number % columns) for number in cells])

    def counted(self) -> tuple[tuple[int, bool, int, float], tuple[Cell, ...]]:
        """The true score, and the pages that carry ink."""
        cells: set[Cell] = set()
        for shape, shift in self.shapes:
            cells |= inked(self.grid, moved(shape.chords, shift))
        ordered = sorted(cells, key=lambda cell: (cell.row, cell.column))
        return self._score(ordered), tuple(ordered)

    def _score(self, cells: Sequence[Cell]) -> tuple[int, bool, int, float]:
        sheet = self.grid.bounds
        awkward = max(sheet.width, sheet.height) > TABLE
        return len(cells), awkward, _joints(cells), sheet.height


def shelved(
    setups: Sequence[PageSetup],
    chords: Sequence[Floats],
    progress: Progress | None = None,
    *,
    turn: bool = True,
    gap: float = GAP,
) -> tuple[PageSetup, tuple[Affine, ...]] | None:
    """The best way to lay units on shelves, as drawn or turned by a quarter.

    Args:
        setups: The papers that may be used, such as portrait and landscape.
        chords: What is drawn for each unit.
        progress: Called with the number of arrangements tried and their total.
        turn: Whether units may turn.
        gap: Free paper between two units, millimetres.

    Returns:
        The paper, and unit -> millimetres on an endless grid with joints at whole multiples of the
        pitch; None where every way takes more pages than anyone can tape.
    """
    turns = [_turned(index, lines, turn=turn) for index, lines in enumerate(chords)]
    tries = [
        (setup, columns, choice)
        for setup in setups
        for columns in range(1, 13)
        for choice in (_lying, _standing, _as_drawn, _fewest(setup))
    ]
    found: dict[tuple[object, ...], _Arrangement] = {}
    for count, (setup, columns, choose) in enumerate(tries):
        if progress:
            progress(count, len(tries))
        shapes = [choose(options) for options in turns]
        length = Grid(setup, 1, columns).bounds.width - 2 * RIM
        if max(shape.width for shape in shapes) > length and columns < 12:
            continue
        arrangement = _shelved(setup, shapes, length, gap)
        if arrangement.grid.rows * arrangement.grid.columns <= MOST_PAGES:
            found.setdefault((setup, *(at for _, at in arrangement.shapes)), arrangement)
    for setup in setups:
        islands = _islands(setup, [_fewest(setup)(options) for options in turns], gap)
        if islands:
            found.setdefault((setup, *(at for _, at in islands.shapes)), islands)
    if not found:
        return None
    rough = sorted(found.values(), key=lambda arrangement: arrangement.rough_score())
    exact = [(arrangement.counted(), arrangement) for arrangement in rough[:FINALISTS]]
    (_, cells), best = min(exact, key=lambda entry: entry[0][0])
    best, cells = _off_the_joints(best, cells, gap)
    setup = best.grid.setup
    home = Affine.move(-setup.bleed, -setup.bleed)
    return setup, tuple(shape.at.then(shift).then(home) for shape, shift in best.shapes)


def _off_the_joints(
    best: _Arrangement, cells: tuple[Cell, ...], gap: float
) -> tuple[_Arrangement, tuple[Cell, ...]]:
    """Shift pieces a little where a line would run along a joint, if that costs no page.

    A line that lies on a trim line is cut away with it, and one beside it is taken for it.
    """
    sheet = best.grid.bounds.grown(-RIM)
    shapes = list(best.shapes)
    for number, (shape, at) in enumerate(shapes):
        now = along_joints(best.grid, moved(shape.chords, at))
        if now < LEAST_ALONG:
            continue
        others = [_box(*entry).grown(gap) for k, entry in enumerate(shapes) if k != number]
        choices = []
        for x, y in _NUDGES:
            to = at.then(Affine.move(x, y))
            box = _box(shape, to)
            if sheet.holds(box) and not any(box.meets(other) for other in others):
                along = along_joints(best.grid, moved(shape.chords, to))
                choices.append((along, abs(x) + abs(y), number, to))
        for along, _, _, to in sorted(choices):
            if along > now / 2:
                break
            tried = list(shapes)
            tried[number] = (shape, to)
            score, found = _Arrangement(best.grid, tuple(tried)).counted()
            if score[0] <= len(cells):
                shapes, cells = tried, found
                break
    return _Arrangement(best.grid, tuple(shapes)), cells


def _box(shape: _Shape, at: Affine) -> Bounds:
    return Bounds(at.e, at.f, at.e + shape.width, at.f + shape.height)


def _turned(index: int, drawn: Floats, *, turn: bool) -> tuple[_Shape, _Shape]:
    shapes = []
    for degrees in (0, 90 if turn else 0):
        turned = Affine.turn(degrees)
        chords = moved(drawn, turned)
        bounds = bounds_of_chords(chords)
        home = Affine.move(-bounds.left, -bounds.bottom)
        chords = moved(chords, home)
        size = bounds.width, bounds.height
        shapes.append(_Shape(index, turned.then(home), chords, beads(chords), *size))
    return shapes[0], shapes[1]


_Choice = Callable[[tuple[_Shape, _Shape]], _Shape]


def _as_drawn(options: tuple[_Shape, _Shape]) -> _Shape:
    return options[0]


def _lying(options: tuple[_Shape, _Shape]) -> _Shape:
    return min(options, key=lambda shape: round(shape.height, 6))


def _standing(options: tuple[_Shape, _Shape]) -> _Shape:
    return min(options, key=lambda shape: round(shape.width, 6))


def _fewest(setup: PageSetup) -> _Choice:
    def pages(shape: _Shape) -> tuple[int, float]:
        grid = Grid.smallest(setup, shape.width + 2 * RIM, shape.height + 2 * RIM)
        return grid.rows * grid.columns, round(shape.height, 6)

    return lambda options: min(options, key=pages)


def _shelved(setup: PageSetup, shapes: list[_Shape], length: float, gap: float) -> _Arrangement:
    """First-fit decreasing height: tall pieces first, each on the first shelf with room."""
    length = max(length, max(shape.width for shape in shapes))
    shelves: list[tuple[float, float]] = []
    spots: dict[int, tuple[_Shape, float, int]] = {}
    for shape in sorted(shapes, key=lambda s: (-round(s.height, 6), -round(s.width, 6), s.index)):
        for number, (used, height) in enumerate(shelves):
            if used + shape.width <= length + 1e-9 and shape.height <= height + 1e-9:
                spots[shape.index] = (shape, used, number)
                shelves[number] = (used + shape.width + gap, height)
                break
        else:
            spots[shape.index] = (shape, 0.0, len(shelves))
            shelves.append((shape.width + gap, shape.height))
    tall = sum(height for _, height in shelves) + gap * (len(shelves) - 1)
    wide = max(spot[1] + spot[0].width for spot in spots.values())
    grid = Grid.smallest(setup, wide + 2 * RIM, tall + 2 * RIM)
    top = grid.bounds.height - RIM
    ceilings = []
    for _, height in shelves:
        ceilings.append(top)
        top -= height + gap
    return _Arrangement(
        grid,
        tuple(
            (shape, Affine.move(x + RIM, ceilings[shelf] - shape.height))
            for shape, x, shelf in (spots[index] for index in range(len(shapes)))
        ),
    )


def _islands(setup: PageSetup, shapes: list[_Shape], gap: float) -> _Arrangement | None:
    """Each piece from a page corner of its own, one below the other; None where two would touch.

    Pieces that just fill a page would cross the joints of any shelf.
    """
    grids = [Grid.smallest(setup, s.width + 2 * RIM, s.height + 2 * RIM) for s in shapes]
    grid = Grid(setup, sum(g.rows for g in grids), max(g.columns for g in grids))
    if grid.rows * grid.columns > MOST_PAGES:
        return None
    placed, row = [], 0
    for shape, own in zip(shapes, grids, strict=True):
        top = grid.bounds.height - row * setup.pitch[1] - RIM
        placed.append((shape, Affine.move(RIM, top - shape.height)))
        row += own.rows
    boxes = [_box(*entry) for entry in placed]
    if any(upper.bottom - lower.top < gap for upper, lower in pairwise(boxes)):
        return None
    return _Arrangement(grid, tuple(placed))


def _joints(cells: Sequence[Cell]) -> int:
    there = set(cells)
    return sum(
        (Cell(c.row, c.column + 1) in there) + (Cell(c.row + 1, c.column) in there) for c in cells
    )
