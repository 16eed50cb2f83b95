"""Where two curves cross, solved on the curves themselves."""

from __future__ import annotations

from tiler.drafting.allowance.curves import Bit
from tiler.pattern.affine import Point

#: Both curves pass within this (millimetres) of the solved point.
SOLVED = 1e-9
#: Half the step of the difference quotients, in parts of a bit.
_STEP = 1e-6


def crossing(one: Bit, s: float, two: Bit, t: float, near: Point) -> tuple[float, float, Point]:
    """Solve one(s) = two(t) by Newton's method, with difference quotients for the derivatives.

    Args:
        one: A curve.
        s: A guess of the place on it.
        two: Another curve.
        t: A guess of the place on that.
        near: The crossing of the chords, kept when the curves only touch.

    Returns:
        The places on both, from 0 to 1, and the point.
    """
    first, second = s, t
    for _ in range(40):
        here, there = one.at(first), two.at(second)
        fx, fy = here.x - there.x, here.y - there.y
        if abs(fx) + abs(fy) < SOLVED:
            return first, second, Point((here.x + there.x) / 2, (here.y + there.y) / 2)
        ax, ay = _speed(one, first)
        bx, by = _speed(two, second)
        determinant = -ax * by + ay * bx
        if abs(determinant) < 1e-12 * (abs(ax) + abs(ay)) * (abs(bx) + abs(by)):
            break
        first = min(1.0, max(0.0, first - (-fx * by + fy * bx) / determinant))
        second = min(1.0, max(0.0, second - (ax * fy - ay * fx) / determinant))
        if abs(first - s) > 0.25 or abs(second - t) > 0.25:
            break
    return s, t, near


def _speed(bit: Bit, s: float) -> tuple[float, float]:
    low, high = max(0.0, s - _STEP), min(1.0, s + _STEP)
    before, after = bit.at(low), bit.at(high)
    span = high - low
    return (after.x - before.x) / span, (after.y - before.y) / span
