"""Upright rectangles."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from tiler.pattern.affine import Affine, Point


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
        if by.b == by.c == 0.0:
            # Pages and words are shifted far more often than turned.
            one, other = by(Point(self.left, self.bottom)), by(Point(self.right, self.top))
            return bounds_of_points((one, other))
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
