"""Half a ring, and the whole of it."""

from __future__ import annotations

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from tiler.drafting.unfold.mirror import Axis
from tiler.layout.cloth.ring import Floats, Ring, anticlockwise, points_of, ring_of
from tiler.pattern.affine import Point
from tiler.pattern.errors import ClothError

#: Points this near to a fold lie on it, millimetres.
ON = 0.05
#: Closes what rounding leaves open along a fold, millimetres.
_CLOSING = 1e-3


def opened(half: Ring, axis: Axis, where: str) -> Ring:
    """A half and its mirror image as one ring.

    Raises:
        ClothError: The two do not hang together.
    """
    points = _on_axis(points_of(half), axis)
    m = axis.mirror
    other = points @ np.array([[m.a, m.b], [m.c, m.d]]) + np.array([m.e, m.f])
    # The two share their points on the fold to the last digit but one.
    both = shapely.union_all([_sound(points), _sound(other)], grid_size=1e-6)
    if not isinstance(both, shapely.Polygon):
        closed = both.buffer(_CLOSING, join_style="mitre").buffer(-_CLOSING, join_style="mitre")
        if not isinstance(closed, shapely.Polygon):
            raise ClothError(
                "its two halves do not hang together",
                where=where,
                remedy="Look at the fold: the piece must lie along it.",
            )
        both = closed
    return ring_of(anticlockwise(shapely.get_coordinates(both.exterior)[:-1]))


def halved(whole: Ring, axis: Axis) -> Ring:
    """The part of a symmetric ring on the left of its middle line, its fold on the line."""
    points = points_of(whole)
    x, y = axis.direction
    reach = float(np.ptp(points, axis=0).sum()) + 1.0
    middle = axis.foot(Point(*points.mean(axis=0)))
    side = Point(-y * reach, x * reach)
    ends = [Point(middle.x + s * x * reach, middle.y + s * y * reach) for s in (-1, 1)]
    left = shapely.Polygon(
        [*ends, *(Point(e.x + side.x, e.y + side.y) for e in reversed(ends))],
    )
    # Both halves are cut as the fuller of the two, so that neither is short.
    m = axis.mirror
    turned = points @ np.array([[m.a, m.b], [m.c, m.d]]) + np.array([m.e, m.f])
    full = shapely.union_all([shapely.Polygon(points), shapely.Polygon(turned)])
    cut = largest(shapely.intersection(full, left))
    half = _sound(_on_axis(shapely.get_coordinates(cut.exterior)[:-1], axis))
    return ring_of(anticlockwise(shapely.get_coordinates(half.exterior)[:-1]))


def _sound(points: Floats) -> shapely.Polygon:
    """The ring without the spikes that points leave that were moved on to the line."""
    ring = shapely.Polygon(points)
    return ring if ring.is_valid else largest(shapely.make_valid(ring))


def largest(shape: BaseGeometry) -> shapely.Polygon:
    """The largest polygon of a shape."""
    parts = [p for p in getattr(shape, "geoms", [shape]) if isinstance(p, shapely.Polygon)]
    return max(parts, key=lambda part: part.area)


def _on_axis(points: Floats, axis: Axis) -> Floats:
    """The points, those next to the axis moved on to it."""
    x, y = axis.direction
    off = x * (points[:, 1] - axis.start.y) - y * (points[:, 0] - axis.start.x)
    near = np.abs(off) <= ON
    moved = points.copy()
    moved[near] -= np.column_stack((-y * off[near], x * off[near]))
    return moved
