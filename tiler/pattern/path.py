"""Paths of lines and cubic Béziers, and what can be measured on them."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds, bounds_of_points
from tiler.pattern.segment import (
    Cubic,
    Segment,
    Straight,
    area_under,
    chords,
    direction,
    moved,
    parameter_at,
)


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
        return sum(area_under(segment) for segment in self.segments)

    def moved(self, by: Affine) -> Path:
        """The path after an affine map."""
        return Path(tuple(moved(segment, by) for segment in self.segments), self.closed)

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
            pieces = chords(segment, tolerance)
            points.extend(segment.at(i / pieces) for i in range(1, pieces))
            points.append(segment.end)
        return points

    def point_at(self, distance: float) -> tuple[Point, tuple[float, float]]:
        """The point a number of millimetres along the path, and the unit direction there."""
        left = min(max(distance, 0.0), self.length)
        for index, segment in enumerate(self.segments):
            length = segment.length
            if left <= length or index == len(self.segments) - 1:
                t = parameter_at(segment, min(left, length), length)
                return segment.at(t), direction(segment, t)
            left -= length
        raise AssertionError("a path has at least one segment")


def polyline(points: Sequence[Point], *, closed: bool = False) -> Path:
    """A path of straight lines through points (at least two)."""
    pairs = list(pairwise(points))
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
        segments.append(moved(quarter, place))
    return Path(tuple(segments), closed=True)


def rectangle(bounds: Bounds) -> Path:
    """The outline of an upright rectangle."""
    return polyline(bounds.corners(), closed=True)
