"""Exact curves that a cut line is made of, before they become Béziers again."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from tiler.pattern.affine import Point
from tiler.pattern.segment import Cubic, Segment, Straight, direction

Vector = tuple[float, float]
Floats = NDArray[np.float64]


class Curve(Protocol):
    """A smooth curve in millimetres over a parameter from 0 to 1."""

    @property
    def straight(self) -> bool:
        """Whether it is a straight line."""

    def at(self, t: float) -> Point:
        """The point at parameter t."""

    def heading(self, t: float) -> Vector:
        """The unit direction at parameter t, towards larger t."""

    def sampled(self, shares: Floats) -> tuple[Floats, Floats]:
        """Points and unit directions at many parameters, each an array of pairs."""


@dataclass(frozen=True, slots=True)
class Shifted:
    """A segment moved to the left of its own way.

    The offset of P(t) is P(t) + distance * N(t), N the unit normal on the left (Farouki and Neff,
    "Analytic properties of plane offset curves", 1990); it is a Bézier only for straight lines.

    Args:
        segment: The line that it runs beside.
        distance: Millimetres to the left; 0 is the segment itself.
    """

    segment: Segment
    distance: float = 0.0

    @property
    def straight(self) -> bool:
        """Whether it is a straight line."""
        return isinstance(self.segment, Straight)

    def at(self, t: float) -> Point:
        """The point at parameter t."""
        x, y = self.segment.at(t)
        if self.distance == 0:
            return Point(x, y)
        dx, dy = heading(self.segment, t)
        return Point(x - dy * self.distance, y + dx * self.distance)

    def heading(self, t: float) -> Vector:
        """The unit direction of the segment beside it."""
        return heading(self.segment, t)

    def sampled(self, shares: Floats) -> tuple[Floats, Floats]:
        """Points and unit directions at many parameters, each an array of pairs."""
        points, ways = sampled(self.segment, shares)
        return points + self.distance * np.column_stack([-ways[:, 1], ways[:, 0]]), ways


@dataclass(frozen=True, slots=True)
class Bit:
    """A part of a curve, walked one way or the other, that belongs to an edge.

    Args:
        curve: The whole curve.
        start: Its parameter where the part begins.
        end: Its parameter where the part ends; less than `start` when it is walked backwards.
        owner: Number of the edge in its ring.
        turned_back: Whether the offset runs against its segment here, beyond a cusp.
    """

    curve: Curve
    start: float
    end: float
    owner: int
    turned_back: bool = False

    @property
    def straight(self) -> bool:
        """Whether it is a straight line."""
        return self.curve.straight

    def at(self, s: float) -> Point:
        """The point at s, from 0 at the beginning of the part to 1 at its end."""
        return self.curve.at(self.parameter(s))

    def heading(self, s: float) -> Vector:
        """The unit direction at s, in the way of walking."""
        dx, dy = self.curve.heading(self.parameter(s))
        return (dx, dy) if (self.end >= self.start) is not self.turned_back else (-dx, -dy)

    def sampled(self, shares: Floats) -> tuple[Floats, Floats]:
        """Points and unit directions at many values of s, each an array of pairs."""
        points, ways = self.curve.sampled(self.start + (self.end - self.start) * shares)
        return points, ways if (self.end >= self.start) is not self.turned_back else -ways

    def parameter(self, s: float) -> float:
        """The curve's own parameter at s."""
        return self.start + (self.end - self.start) * s

    def part(self, low: float, high: float) -> Bit:
        """What lies between two values of s."""
        return replace(self, start=self.parameter(low), end=self.parameter(high))

    def reversed(self) -> Bit:
        """The same part walked the other way."""
        return replace(self, start=self.end, end=self.start)

    def steps(self, sagitta: float) -> int:
        """Equal steps in s whose chords stay within about `sagitta` millimetres of the curve.

        A chord that turns by an angle a and is c long is c * a / 8 from its arc.
        """
        if self.straight:
            return 1
        count = 8
        while count < 256:
            points, ways = self.sampled(np.linspace(0.0, 1.0, count + 1))
            chords = np.hypot(*(points[1:] - points[:-1]).T)
            (ax, ay), (bx, by) = ways[:-1].T, ways[1:].T
            turns = np.abs(np.arctan2(ax * by - ay * bx, ax * bx + ay * by))
            if (chords * turns <= 8 * sagitta).all():
                break
            count *= 2
        return count


def line(start: Point, end: Point, owner: int) -> Bit:
    """A straight part between two points."""
    return Bit(Shifted(Straight(start, end)), 0.0, 1.0, owner)


def heading(segment: Segment, t: float) -> Vector:
    """Unit direction of a segment, exact also at an end whose handle has no length."""
    dx, dy = segment.speed(t)
    size = math.hypot(dx, dy)
    if size > 1e-9 * (1.0 + segment.start.to(segment.end)):
        return dx / size, dy / size
    if isinstance(segment, Cubic) and (t < 1e-6 or t > 1 - 1e-6):
        way = 1.0 if t < 0.5 else -1.0
        origin, *others = segment if t < 0.5 else segment[::-1]
        for other in others:
            size = origin.to(other)
            if size > 1e-9:
                return way * (other.x - origin.x) / size, way * (other.y - origin.y) / size
    return direction(segment, t)


def sampled(segment: Segment, shares: Floats) -> tuple[Floats, Floats]:
    """Points and unit directions of a segment at many parameters, each an array of pairs."""
    nodes = np.array(segment)
    steps = nodes[1:] - nodes[:-1]
    if isinstance(segment, Straight):
        t = shares[:, None]
        points, speeds = nodes[0] + steps * t, steps + 0.0 * t
    else:
        points, speeds = shaped(shares) @ nodes, 3 * _slopes(shares) @ steps
    sizes = np.hypot(speeds[:, 0], speeds[:, 1])
    slow = sizes <= 1e-9 * (1.0 + segment.start.to(segment.end))
    if not slow.any():
        return points, speeds / sizes[:, None]
    ways = speeds / np.where(slow, 1.0, sizes)[:, None]
    for number in np.flatnonzero(slow):
        ways[number] = heading(segment, float(shares[number]))
    return points, ways


def shaped(shares: Floats) -> Floats:
    """What the four points of a cubic count for at many parameters, a row for each of these."""
    u = 1 - shares
    weights = np.empty((len(shares), 4))
    weights[:, 0] = u**3
    weights[:, 1] = 3 * u * u * shares
    weights[:, 2] = 3 * u * shares * shares
    weights[:, 3] = shares**3
    return weights


def _slopes(shares: Floats) -> Floats:
    """The same for the three steps between them, in thirds of the speed."""
    u = 1 - shares
    weights = np.empty((len(shares), 3))
    weights[:, 0] = u * u
    weights[:, 1] = 2 * u * shares
    weights[:, 2] = shares * shares
    return weights


def along(point: Point, way: Vector, distance: float) -> Point:
    """The point a number of millimetres from another in a direction."""
    return Point(point.x + way[0] * distance, point.y + way[1] * distance)


def cross(a: Vector, b: Vector) -> float:
    """The z of the cross product: positive when b lies to the left of a."""
    return a[0] * b[1] - a[1] * b[0]


def dot(a: Vector, b: Vector) -> float:
    """The scalar product."""
    return a[0] * b[0] + a[1] * b[1]


def angle(a: Vector, b: Vector) -> float:
    """The angle between two directions in radians, 0 to pi."""
    return abs(math.atan2(cross(a, b), dot(a, b)))


def between(start: Point, end: Point) -> Vector:
    """The vector from one point to another."""
    return end.x - start.x, end.y - start.y
