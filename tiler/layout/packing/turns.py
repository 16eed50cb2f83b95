"""The turns in which a unit is tried."""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely import affinity

from tiler.layout.packing.raster import rings_of
from tiler.layout.packing.shape import Shape

#: Degrees between the turns that are tried in any case.
STEP = {"quick": 45.0, "normal": 15.0, "long": 10.0}
#: How many of a unit's own straight edges are laid parallel to the paper's sides.
_EDGES = {"quick": 1, "normal": 3, "long": 4}
#: Turns that are nearer to each other than this are one, degrees.
_SAME = 1.0
#: Share of its area by which a unit may miss its own image after half a turn to count as even.
_EVEN = 0.004


def turns_of(shape: Shape, effort: str, free: bool) -> list[float]:
    """Degrees from 0 up to 360 in which a unit is tried; the first is as drawn.

    Args:
        shape: The unit.
        effort: How many turns are to be tried.
        free: Whether it may turn at all.
    """
    if not free:
        return [0.0]
    wished = [0.0]
    for edge in _edge_angles(shape, _EDGES[effort]):
        wished += [(quarter * 90 - edge) % 360 for quarter in range(4)]
    step = STEP[effort]
    wished += [number * step for number in range(round(360 / step))]
    # A unit that is even to half a turn looks the same again then.
    round_trip = 180.0 if _is_even(shape) else 360.0
    kept: list[float] = []
    for degrees in wished:
        turn = round(degrees % round_trip, 3)
        apart = (abs(turn - other) for other in kept)
        if all(min(gap, round_trip - gap) >= _SAME for gap in apart):
            kept.append(turn)
    return kept


def _edge_angles(shape: Shape, most: int) -> list[float]:
    """Directions of the longest sides of the body's own rectangle, hull and outline, degrees."""
    found: dict[float, float] = {}
    hull = shape.body.convex_hull
    rings = rings_of(shapely.minimum_rotated_rectangle(shape.body))
    rings += rings_of(hull.simplify(0.5)) + rings_of(shape.body.simplify(0.5))
    for number, ring in enumerate(rings):
        for run in ring[1:] - ring[:-1]:
            angle = round(math.degrees(math.atan2(run[1], run[0])) % 90, 1) % 90
            length = float(np.hypot(*run))
            # The rectangle's own direction comes first among equals.
            found[angle] = found.get(angle, 0.0) + length + (1e6 if number == 0 else 0.0)
    longest = sorted(found, key=lambda angle: (-round(found[angle], 3), angle))
    return longest[:most]


def _is_even(shape: Shape) -> bool:
    about = shape.body.centroid
    turned = affinity.rotate(shape.body, 180, origin=about)
    missed = shape.body.symmetric_difference(turned).area
    return bool(missed < _EVEN * shape.body.area)
