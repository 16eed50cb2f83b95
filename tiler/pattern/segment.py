"""Straight lines and cubic Béziers."""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple, Union

from tiler.pattern.affine import Affine, Point

#: Nodes and weights of the 16-point Gauss-Legendre rule on (-1, 1), positive half.
#: Source: Abramowitz and Stegun, Handbook of Mathematical Functions, table 25.4.
_GAUSS = (
    (0.0950125098376374, 0.1894506104550685),
    (0.2816035507792589, 0.1826034150449236),
    (0.4580167776572274, 0.1691565193950025),
    (0.6178762444026438, 0.1495959888165767),
    (0.7554044083550030, 0.1246289712555339),
    (0.8656312023878318, 0.0951585116824928),
    (0.9445750230732326, 0.0622535239386479),
    (0.9894009349916499, 0.0271524594117541),
)


class Straight(NamedTuple):
    """A straight line between two points."""

    start: Point
    end: Point

    def at(self, t: float) -> Point:
        """The point at parameter t from 0 to 1."""
        (ax, ay), (bx, by) = self
        return Point(ax + (bx - ax) * t, ay + (by - ay) * t)

    def speed(self, t: float) -> tuple[float, float]:
        """The derivative with respect to t."""
        return self.end.x - self.start.x, self.end.y - self.start.y

    @property
    def length(self) -> float:
        """Millimetres along the line."""
        return self.start.to(self.end)

    def extremes(self) -> tuple[Point, ...]:
        """Points among which the outermost ones lie."""
        return self.start, self.end

    def split(self, t: float) -> tuple[Straight, Straight]:
        """The part before t and the part after it."""
        middle = self.at(t)
        return Straight(self.start, middle), Straight(middle, self.end)


class Cubic(NamedTuple):
    """A cubic Bézier from `start` to `end`, pulled by two handles."""

    start: Point
    handle_1: Point
    handle_2: Point
    end: Point

    def at(self, t: float) -> Point:
        """The point at parameter t from 0 to 1."""
        u = 1 - t
        a, b, c, d = u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = self
        return Point(a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3)

    def speed(self, t: float) -> tuple[float, float]:
        """The derivative with respect to t."""
        u = 1 - t
        a, b, c = 3 * u * u, 6 * u * t, 3 * t * t
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = self
        return (
            a * (x1 - x0) + b * (x2 - x1) + c * (x3 - x2),
            a * (y1 - y0) + b * (y2 - y1) + c * (y3 - y2),
        )

    @property
    def length(self) -> float:
        """Millimetres along the curve.

        Adaptive 16-point Gauss-Legendre quadrature of the speed between the places where the
        curve turns in x or in y: a piece is halved until its two halves agree with it to 1e-9 of
        the control polygon.
        """
        return _length(self)

    def extremes(self) -> tuple[Point, ...]:
        """Ends and turning points in x and in y, among which the outermost points lie."""
        found = [self.start, self.end]
        for axis in (0, 1):
            p0, p1, p2, p3 = (p[axis] for p in self)
            for t in _quadratic_roots(p3 - 3 * p2 + 3 * p1 - p0, 2 * (p2 - 2 * p1 + p0), p1 - p0):
                if 0 < t < 1:
                    found.append(self.at(t))
        return tuple(found)

    def split(self, t: float) -> tuple[Cubic, Cubic]:
        """The part before t and the part after it (de Casteljau)."""
        ab, bc, cd = (Straight(p, q).at(t) for p, q in pairwise(self))
        abc, bcd = Straight(ab, bc).at(t), Straight(bc, cd).at(t)
        middle = Straight(abc, bcd).at(t)
        return Cubic(self.start, ab, abc, middle), Cubic(middle, bcd, cd, self.end)


@lru_cache(maxsize=1 << 15)
def _length(curve: Cubic) -> float:
    # Walking a seam asks for the same lengths again and again.
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = curve
    ax, ay = 3 * (x1 - x0), 3 * (y1 - y0)
    bx, by = 6 * (x2 - 2 * x1 + x0), 6 * (y2 - 2 * y1 + y0)
    cx, cy = 3 * (x3 - 3 * x2 + 3 * x1 - x0), 3 * (y3 - 3 * y2 + 3 * y1 - y0)

    def gauss(low: float, high: float) -> float:
        half, middle = (high - low) / 2, (high + low) / 2
        total = 0.0
        for node, weight in _GAUSS:
            t, u = middle + half * node, middle - half * node
            total += weight * (
                math.hypot(ax + (bx + cx * t) * t, ay + (by + cy * t) * t)
                + math.hypot(ax + (bx + cx * u) * u, ay + (by + cy * u) * u)
            )
        return half * total

    def halved(low: float, high: float, whole: float, tolerance: float, depth: int) -> float:
        middle = (low + high) / 2
        left, right = gauss(low, middle), gauss(middle, high)
        if depth == 0 or abs(left + right - whole) <= tolerance:
            return left + right
        return halved(low, middle, left, tolerance / 2, depth - 1) + halved(
            middle, high, right, tolerance / 2, depth - 1
        )

    # Where the curve turns back the speed has a kink, which a rule across it can miss.
    turns = [t for x in ((cx, bx, ax), (cy, by, ay)) for t in _quadratic_roots(*x) if 0 < t < 1]
    tolerance = 1e-9 * sum(a.to(b) for a, b in pairwise(curve))
    return sum(
        halved(low, high, gauss(low, high), tolerance, 12)
        for low, high in pairwise([0.0, *sorted(turns), 1.0])
    )


