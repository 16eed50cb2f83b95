"""What is laid on a strip: outlines that keep their form, and the turns that each may take."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from shapely import affinity
from shapely.geometry.base import BaseGeometry

from tiler.layout.packing.options import Packing
from tiler.layout.packing.shape import Shape, shapes_of
from tiler.layout.packing.turns import turns_of
from tiler.pattern.affine import Affine
from tiler.pattern.model import Piece

#: Turns that are nearer to each other than this are one, degrees.
_SAME = 0.01


@dataclass(frozen=True, eq=False)
class Item:
    """One thing to lay.

    Args:
        body: All that it takes up, in its own coordinates, millimetres, y up.
        turns: Degrees anticlockwise that it may be turned by, best first; at least one.
    """

    body: BaseGeometry
    turns: tuple[float, ...] = (0.0,)

    @property
    def area(self) -> float:
        """Square millimetres that it takes up."""
        return float(self.body.area)

    @cached_property
    def _corners(self) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
        return np.asarray(shapely.get_coordinates(self.body.convex_hull))

    def size(self, degrees: float) -> tuple[float, float]:
        """Width and height in a turn, millimetres."""
        turn = Affine.turn(degrees)
        along = self._corners @ np.array([[turn.a, turn.b], [turn.c, turn.d]])
        width, height = np.ptp(along, axis=0)
        return float(width), float(height)

    @property
    def least_width(self) -> float:
        """Its width in the turn in which it is narrowest, millimetres."""
        return min(self.size(degrees)[0] for degrees in self.turns)

    def fits(self, width: float, height: float = math.inf) -> tuple[float, ...]:
        """The turns in which it goes into a rectangle, millimetres."""
        sizes = [(degrees, *self.size(degrees)) for degrees in self.turns]
        return tuple(d for d, w, h in sizes if w <= width + 1e-6 and h <= height + 1e-6)

    def turned(self, at: Affine) -> BaseGeometry:
        """Its body after a turn and a shift."""
        return affinity.affine_transform(self.body, [at.a, at.c, at.b, at.d, at.e, at.f])


def items_of(units: Sequence[Sequence[Piece]], packing: Packing) -> tuple[Item, ...]:
    """Units of a pattern, which may turn freely or not at all, as the packing says.

    Args:
        units: Pieces that keep their places to each other.
        packing: What is asked.
    """
    return tuple(item_of(shape, packing) for shape in shapes_of(units))


def item_of(shape: Shape, packing: Packing) -> Item:
    """A unit with the turns in which it is tried.

    The directions in which it is narrowest and in which it goes into the smallest rectangle are
    among them to the last digit: a piece that just goes on a roll is not refused.
    """
    if not packing.turn:
        return Item(shape.body, (0.0,))
    turns = turns_of(shape, packing.effort, free=True)
    for degrees in _tightest(shape.body):
        apart = [abs((degrees - other + 180) % 360 - 180) for other in turns]
        if min(apart) >= _SAME:
            turns.append(degrees)
    return Item(shape.body, tuple(turns))


def _tightest(body: BaseGeometry) -> list[float]:
    """Turns that make a body narrowest across, and lowest, degrees.

    A convex outline is narrowest square to one of its sides (the way of the rotating calipers).
    """
    hull = np.asarray(shapely.get_coordinates(body.convex_hull))
    runs = hull[1:] - hull[:-1]
    runs = runs[np.hypot(runs[:, 0], runs[:, 1]) > 1e-9]
    angles = np.arctan2(runs[:, 1], runs[:, 0])
    normals = np.stack([-np.sin(angles), np.cos(angles)])
    widths = np.ptp(hull @ normals, axis=0)
    # The side stands upright then, or lies.
    best = math.degrees(float(angles[int(np.argmin(widths.round(6)))]))
    return [(quarter * 90 - best) % 360 for quarter in range(4)]
