"""Segments that an offset can be taken of: none without length, none that turn on the spot."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from tiler.drafting.allowance.curves import angle, dot
from tiler.pattern.affine import Point
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic, Segment, Straight

#: Handles shorter than this (millimetres) say nothing, and are put onto their nodes; a curve that
#: turns within this length has a corner there. It moves by less.
NOTHING = 5e-3
#: From this turn on (radians) within `NOTHING` a curve is parted.
_TURN = 0.3
_NO_LENGTH = 1e-6


@lru_cache(maxsize=512)
def cleaned(path: Path) -> Path:
    """The same line, within 0.005 mm, parted where it has cusps.

    At a cusp a cubic stands still: its offset would jump from one side to the other. Such a place
    becomes a node between two segments, as at any other corner.

    Args:
        path: A stitch line.

    Returns:
        Its segments without those that have no length; one is kept when all are so.
    """
    found: list[Segment] = []
    for segment in path.segments:
        if isinstance(segment, Straight):
            found += [segment] if segment.length > _NO_LENGTH else []
        elif max(segment.start.to(point) for point in segment[1:]) > _NO_LENGTH:
            found += [_settled(part) for part in _parted(segment)]
    return Path(tuple(found) or path.segments[:1], path.closed)


def _parted(curve: Cubic) -> list[Cubic]:
    for t in _slowest(curve):
        reach = NOTHING / 2
        low, high = _back(curve, t, -reach), _back(curve, t, reach)
        here, there = curve.speed(low), curve.speed(high)
        if 0 < low < high < 1 and angle(here, there) > _TURN:
            first, second = curve.split(t)
            return [*_parted(first), *_parted(second)]
    return [curve]


def _back(curve: Cubic, t: float, reach: float) -> float:
    """The parameter about so many millimetres from t."""
    step = math.copysign(1e-6, reach)
    place = curve.at(t)
    while 0 < t + step < 1 and place.to(curve.at(t + step)) < abs(reach):
        step *= 1.5
    return min(1.0, max(0.0, t + step))


def _slowest(curve: Cubic) -> list[float]:
    """Parameters between the ends at which the speed is least: roots of P' . P'' = 0."""
    a, b, c = _derivative(curve)
    coefficients = [2 * dot(a, a), 3 * dot(a, b), dot(b, b) + 2 * dot(a, c), dot(b, c)]
    if not any(coefficients):
        return []
    roots = np.roots(coefficients)
    return [float(r.real) for r in roots if abs(r.imag) < 1e-6 and 1e-4 < r.real < 1 - 1e-4]


def _derivative(curve: Cubic) -> tuple[tuple[float, float], ...]:
    """P'(t) = a t^2 + b t + c, a third of it."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = curve
    return (
        (x3 - 3 * x2 + 3 * x1 - x0, y3 - 3 * y2 + 3 * y1 - y0),
        (2 * (x2 - 2 * x1 + x0), 2 * (y2 - 2 * y1 + y0)),
        (x1 - x0, y1 - y0),
    )


def _settled(curve: Cubic) -> Cubic:
    """With handles of next to no length on their nodes, where their direction is no accident."""
    start, one, two, end = curve
    one = start if _says_nothing(start, one, end) else one
    two = end if _says_nothing(end, two, start) else two
    return Cubic(start, one, two, end)


def _says_nothing(node: Point, handle: Point, other: Point) -> bool:
    return node.to(handle) < min(NOTHING, 0.01 * node.to(other))
