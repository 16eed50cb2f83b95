"""Where crosses stand that two windows show at one place of the cloth."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import product

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from tiler.layout.mats.stepping import Window
from tiler.layout.mats.windows import Series
from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds

#: From the middle of a cross to where it and its letter end, mm.
REACH = 16.0
#: How far apart the places are that are tried, mm.
_STEP = 4.0
#: Two crosses so far apart hold the cloth well: half a millimetre there is 1.5 mm at 600 mm;
#: common practice, no source.
_FAR = 200.0
#: So far beside a piece there mostly is cloth, mm; common practice, no source.
_BESIDE = 50.0
#: No I and no O, which look like figures.
_LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"


@dataclass(frozen=True)
class Cross:
    """A cross to be marked on the cloth.

    Args:
        letter: Its name in the series.
        at: On the cloth, mm.
        first: Number of the window in which it is marked.
        second: Number of the window in which the mark is laid on the cross.
    """

    letter: str
    at: Point
    first: int
    second: int


def crosses_of(
    series: Series, lines: BaseGeometry, bodies: BaseGeometry, folds: BaseGeometry
) -> tuple[Cross, ...]:
    """Two crosses for each pair of windows side by side, as far apart as they can be.

    Within the pieces there surely is cloth: they stand there, clear of the lines, unless they
    would be close together. Then they may stand a little beside the pieces, but not beyond a fold.

    Args:
        series: The windows.
        lines: All lines of its pieces, on the cloth.
        bodies: The cloth of its pieces.
        folds: Edges that lie on the fold of the cloth; empty where there are none.
    """
    beside = bodies.buffer(_BESIDE).difference(folds.buffer(_BESIDE + 1)).union(bodies)
    for shape in (lines, bodies, beside):
        shapely.prepare(shape)
    found: list[Cross] = []
    pairs = [
        (one, other)
        for one, other in product(series.windows, series.windows)
        if one.number < other.number
        and abs(one.column - other.column) + abs(one.row - other.row) == 1
    ]
    for one, other in sorted(pairs, key=lambda pair: (pair[1].number, pair[0].number)):
        for at in _places(one, other, lines, bodies, beside):
            found.append(Cross(_letter(len(found)), at, one.number, other.number))
    return tuple(found)


def _letter(number: int) -> str:
    turns, rest = divmod(number, len(_LETTERS))
    return _LETTERS[rest] + (str(turns + 1) if turns else "")


def _places(
    one: Window, other: Window, lines: BaseGeometry, bodies: BaseGeometry, beside: BaseGeometry
) -> tuple[Point, Point]:
    strip = one.lies.cut(other.lies).grown(-REACH)
    upright = one.row == other.row
    points = _tried(strip)
    shapes = shapely.points(points)
    clear = shapely.distance(shapes, lines) >= REACH
    near = shapely.contains(beside, shapes)
    within = shapely.contains(bodies, shapes)
    best: tuple[Point, Point] | None = None
    for choice in (clear & within, clear & near):
        pair = _ends(points[choice], strip, upright=upright)
        if pair and pair[0].to(pair[1]) >= _FAR:
            return pair
        if pair and (best is None or pair[0].to(pair[1]) > best[0].to(best[1])):
            best = pair
    for choice in (near, clear, np.ones(len(points), dtype=bool)):
        best = best or _ends(points[choice], strip, upright=upright)
    assert best is not None  # the last choice has all places
    return best


def _tried(strip: Bounds) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    across = np.arange(strip.left, strip.right + 1e-9, _STEP)
    up = np.arange(strip.bottom, strip.top + 1e-9, _STEP)
    return np.stack(np.meshgrid(across, up), axis=-1).reshape(-1, 2)


def _ends(
    points: np.ndarray[tuple[int, int], np.dtype[np.float64]], strip: Bounds, *, upright: bool
) -> tuple[Point, Point] | None:
    """The lowest and the highest of some places along a strip, each near its middle line."""
    along, beside = (1, 0) if upright else (0, 1)
    middle = strip.centre[beside]
    if len(points) < 2:
        return None
    low, high = float(points[:, along].min()), float(points[:, along].max())
    if high - low < 2 * REACH:
        return None
    found = []
    for level in (low, high):
        there = points[np.abs(points[:, along] - level) < 1e-9]
        best = there[np.argmin(np.abs(there[:, beside] - middle))]
        found.append(Point(float(best[0]), float(best[1])))
    return found[0], found[1]
