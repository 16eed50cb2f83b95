"""A line on its way to a corner or a crossing: what is measured before it, carried on."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.model import Points

Vector = NDArray[np.float64]

#: How much of a line is carried on, millimetres.
REACH = 12.0
#: A line shorter than this is carried on straight, millimetres.
_BENT = 7.0
#: How much smaller the squares of what is left must get for a bend to be believed.
_BELIEVED = 1.6


@dataclass(frozen=True, eq=False)
class Leg:
    """A parabola through the last stretch of a line.

    Args:
        origin: Where x is 0: beside the last point measured.
        along: Unit vector onwards.
        b: Slope of the parabola at 0.
        c: Half its curvature.
        back: x of the first point (negative).
        left_over: Root mean square of what the points are off it, millimetres.
    """

    origin: Vector
    along: Vector
    b: float
    c: float
    back: float
    left_over: float

    def at(self, x: float) -> Vector:
        """The point at `x`; beyond a length of its own it goes on straight."""
        far = max(0.0, x - 6.0)
        bent = x - far
        y = self.b * x + self.c * (bent * bent + 2 * 6.0 * far)
        return self.origin + self.along * x + self._side() * y

    def direction(self, x: float) -> Vector:
        """Unit tangent at `x`."""
        ahead = self.along + self._side() * (self.b + 2 * self.c * min(x, 6.0))
        return np.asarray(ahead / np.hypot(ahead[0], ahead[1]))

    def beside(self, point: Vector) -> float:
        """x of the place on it that a point is beside, about."""
        return float((point - self.origin) @ self.along)

    def _side(self) -> Vector:
        return np.array([-self.along[1], self.along[0]])


def leg_of(points: Points, reach: float = REACH) -> Leg | None:
    """Fit the last stretch of measured points, in order towards where the line goes on.

    A bend is believed only when it leaves clearly less; where the stretch is no parabola (it
    turns before), half of it is taken.

    Args:
        points: At least three of them.
        reach: How much of it, millimetres.
    """
    if len(points) < 3:
        return None
    away = np.hypot(*(points - points[-1]).T)
    outside = np.flatnonzero(away > reach)
    part = points[outside[-1] + 1 :] if len(outside) else points
    if len(part) < 3:
        return None
    ahead = part[-1] - part[0]
    length = float(np.hypot(ahead[0], ahead[1]))
    if length < 0.2:
        return None
    along = ahead / length
    side = np.array([-along[1], along[0]])
    origin = part[-1]
    x, y = (part - origin) @ along, (part - origin) @ side
    straight = np.polyfit(x, y, 1)
    off = y - np.polyval(straight, x)
    a, b, c = float(straight[1]), float(straight[0]), 0.0
    if length >= _BENT and len(part) >= 8:
        bent = np.polyfit(x, y, 2)
        bent_off = y - np.polyval(bent, x)
        if float(off @ off) > _BELIEVED * float(bent_off @ bent_off):
            a, b, c, off = float(bent[2]), float(bent[1]), float(bent[0]), bent_off
    left_over = float(np.sqrt(np.mean(off * off)))
    if left_over > 0.35 and reach > 5:
        return leg_of(points, reach / 2)
    return Leg(origin + side * a, along, b, c, float(x.min()), left_over)


def straight_leg(origin: Vector, along: Vector) -> Leg:
    """A leg that is only supposed: straight from a point in a direction (a unit vector)."""
    return Leg(origin, along, 0.0, 0.0, 0.0, 0.0)


def meeting(one: Leg, two: Leg) -> tuple[Vector, float, float] | None:
    """Where two legs meet, and x there on each; None when they do not."""
    x, y = 0.0, 0.0
    for _ in range(12):
        apart = two.at(y) - one.at(x)
        turn = np.column_stack((one.direction(x), -two.direction(y)))
        if abs(float(np.linalg.det(turn))) < 0.05:
            return None
        step = np.linalg.solve(turn, apart)
        x, y = x + float(np.clip(step[0], -10, 10)), y + float(np.clip(step[1], -10, 10))
        if float(np.abs(step).max()) < 1e-4:
            return (one.at(x) + two.at(y)) / 2, x, y
    return None
