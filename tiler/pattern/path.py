"""Lines and cubic Béziers, and what can be measured on them."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
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


class Bounds(NamedTuple):
    """An upright rectangle in millimetres."""

    left: float
    bottom: float
    right: float
    top: float

    @property
    def width(self) -> float:
        """Extent across, in millimetres."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Extent up, in millimetres."""
        return self.top - self.bottom

    @property
    def centre(self) -> Point:
        """The middle of the rectangle."""
        return Point((self.left + self.right) / 2, (self.bottom + self.top) / 2)

    def grown(self, by: float) -> Bounds:
        """The rectangle with every side moved outwards (inwards when negative)."""
        return Bounds(self.left - by, self.bottom - by, self.right + by, self.top + by)

    def joined(self, other: Bounds) -> Bounds:
        """The smallest rectangle that holds both."""
        return Bounds(
            min(self.left, other.left),
            min(self.bottom, other.bottom),
            max(self.right, other.right),
            max(self.top, other.top),
        )

    def meets(self, other: Bounds) -> bool:
        """Whether the two share more than an edge."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.bottom < other.top
            and other.bottom < self.top
        )

    def holds(self, other: Bounds) -> bool:
        """Whether the other lies within this one."""
        return (
            self.left <= other.left
            and self.bottom <= other.bottom
            and other.right <= self.right
            and other.top <= self.top
        )

    def cut(self, other: Bounds) -> Bounds:
        """What the two share (they must meet)."""
        return Bounds(
            max(self.left, other.left),
            max(self.bottom, other.bottom),
            min(self.right, other.right),
            min(self.top, other.top),
        )

    def corners(self) -> tuple[Point, Point, Point, Point]:
        """Lower left, lower right, upper right, upper left."""
        return (
            Point(self.left, self.bottom),
            Point(self.right, self.bottom),
            Point(self.right, self.top),
            Point(self.left, self.top),
        )

    def moved(self, by: Affine) -> Bounds:
        """The smallest upright rectangle round the moved one."""
        return bounds_of_points([by(corner) for corner in self.corners()])


def bounds_of_points(points: Sequence[Point]) -> Bounds:
    """The smallest rectangle round points (at least one)."""
    xs = [p.x for p in points]
    ys = [p.y for p in points]
    return Bounds(min(xs), min(ys), max(xs), max(ys))


def bounds_of(boxes: Sequence[Bounds]) -> Bounds:
    """The smallest rectangle round rectangles (at least one)."""
    return Bounds(
        min(b.left for b in boxes),
        min(b.bottom for b in boxes),
        max(b.right for b in boxes),
        max(b.top for b in boxes),
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

        Adaptive 16-point Gauss-Legendre quadrature of the speed: a piece is halved until its two
        halves agree with it to 1e-9 of the control polygon.
        """
        polygon = sum(a.to(b) for a, b in itertools.pairwise(self))
        return self._length(0.0, 1.0, 1e-9 * polygon, 12)

    def _length(self, low: float, high: float, tolerance: float, depth: int) -> float:
        whole = self._gauss(low, high)
        middle = (low + high) / 2
        left, right = self._gauss(low, middle), self._gauss(middle, high)
        if depth == 0 or abs(left + right - whole) <= tolerance:
            return left + right
        return self._length(low, middle, tolerance / 2, depth - 1) + self._length(
            middle, high, tolerance / 2, depth - 1
        )

    def _gauss(self, low: float, high: float) -> float:
        half, middle = (high - low) / 2, (high + low) / 2
        total = 0.0
        for node, weight in _GAUSS:
            total += weight * math.hypot(*self.speed(middle + half * node))
            total += weight * math.hypot(*self.speed(middle - half * node))
        return half * total

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
        ab, bc, cd = (Straight(p, q).at(t) for p, q in itertools.pairwise(self))
        abc, bcd = Straight(ab, bc).at(t), Straight(bc, cd).at(t)
        middle = Straight(abc, bcd).at(t)
        return Cubic(self.start, ab, abc, middle), Cubic(middle, bcd, cd, self.end)


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


