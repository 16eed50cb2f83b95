"""Legs beside a corner: straight or bent lines through noisy points, and where they meet."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from tiler.intake.photo.model import Numbers, Points

#: No line is known better than this, millimetres.
FINEST = 0.03


def slope(points: Points) -> Numbers:
    """The direction of points along a line, by least squares across it."""
    if len(points) == 2:
        chord: Numbers = points[1] - points[0]
        return chord / max(float(np.hypot(*chord)), 1e-9)
    off = points - points.mean(axis=0)
    (a, b), (_, d) = off.T @ off
    angle = 0.5 * math.atan2(2 * b, a - d)
    way = np.array([math.cos(angle), math.sin(angle)])
    return way if float(way @ (points[-1] - points[0])) >= 0 else -way


def turn_between(one: Numbers, other: Numbers) -> float:
    """Degrees from one direction to another, positive to the left."""
    cross = float(one[0] * other[1] - one[1] * other[0])
    return math.degrees(math.atan2(cross, float(one @ other)))


@dataclass(frozen=True, eq=False)
class BentLeg:
    """A fitted leg: through `at` along `way`, bent to the left by `bent` (1/mm)."""

    at: Numbers
    way: Numbers
    bent: float
    misfit: float
    count: int

    def place(self, x: float) -> Numbers:
        """The place some millimetres along it."""
        left = np.array([-self.way[1], self.way[0]])
        place: Numbers = self.at + self.way * x + left * (self.bent * x * x / 2)
        return place

    def heading(self, x: float) -> Numbers:
        """Its direction there, not of unit length."""
        left = np.array([-self.way[1], self.way[0]])
        heading: Numbers = self.way + left * (self.bent * x)
        return heading

    def noise(self) -> float:
        """Standard deviation of a point, millimetres."""
        spare = max(1, self.count - (3 if self.bent else 2))
        return math.sqrt(self.misfit / spare + FINEST**2)


def leg_through(points: Points, bent: bool) -> BentLeg:
    """The straight line or the parabola through points, by least squares across it."""
    way = slope(points)
    middle = points.mean(axis=0)
    left = np.array([-way[1], way[0]])
    x, y = (points - middle) @ way, (points - middle) @ left
    if not bent:
        return BentLeg(middle, way, 0.0, float(y @ y), len(points))
    c0, c1, c2 = (
        float(c) for c in np.linalg.lstsq(np.vander(x, 3, increasing=True), y, rcond=None)[0]
    )
    off = y - (c0 + c1 * x + c2 * x * x)
    turned = way + left * c1
    size = float(np.hypot(*turned))
    return BentLeg(middle + left * c0, turned / size, 2 * c2 / size, float(off @ off), len(points))


def meeting(one: BentLeg, other: BentLeg) -> tuple[Numbers, float] | None:
    """Where two legs meet, and the turn there."""
    a, b = 0.0, 0.0
    for _ in range(12):
        ta, tb = one.heading(a), other.heading(b)
        cross = float(ta[0] * tb[1] - ta[1] * tb[0])
        if abs(cross) < 0.1:
            return None
        off = other.place(b) - one.place(a)
        a += max(-20.0, min(20.0, float(off[0] * tb[1] - off[1] * tb[0]) / cross))
        b += max(-20.0, min(20.0, float(off[0] * ta[1] - off[1] * ta[0]) / cross))
    if max(abs(a), abs(b)) > 60.0:
        return None
    return one.place(a), turn_between(one.heading(a), other.heading(b))


def to_chords(points: Points, at: Numbers) -> float:
    """Millimetres from a place to the nearest chord between points."""
    start, step = points[:-1], np.diff(points, axis=0)
    size = np.maximum((step**2).sum(axis=1), 1e-12)
    t = np.clip(((at - start) * step).sum(axis=1) / size, 0.0, 1.0)
    return float(np.hypot(*(start + step * t[:, None] - at).T).min())
