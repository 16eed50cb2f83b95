"""Which cells of a grid a piece puts ink on."""

from __future__ import annotations

import math
from collections.abc import Iterable
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from tiler.layout.tiles import Cell, Grid
from tiler.pattern.affine import Affine
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Piece
from tiler.pattern.path import Path

Floats = npt.NDArray[np.float64]

#: Chords of the flattened lines stay this close to them; a page is printed for anything that comes
#: this near to it, so no ink is lost to flattening.
CLOSE = 0.05


def paths_of(piece: Piece) -> list[Path]:
    """Everything that is drawn for a piece."""
    paths = [run.edge.path for run in piece.runs]
    paths += [line.path for line in piece.lines]
    paths += [mark.path for mark in piece.marks]
    return paths + ([piece.grain] if piece.grain else [])


def chords_of(piece: Piece) -> Floats:
    """Short straight lines that stand for all of a piece's lines, shape (n, 2, 2), millimetres."""
    chords = []
    for path in paths_of(piece):
        points = path.flattened(CLOSE)
        chords += list(pairwise(points))
    return np.array(chords, dtype=float).reshape(-1, 2, 2)


def moved(chords: Floats, at: Affine) -> Floats:
    """The chords after an affine map."""
    turn = np.array([[at.a, at.b], [at.c, at.d]])
    return np.asarray(chords @ turn + np.array([at.e, at.f]))


def bounds_of_chords(chords: Floats) -> Bounds:
    """The smallest upright rectangle round chords."""
    low, high = chords.min(axis=(0, 1)), chords.max(axis=(0, 1))
    return Bounds(float(low[0]), float(low[1]), float(high[0]), float(high[1]))


def beads(chords: Floats, apart: float = 5.0) -> Floats:
    """Points along the chords at most `apart` millimetres from each other, shape (n, 2)."""
    steps = np.maximum(1, np.ceil(np.hypot(*(chords[:, 1] - chords[:, 0]).T) / apart)).astype(int)
    which = np.repeat(np.arange(len(chords)), steps)
    rank = np.arange(len(which)) - np.repeat(np.cumsum(steps) - steps, steps)
    share = ((rank + 0.5) / steps[which])[:, None]
    return np.asarray(chords[which, 0] * (1 - share) + chords[which, 1] * share)


