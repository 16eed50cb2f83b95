"""Where an offset turns back on itself: hollow curves that are tighter than the allowance."""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import pairwise

from tiler.drafting.allowance.curves import Bit, Shifted
from tiler.pattern.segment import Cubic

_LOOKS = 64
_SHARES = [step / _LOOKS for step in range(_LOOKS + 1)]


@lru_cache(maxsize=512)
def offset_bits(curve: Shifted, owner: int) -> tuple[Bit, ...]:
    """The whole of an offset, parted at its cusps.

    The offset's speed is the segment's times 1 - distance * curvature (curvature positive to the
    left), so that it turns back where the radius is smaller than the distance (Farouki and Neff,
    1990).
    """
    segment, distance = curve.segment, curve.distance
    if distance == 0 or not isinstance(segment, Cubic):
        return (Bit(curve, 0.0, 1.0, owner),)
    against = [_speed(segment, distance, t) < 0 for t in _SHARES]
    cuts = [0.0]
    for step in range(_LOOKS):
        if against[step] is not against[step + 1]:
            cut = _root(segment, distance, _SHARES[step], _SHARES[step + 1], against[step])
            if cut - cuts[-1] > 1e-6 and cut < 1 - 1e-6:
                cuts.append(cut)
    cuts.append(1.0)
    return tuple(
        Bit(curve, low, high, owner, _speed(segment, distance, (low + high) / 2) < 0)
        for low, high in pairwise(cuts)
    )


def _speed(segment: Cubic, distance: float, t: float) -> float:
    """Of the sign of the offset's speed: the segment's speed cubed less distance * curvature."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = segment
    dx, dy = segment.speed(t)
    bend_x = 6 * ((1 - t) * (x2 - 2 * x1 + x0) + t * (x3 - 2 * x2 + x1))
    bend_y = 6 * ((1 - t) * (y2 - 2 * y1 + y0) + t * (y3 - 2 * y2 + y1))
    return float(math.hypot(dx, dy) ** 3 - distance * (dx * bend_y - dy * bend_x))


def _root(segment: Cubic, distance: float, low: float, high: float, negative_first: bool) -> float:
    for _ in range(50):
        middle = (low + high) / 2
        if (_speed(segment, distance, middle) < 0) == negative_first:
            low = middle
        else:
            high = middle
    return (low + high) / 2
