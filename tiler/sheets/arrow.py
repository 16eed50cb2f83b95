"""Arrowheads of grainlines and fold brackets."""

from __future__ import annotations

from tiler.pattern.affine import Point
from tiler.pattern.path import polyline
from tiler.sheets.drawing import Fill

#: How long an arrowhead is, millimetres.
ARROW = 4.0


def arrowhead(tip: Point, direction: tuple[float, float], length: float = ARROW) -> Fill:
    """A filled arrowhead that points along a unit direction."""
    (x, y), (dx, dy) = tip, direction
    back, half = Point(x - dx * length, y - dy * length), length * 0.28
    left = Point(back.x - dy * half, back.y + dx * half)
    right = Point(back.x + dy * half, back.y - dx * half)
    return Fill((polyline([tip, left, right], closed=True),), 0.0)
