"""Reflection in a straight line, and how far things are from that line."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tiler.pattern.affine import Affine, Point
from tiler.pattern.path import Path


@dataclass(frozen=True, slots=True)
class Axis:
    """The straight line through two different points."""

    start: Point
    end: Point

    @property
    def length(self) -> float:
        """Millimetres between the two points."""
        return self.start.to(self.end)

    @property
    def direction(self) -> tuple[float, float]:
        """Unit vector from the first point to the second."""
        length = self.length
        return (self.end.x - self.start.x) / length, (self.end.y - self.start.y) / length

    @property
    def mirror(self) -> Affine:
        """The reflection that leaves every point of the line where it is.

        The Householder matrix 2 u u' - 1 of the unit direction u; exact for upright and level
        lines.
        """
        x, y = self.direction
        across = Affine(x * x - y * y, 2 * x * y, 2 * x * y, y * y - x * x)
        moved = across(self.start)
        return across.then(Affine.move(self.start.x - moved.x, self.start.y - moved.y))

    def offset(self, point: Point) -> float:
        """Millimetres from the line, positive on its left."""
        x, y = self.direction
        return x * (point.y - self.start.y) - y * (point.x - self.start.x)

    def foot(self, point: Point) -> Point:
        """The place on the line that is nearest to a point."""
        x, y = self.direction
        along = x * (point.x - self.start.x) + y * (point.y - self.start.y)
        return Point(self.start.x + x * along, self.start.y + y * along)

    def bulge(self, path: Path) -> float:
        """The largest distance (millimetres) of a path from the line, on either side."""
        return max(abs(self.offset(point)) for point in path.flattened())


def angle_between(one: tuple[float, float], other: tuple[float, float]) -> float:
    """Degrees between two directions, from 0 to 180."""
    across = one[0] * other[1] - one[1] * other[0]
    along = one[0] * other[0] + one[1] * other[1]
    return math.degrees(math.atan2(abs(across), along))