Segment = Union[Straight, Cubic]  # noqa: UP007  (a name that isinstance and mypy both accept)


def _quadratic_roots(a: float, b: float, c: float) -> list[float]:
    scale = max(abs(a), abs(b), abs(c))
    if scale == 0:
        return []
    if abs(a) <= 1e-12 * scale:
        return [-c / b] if b else []
    disc = b * b - 4 * a * c
    if disc < 0:
        return []
    # The form that does not subtract nearly equal numbers (Numerical Recipes, "Quadratic and
    # Cubic Equations").
    q = -0.5 * (b + math.copysign(math.sqrt(disc), b))
    return [q / a, c / q] if q else [0.0]


def direction(segment: Segment, t: float) -> tuple[float, float]:
    """Unit vector along a segment at parameter t, also where a handle has no length."""
    dx, dy = segment.speed(t)
    size = math.hypot(dx, dy)
    reach = max(1e-12, segment.start.to(segment.end) * 1e-9)
    if size <= reach:
        step = 1e-4 if t < 0.5 else -1e-4
        here, near = segment.at(t), segment.at(t + step)
        dx, dy = (near.x - here.x) / step, (near.y - here.y) / step
        size = math.hypot(dx, dy)
    return (dx / size, dy / size) if size else (1.0, 0.0)


def turn_between(before: Segment, after: Segment) -> float:
    """Degrees by which the way turns from the end of one segment to the start of the next.

    Positive to the left, from -180 to 180.
    """
    ax, ay = direction(before, 1.0)
    bx, by = direction(after, 0.0)
    return math.degrees(math.atan2(ax * by - ay * bx, ax * bx + ay * by))


def moved(segment: Segment, by: Affine) -> Segment:
    """The segment after an affine map."""
    return type(segment)(*(by(point) for point in segment))


def area_under(segment: Segment) -> float:
    """The integral of (x dy - y dx) / 2 along the segment, in square millimetres."""
    if isinstance(segment, Straight):
        (x0, y0), (x1, y1) = segment
        return (x0 * y1 - x1 * y0) / 2
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = segment
    return (
        x0 * (6 * y1 + 3 * y2 + y3)
        + x1 * (-6 * y0 + 3 * y2 + 3 * y3)
        + x2 * (-3 * y0 - 3 * y1 + 6 * y3)
        - x3 * (y0 + 3 * y1 + 6 * y2)
    ) / 20


def chords(curve: Cubic, tolerance: float) -> int:
    """Equal steps in t that keep every chord within the tolerance.

    The distance of a curve from its chord over a step h is at most h^2 / 8 times the largest
    second derivative (Taylor), which for a Bézier is bounded by its control points.
    """
    p0, p1, p2, p3 = curve
    bend = max(
        math.hypot(p0.x - 2 * p1.x + p2.x, p0.y - 2 * p1.y + p2.y),
        math.hypot(p1.x - 2 * p2.x + p3.x, p1.y - 2 * p2.y + p3.y),
    )
    return max(1, math.ceil(math.sqrt(6 * bend / (8 * tolerance))))


def parameter_at(segment: Segment, distance: float, length: float) -> float:
    """The parameter at which a segment of that length has run a distance, both millimetres."""
    if length == 0:
        return 0.0
    if isinstance(segment, Straight):
        return distance / length
    # Newton's steps, each kept between what is known to be too little and too much.
    low, high, t = 0.0, 1.0, min(max(distance / length, 0.0), 1.0)
    for _ in range(60):
        over = segment.split(t)[0].length - distance if t else -distance
        low, high = (t, high) if over < 0 else (low, t)
        speed = math.hypot(*segment.speed(t))
        step = over / speed if speed else 0.0
        near = abs(over) <= 1e-10 * length
        if near or high - low < 1e-10:
            break
        t = t - step if low < t - step < high else (low + high) / 2
    return t
