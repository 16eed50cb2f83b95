"""Affine maps of the plane."""

from __future__ import annotations

import math
from typing import NamedTuple


class Point(NamedTuple):
    """A place in millimetres, x to the right and y up."""

    x: float
    y: float

    def to(self, other: Point) -> float:
        """Distance to another point, in millimetres."""
        return math.hypot(other.x - self.x, other.y - self.y)


class Affine(NamedTuple):
    """The map (x, y) -> (a x + c y + e, b x + d y + f), in the order that SVG and PDF use.

    >>> Affine.turn(90)(Point(1, 0))
    Point(x=0.0, y=1.0)
    """

    a: float = 1.0
    b: float = 0.0
    c: float = 0.0
    d: float = 1.0
    e: float = 0.0
    f: float = 0.0

    @classmethod
    def move(cls, x: float, y: float) -> Affine:
        """Shift by millimetres."""
        return cls(1.0, 0.0, 0.0, 1.0, x, y)

    @classmethod
    def scale(cls, x: float, y: float) -> Affine:
        """Stretch about the origin."""
        return cls(x, 0.0, 0.0, y, 0.0, 0.0)

    @classmethod
    def turn(cls, degrees: float) -> Affine:
        """Turn anticlockwise about the origin; quarter turns are exact."""
        quarter, rest = divmod(degrees, 90)
        if rest == 0:
            cos, sin = ((1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0))[int(quarter) % 4]
        else:
            cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        return cls(cos, sin, -sin, cos, 0.0, 0.0)

    def then(self, after: Affine) -> Affine:
        """The map that does this one first and `after` second."""
        return Affine(
            self.a * after.a + self.b * after.c,
            self.a * after.b + self.b * after.d,
            self.c * after.a + self.d * after.c,
            self.c * after.b + self.d * after.d,
            self.e * after.a + self.f * after.c + after.e,
            self.e * after.b + self.f * after.d + after.f,
        )

    def __call__(self, point: Point) -> Point:
        """Where a point lands."""
        x, y = point
        return Point(self.a * x + self.c * y + self.e, self.b * x + self.d * y + self.f)

    @property
    def determinant(self) -> float:
        """Signed factor by which areas grow; negative where the map flips the face."""
        return self.a * self.d - self.b * self.c


#: The map that moves nothing.
STILL = Affine()
