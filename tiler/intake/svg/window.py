"""Drawings inside the drawing: an <svg> or <symbol> shows only what lies in its own rectangle."""

from __future__ import annotations

from typing import NamedTuple

from tiler.pattern.affine import Affine
from tiler.pattern.path import Path

#: How far a line may reach out before it counts as cut off, in user units of the inner drawing.
_SLACK = 0.01


class Window(NamedTuple):
    """A rectangle from the origin, seen through a map.

    Args:
        from_mm: From millimetres on the page into the rectangle's own units.
        width: Its width in those units.
        height: Its height in those units.
    """

    from_mm: Affine
    width: float
    height: float

    def holds(self, path: Path) -> bool:
        """Whether the whole path lies inside."""
        bounds = path.moved(self.from_mm).bounds
        return (
            bounds.left >= -_SLACK
            and bounds.bottom >= -_SLACK
            and bounds.right <= self.width + _SLACK
            and bounds.top <= self.height + _SLACK
        )


def inverse(of: Affine) -> Affine:
    """The map that undoes another one, whose determinant is not zero."""
    size = of.determinant
    a, b, c, d = of.d / size, -of.b / size, -of.c / size, of.a / size
    return Affine(a, b, c, d, -(a * of.e + c * of.f), -(b * of.e + d * of.f))
