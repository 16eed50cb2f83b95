"""Where one ring cannot lie for another: no-fit maps on a grid.

The places at which B overlaps A, which stays, are the Minkowski sum of A and of B turned by half a
turn. Two rings overlap when their borders cross or one holds the other, so the sum is covered by
the parallelograms of all pairs of sides, and by each ring laid at a corner of the other one. Of it,
a map holds for every place of a grid how far B is from a free place.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tiler.layout.cloth.ring import Floats

Depths = npt.NDArray[np.float32]
Ints = npt.NDArray[np.intp]
#: A place is taken when all four places this far from it (mm, both ways along and across) are: so
#: rings may touch, and where parallelograms meet is no gap between them. Hardly a side of a
#: drawing has the slope of these two.
_NEAR = (1.0e-5, 0.61803e-5)
#: Sides that are parallel within this (mm2) span nothing.
_PARALLEL = 1e-12


@dataclass(frozen=True, slots=True, eq=False)
class Map:
    """A no-fit map.

    Args:
        depth: Rows (across) and columns (along) of the grid; pixels to the next free place, 0 where
            there is no overlap.
        row: Of the first row, as the place of B less that of A.
        column: Of the first column.
    """

    depth: Depths
    row: int
    column: int

    def turned(self) -> Map:
        """The same for A, when B stays."""
        rows, columns = self.depth.shape
        return Map(self.depth[::-1, ::-1], -(self.row + rows - 1), -(self.column + columns - 1))


@dataclass(frozen=True, slots=True)
class Window:
    """A part of a map: its first row and column, and how many there are."""

    row: int
    column: int
    rows: int
    columns: int


def map_of(
    staying: Floats,
    coming: Floats,
    shift: tuple[float, float],
    pixel: tuple[float, float],
    window: Window | None = None,
) -> Map:
    """The no-fit map of two rings.

    Args:
        staying: A, where its place is the origin.
        coming: B, where its place is the origin.
        shift: Place of B less that of A, mm, when both are in row 0 and column 0.
        pixel: Side of the grid along and across, mm.
        window: The part that is asked for; None for all.
    """
    turned = -coming
    if window is None:
        low = staying.min(axis=0) + turned.min(axis=0) - shift
        high = staying.max(axis=0) + turned.max(axis=0) - shift
        column, row = (math.floor(low[k] / pixel[k]) - 1 for k in (0, 1))
        window = Window(
            row,
            column,
            math.ceil(high[1] / pixel[1]) + 2 - row,
            math.ceil(high[0] / pixel[0]) + 2 - column,
        )
    taken = np.ones((window.rows, window.columns), dtype=np.bool_)
    pairs = _sides(staying, turned, shift, pixel, window)
    for across in (-_NEAR[1], _NEAR[1]):
        first = window.row * pixel[1] + shift[1] + across
        rows, lefts, rights = (
            np.concatenate(each)
            for each in zip(
                _within_sides(pairs, first, pixel[1], window.rows),
                _within_ring(staying + turned[0], first, pixel[1], window.rows),
                _within_ring(turned + staying[0], first, pixel[1], window.rows),
                strict=True,
            )
        )
        for along in (-_NEAR[0], _NEAR[0]):
            taken &= _covered(rows, lefts, rights, shift[0] + along, pixel[0], window)
    return Map(depths_of(taken, pixel), window.row, window.column)


def _sides(
    one: Floats,
    other: Floats,
    shift: tuple[float, float],
    pixel: tuple[float, float],
    window: Window,
) -> tuple[Floats, Floats, Floats]:
    """Corner and both sides of the parallelograms that reach into a window, of shape (k, 2)."""
    u, v = (np.roll(ring, -1, axis=0) - ring for ring in (one, other))
    low = one[:, None, :] + other[None, :, :]
    low = low + np.minimum(u, 0)[:, None, :] + np.minimum(v, 0)[None, :, :]
    size = np.abs(u)[:, None, :] + np.abs(v)[None, :, :]
    begin = np.array([window.column * pixel[0] + shift[0], window.row * pixel[1] + shift[1]])
    end = begin + np.array([window.columns * pixel[0], window.rows * pixel[1]])
    spans = np.abs(u[:, None, 0] * v[None, :, 1] - u[:, None, 1] * v[None, :, 0]) > _PARALLEL
    i, j = np.nonzero(((low <= end) & (low + size >= begin)).all(axis=2) & spans)
    return one[i] + other[j], u[i], v[j]


def _within_sides(
    pairs: tuple[Floats, Floats, Floats], first: float, step: float, rows: int
) -> tuple[Ints, Floats, Floats]:
    """Row, left and right end of every line of the grid within a parallelogram."""
    corner, u, v = pairs
    low = corner[:, 1] + np.minimum(u[:, 1], 0) + np.minimum(v[:, 1], 0)
    high = low + np.abs(u[:, 1]) + np.abs(v[:, 1])
    of, row, y = _lines(low, high, first, step, rows)
    x, t = corner[of, 0], y - corner[of, 1]
    (ux, uy), (vx, vy) = u[of].T, v[of].T
    left, right = np.full(len(of), np.inf), np.full(len(of), -np.inf)
    with np.errstate(divide="ignore", invalid="ignore"):
        # Where the line meets the four sides.
        for part, at in (
            (t / vy, t / vy * vx),
            ((t - uy) / vy, (t - uy) / vy * vx + ux),
            (t / uy, t / uy * ux),
            ((t - vy) / uy, (t - vy) / uy * ux + vx),
        ):
            meets = (part >= -1e-9) & (part <= 1 + 1e-9)
            left = np.where(meets, np.minimum(left, at), left)
            right = np.where(meets, np.maximum(right, at), right)
    good = right > left
    return row[good], (x + left)[good], (x + right)[good]


def _within_ring(ring: Floats, first: float, step: float, rows: int) -> tuple[Ints, Floats, Floats]:
    """The same for a ring: what lies between each odd crossing and the next."""
    ahead = np.roll(ring, -1, axis=0)
    low, high = np.minimum(ring[:, 1], ahead[:, 1]), np.maximum(ring[:, 1], ahead[:, 1])
    of, row, y = _lines(low, high, first, step, rows)
    # A corner on a line belongs to the side that begins there.
    kept = y < high[of]
    of, row, y = of[kept], row[kept], y[kept]
    share = (y - ring[of, 1]) / (ahead[of, 1] - ring[of, 1])
    x = ring[of, 0] + share * (ahead[of, 0] - ring[of, 0])
    order = np.lexsort((x, row))
    row, x = row[order], x[order]
    return row[::2], x[::2], x[1::2]


def _lines(
    low: Floats, high: Floats, first: float, step: float, rows: int
) -> tuple[Ints, Ints, Floats]:
    """Which lines of the grid lie between two heights: number of the pair, row and height."""
    start = np.clip(np.ceil((low - first) / step), 0, rows).astype(np.intp)
    stop = np.clip(np.floor((high - first) / step) + 1, 0, rows).astype(np.intp)
    counts = np.maximum(stop - start, 0)
    of = np.repeat(np.arange(len(low)), counts)
    row = np.arange(len(of)) - np.repeat(np.cumsum(counts) - counts, counts) + start[of]
    return of, row, first + row * step


def _covered(
    rows: Ints, lefts: Floats, rights: Floats, shift: float, step: float, window: Window
) -> npt.NDArray[np.bool_]:
    """The places of a window that lie in one of the spans."""
    start = np.floor((lefts - shift) / step).astype(np.intp) + 1 - window.column
    stop = np.ceil((rights - shift) / step).astype(np.intp) - window.column
    start, stop = np.clip(start, 0, window.columns), np.clip(stop, 0, window.columns)
    some = stop > start
    wide = window.columns + 1
    size = window.rows * wide
    change = np.bincount(rows[some] * wide + start[some], minlength=size)
    change -= np.bincount(rows[some] * wide + stop[some], minlength=size)
    return np.asarray(np.cumsum(change.reshape(window.rows, wide), axis=1)[:, :-1] > 0)


def depths_of(taken: npt.NDArray[np.bool_], pixel: tuple[float, float]) -> Depths:
    """Steps along or across, whichever are fewer, from a taken place to a free one.

    Args:
        taken: The places; what is beyond them counts as taken in a direction without a free one.
        pixel: Sides; steps count in sides along.
    """
    along = _steps(taken)
    across = _steps(taken.T).T * np.float32(pixel[1] / pixel[0])
    return np.ascontiguousarray(np.minimum(along, across))


def _steps(taken: npt.NDArray[np.bool_]) -> Depths:
    """Steps within its row from every place to the next free one."""
    count = taken.shape[1]
    columns = np.arange(count, dtype=np.int32)
    before = np.maximum.accumulate(np.where(taken, np.int32(-count), columns), axis=1)
    after = np.where(taken, np.int32(2 * count), columns)
    after = np.minimum.accumulate(after[:, ::-1], axis=1)[:, ::-1]
    return np.minimum(columns - before, after - columns).astype(np.float32)