@dataclass(frozen=True, slots=True)
class Path:
    """Segments that follow one another, end to start; `closed` when the last meets the first."""

    segments: tuple[Segment, ...]
    closed: bool = False

    @property
    def start(self) -> Point:
        """The first point."""
        return self.segments[0].start

    @property
    def end(self) -> Point:
        """The last point."""
        return self.segments[-1].end

    @property
    def length(self) -> float:
        """Millimetres along the path."""
        return sum(segment.length for segment in self.segments)

    @property
    def bounds(self) -> Bounds:
        """The exact smallest upright rectangle round the path."""
        return bounds_of_points([p for segment in self.segments for p in segment.extremes()])

    @property
    def area(self) -> float:
        """Signed area in square millimetres, positive anticlockwise; exact for cubics.

        Green's theorem; the closed form for a cubic is integrated term by term.
        """
        return sum(_area_under(segment) for segment in self.segments)

    def moved(self, by: Affine) -> Path:
        """The path after an affine map."""
        return Path(tuple(_moved(segment, by) for segment in self.segments), self.closed)

    def reversed(self) -> Path:
        """The same path walked the other way."""
        return Path(tuple(type(s)(*s[::-1]) for s in reversed(self.segments)), self.closed)

    def nodes(self) -> Iterator[Point]:
        """The points where segments begin, and the last end."""
        for segment in self.segments:
            yield segment.start
        yield self.end

    def flattened(self, tolerance: float = 0.05) -> list[Point]:
        """Points along the path whose chords stay within `tolerance` millimetres of it."""
        points = [self.start]
        for segment in self.segments:
            if isinstance(segment, Straight):
                points.append(segment.end)
                continue
            pieces = _chords(segment, tolerance)
            points.extend(segment.at(i / pieces) for i in range(1, pieces))
            points.append(segment.end)
        return points

    def point_at(self, distance: float) -> tuple[Point, tuple[float, float]]:
        """The point a number of millimetres along the path, and the unit direction there."""
        left = min(max(distance, 0.0), self.length)
        for index, segment in enumerate(self.segments):
            length = segment.length
            if left <= length or index == len(self.segments) - 1:
                t = _parameter(segment, min(left, length), length)
                return segment.at(t), direction(segment, t)
            left -= length
        raise AssertionError("a path has at least one segment")


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


def polyline(points: Sequence[Point], *, closed: bool = False) -> Path:
    """A path of straight lines through points (at least two)."""
    pairs = list(itertools.pairwise(points))
    if closed and points[0] != points[-1]:
        pairs.append((points[-1], points[0]))
    return Path(tuple(Straight(a, b) for a, b in pairs), closed)


#: Handle length of a quarter circle by one cubic, 4/3 (sqrt 2 - 1): radial error at most
#: 0.0273 %. Source: Goldapp, "Approximation of circular arcs by cubic polynomials" (1991).
QUARTER_ARC = 4 / 3 * (math.sqrt(2) - 1)


def circle(centre: Point, radius: float) -> Path:
    """A circle of four cubics, anticlockwise from the right."""
    k = QUARTER_ARC
    quarter = Cubic(Point(1, 0), Point(1, k), Point(k, 1), Point(0, 1))
    segments: list[Segment] = []
    for step in range(4):
        place = Affine.turn(90 * step).then(Affine(radius, 0, 0, radius, centre.x, centre.y))
        segments.append(_moved(quarter, place))
    return Path(tuple(segments), closed=True)


def rectangle(bounds: Bounds) -> Path:
    """The outline of an upright rectangle."""
    return polyline(bounds.corners(), closed=True)


def _moved(segment: Segment, by: Affine) -> Segment:
    return type(segment)(*(by(point) for point in segment))


def _area_under(segment: Segment) -> float:
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


def _chords(curve: Cubic, tolerance: float) -> int:
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


def _parameter(segment: Segment, distance: float, length: float) -> float:
    if length == 0:
        return 0.0
    if isinstance(segment, Straight):
        return distance / length
    low, high = 0.0, 1.0
    for _ in range(60):
        middle = (low + high) / 2
        if segment.split(middle)[0].length < distance:
            low = middle
        else:
            high = middle
        if high - low < 1e-10:
            break
    return (low + high) / 2
