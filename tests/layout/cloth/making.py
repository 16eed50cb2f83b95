"""Needs made by hand."""

from __future__ import annotations

from collections.abc import Sequence

from tiler.layout.cloth.model import Need
from tiler.pattern.affine import Point
from tiler.pattern.model import Lay


def need(
    name: str, ring: Sequence[tuple[float, float]], count: int, lay: Lay, *, fold: bool = False
) -> Need:
    """A piece whose grain is upright, and whose fold, if any, is on x = 0."""
    points = tuple(Point(*p) for p in ring)
    ends = (Point(0.0, 0.0), Point(0.0, max(p.y for p in points))) if fold else None
    mirrored = sorted((-p.x, p.y) for p in points)
    middle = min(p.x for p in points) + max(p.x for p in points)
    symmetric = fold or mirrored == sorted((p.x - middle, p.y) for p in points)
    return Need(name, count, lay, points, (0.0, 1.0), ends, symmetric, False)


#: A half, a piece with a left and a right, a rectangle.
BACK = need("Back", [(0, 0), (240, 0), (200, 300), (0, 320)], 1, Lay.FOLD, fold=True)
SLEEVE = need("Sleeve", [(0, 0), (220, 0), (260, 180), (90, 260)], 2, Lay.PAIR)
POCKET = need("Pocket", [(0, 0), (120, 0), (120, 150), (0, 150)], 2, Lay.COPIES)
FLAP = need("Flap", [(0, 0), (130, 0), (80, 60), (0, 90)], 1, Lay.COPIES)
ALL = (BACK, SLEEVE, POCKET, FLAP)
