"""All units in all their turns, as pixels."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from tiler.layout.ink import moved
from tiler.layout.packing.lattice import Lattice, lattice_for
from tiler.layout.packing.options import Packing
from tiler.layout.packing.raster import rings_of
from tiler.layout.packing.shape import Shape
from tiler.layout.packing.stamp import NEVER, Stamp, lone_stamp_of, stamp_of
from tiler.layout.packing.turns import turns_of
from tiler.pattern.affine import Affine

#: Outlines are made simpler by half of this before they are drawn in pixels, millimetres.
_COARSE = 0.1
#: Millimetres that are added to half the gap, so that no rounding makes it less.
_SPARE = 0.1


@dataclass(frozen=True, slots=True)
class Attempt:
    """How a set is drawn in pixels.

    Args:
        bold: Pixels by which units are made smaller. A pixel that is only touched is taken whole,
            so most still come out the gap apart; the others are pushed apart later (`ease`).
        roomier: Rows and columns of cells by which the canvas is larger than usual.
        strict: Whether units that are kept together stay whole, too, where that is asked.
    """

    bold: float = 0.0
    roomier: int = 0
    strict: bool = True


def stamped(
    shapes: Sequence[Shape],
    pitch: tuple[float, float],
    past: tuple[float, float],
    packing: Packing,
    attempt: Attempt,
) -> tuple[Lattice, list[list[Stamp]]]:
    """The canvas, and for each unit its stamps; those that do not go on the canvas are left out.

    Args:
        shapes: The units.
        pitch: Millimetres from page to page, across and up.
        past: Millimetres that the outermost pages of a sheet show beyond their cells, each side.
        packing: What is asked.
        attempt: How boldly.

    Raises:
        ValueError: A unit that must lie on one page fits on none.
    """
    turns = [turns_of(shape, packing.effort, packing.turn) for shape in shapes]
    extents = [_extent(shape, degrees) for shape, degrees in zip(shapes, turns, strict=True)]
    lattice = lattice_for(shapes, extents, pitch, packing.effort, packing.gap, attempt.roomier)
    margin = _margin(lattice, packing, attempt)
    made = []
    for shape, degrees in zip(shapes, turns, strict=True):
        grown = rings_of(_grown(shape, margin))
        stamps = []
        for turn in degrees:
            stamps.append(stamp_of(shape, grown, margin, turn, lattice))
            lone = lone_stamp_of(shape, turn, lattice, past)
            if lone:
                stamps.append(lone)
        fits = [stamp for stamp in stamps if _goes_on(stamp, lattice)]
        small = packing.small_whole and (attempt.strict or shape.group < 0)
        made.append(_useful(fits, shape, small))
    return lattice, made


def finer(
    shapes: Sequence[Shape],
    past: tuple[float, float],
    packing: Packing,
    attempt: Attempt,
    lattice: Lattice,
    stamps: Sequence[Sequence[Stamp]],
) -> tuple[Lattice, Callable[[int, int], Stamp]]:
    """The canvas with pixels half as large, and what draws one of the stamps on it when asked.

    Args:
        shapes: The units.
        past: Millimetres that the outermost pages of a sheet show beyond their cells, each side.
        packing: What is asked.
        attempt: How boldly.
        lattice: The canvas.
        stamps: Each unit in its turns.
    """
    rim = 2 * lattice.rim
    fine = replace(lattice, nx=2 * lattice.nx, ny=2 * lattice.ny, rim=rim)
    margin = _margin(fine, packing, attempt)
    grown = [rings_of(_grown(shape, margin)) for shape in shapes]

    @cache
    def draw(unit: int, number: int) -> Stamp:
        coarse, shape = stamps[unit][number], shapes[unit]
        degrees = math.degrees(math.atan2(coarse.at.b, coarse.at.a))
        lone = lone_stamp_of(shape, degrees, fine, past) if coarse.alone else None
        if lone:
            return lone
        drawn = stamp_of(shape, grown[unit], margin, degrees, fine)
        return _kept_whole(drawn) if coarse.counts.max() >= NEVER else drawn

    return fine, draw


def _margin(lattice: Lattice, packing: Packing, attempt: Attempt) -> float:
    return max(0.0, packing.gap / 2 + _SPARE - attempt.bold * max(lattice.pixel))


def _grown(shape: Shape, margin: float) -> BaseGeometry:
    """The body, wider by the margin, of fewer corners and no smaller."""
    coarse = min(_COARSE, margin)
    return shape.body.buffer(margin, quad_segs=8).simplify(coarse / 2)


def _useful(stamps: list[Stamp], shape: Shape, small_whole: bool) -> list[Stamp]:
    """Of a unit that is not to be split only the turns on one page, where there is one."""
    if shape.whole or small_whole:
        one = [_kept_whole(stamp) for stamp in stamps if stamp.fewest <= 1]
        if shape.whole and not one:
            raise ValueError(f"unit {shape.index} must lie on one page and fits on none")
        return one or stamps
    return stamps


def _kept_whole(stamp: Stamp) -> Stamp:
    return replace(stamp, counts=np.where(stamp.counts > 1, NEVER, stamp.counts).astype(np.float32))


def _goes_on(stamp: Stamp, lattice: Lattice) -> bool:
    rows, columns = stamp.mask.shape
    high = lattice.rows * lattice.ny + 2 * lattice.rim
    wide = lattice.columns * lattice.nx + 2 * lattice.rim
    return bool(rows <= high and columns <= wide)


def _extent(shape: Shape, turns: list[float]) -> tuple[float, float]:
    """Width and height in the turn whose rectangle is smallest."""
    found = []
    hull = shapely.MultiPoint(shape.chords.reshape(-1, 2)).convex_hull
    points = np.asarray(shapely.get_coordinates(hull))
    for degrees in turns:
        at = Affine.turn(degrees)
        placed = moved(points, at)
        width, height = placed.max(axis=0) - placed.min(axis=0)
        found.append((round(float(width * height), 3), degrees, float(width), float(height)))
    _, _, width, height = min(found)
    return width, height