def roughly_inked(grid: Grid, points: Floats) -> set[int]:
    """The cells in whose core a bead lies, as row * columns + column: a quick count.

    A line that only cuts a corner between two beads may be missed; `inked` misses nothing.
    """
    (across, down), bleed = grid.setup.pitch, grid.setup.bleed
    column = np.clip(((points[:, 0] - bleed) // across).astype(int), 0, grid.columns - 1)
    step = np.clip(((points[:, 1] - bleed) // down).astype(int), 0, grid.rows - 1)
    numbers = np.zeros(grid.rows * grid.columns, dtype=bool)
    numbers[(grid.rows - 1 - step) * grid.columns + column] = True
    return set(np.flatnonzero(numbers).tolist())


def inked(grid: Grid, chords: Floats) -> frozenset[Cell]:
    """The cells of a single sheet whose core a chord enters or comes within 0.05 mm of.

    Each chord is clipped to the strip of each row and then to each column that it may touch, so a
    chord that only passes between two cells' corners is not counted for either.
    """
    across, down = grid.setup.pitch
    found: set[Cell] = set()
    bleed = grid.setup.bleed
    lines_x = [i * across + bleed for i in range(1, grid.columns)]
    lines_y = [i * down + bleed for i in range(1, grid.rows)]
    spans_x = list(zip([-math.inf, *lines_x], [*lines_x, math.inf], strict=True))
    spans_y = list(zip([-math.inf, *lines_y], [*lines_y, math.inf], strict=True))
    for step, (low, high) in enumerate(spans_y):
        strip = clipped(chords, 1, low - CLOSE, high + CLOSE)
        if not len(strip):
            continue
        for column, (left, right) in enumerate(spans_x):
            if meets(strip, 0, left - CLOSE, right + CLOSE):
                found.add(Cell(grid.rows - 1 - step, column))
    return frozenset(found)


def shown(grid: Grid, cells: Iterable[Cell], chords: Floats) -> tuple[Cell, ...]:
    """Those of some pages whose core a chord enters or comes within 0.05 mm of, in their order.

    Unlike `inked`, this knows of several sheets in one grid.
    """
    found = []
    whole = bounds_of_chords(chords).grown(CLOSE)
    for cell in cells:
        core = grid.core(cell)
        if not core.meets(whole):
            continue
        left, bottom, right, top = core.grown(CLOSE)
        strip = clipped(chords, 0, left, right)
        if meets(strip, 1, bottom, top):
            found.append(cell)
    return tuple(found)


def touched(chords: Floats, pitch: tuple[float, float], over: float) -> frozenset[Cell]:
    """The cells of an endless grid that chords enter or come within 0.05 mm of.

    Outer cells show a little more than their share: what overhangs the outermost ones by no more
    than `over` millimetres is theirs.

    Joints are at whole multiples of the pitch; the cell to the right of and above the origin is in
    row -1 and column 0, and rows count downwards.
    """
    low, high = chords.min(axis=(0, 1)) + over, chords.max(axis=(0, 1)) - over
    spans = []
    for axis in (0, 1):
        first = math.floor(low[axis] / pitch[axis])
        last = max(first, math.ceil(high[axis] / pitch[axis]) - 1)
        ends = [step * pitch[axis] for step in range(first + 1, last + 1)]
        spans.append((first, list(zip([-math.inf, *ends], [*ends, math.inf], strict=True))))
    (left, columns), (bottom, rows) = spans
    found: set[Cell] = set()
    for step, (foot, head) in enumerate(rows):
        strip = clipped(chords, 1, foot - CLOSE, head + CLOSE)
        if not len(strip):
            continue
        for column, (near, far) in enumerate(columns):
            if meets(strip, 0, near - CLOSE, far + CLOSE):
                found.add(Cell(-1 - bottom - step, left + column))
    return frozenset(found)


def clipped(chords: Floats, axis: int, low: float, high: float) -> Floats:
    """The parts of chords between two levels of x (axis 0) or y (axis 1)."""
    kept = chords[_between(chords, axis, low, high)]
    if not len(kept):
        return kept
    step = kept[:, 1] - kept[:, 0]
    start, run = kept[:, 0, axis], step[:, axis]
    level = np.abs(run) < 1e-9
    flat = np.where(level, 1.0, run)
    # Not `np.clip` and `np.stack`, which take longer than the sums for so few numbers.
    first = np.minimum(np.maximum((low - start) / flat, 0.0), 1.0)
    last = np.minimum(np.maximum((high - start) / flat, 0.0), 1.0)
    share = np.empty((len(kept), 2, 1))
    share[:, 0, 0] = np.where(level, 0.0, np.minimum(first, last))
    share[:, 1, 0] = np.where(level, 1.0, np.maximum(first, last))
    return np.asarray(kept[:, :1] + share * step[:, None])


def meets(chords: Floats, axis: int, low: float, high: float) -> bool:
    """Whether anything of chords lies between two levels of x (axis 0) or y (axis 1)."""
    return bool(_between(chords, axis, low, high).any())


def _between(chords: Floats, axis: int, low: float, high: float) -> npt.NDArray[np.bool_]:
    ends = chords[:, :, axis]
    start, end = ends[:, 0], ends[:, 1]
    return np.asarray((np.minimum(start, end) <= high) & (np.maximum(start, end) >= low))


#: A line that is this near to a joint and runs along it is taken for it, millimetres.
NEAR_JOINT = 4.0


def along_joints(grid: Grid, chords: Floats) -> float:
    """Millimetres of line that run along the grid's joints, or nearly so."""
    (across, down), bleed = grid.setup.pitch, grid.setup.bleed
    run = chords[:, 1] - chords[:, 0]
    length = np.hypot(run[:, 0], run[:, 1])
    total = 0.0
    for axis, pitch, count in ((0, across, grid.columns), (1, down, grid.rows)):
        if count < 2:
            continue
        # Within 10 degrees of the joint's own direction.
        parallel = np.abs(run[:, axis]) <= 0.17 * np.maximum(length, 1e-12)
        middle = chords[:, :, axis].mean(axis=1)
        nearest = np.clip(np.round((middle - bleed) / pitch), 1, count - 1)
        near = np.abs(middle - bleed - nearest * pitch) < NEAR_JOINT
        total += float(length[parallel & near].sum())
    return total
