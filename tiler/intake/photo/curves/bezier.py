"""Cubic Béziers as arrays: many at once, at many parameters.

Control points are arrays of shape (k, 4, 2) in millimetres; `piece` says for each parameter in `t`
which of the k cubics is meant.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.model import Numbers, Points
from tiler.pattern.affine import Point
from tiler.pattern.segment import Cubic

Indices = NDArray[np.intp]


def weights(t: Numbers) -> Numbers:
    """Bernstein's polynomials of degree 3 at parameters, (n, 4)."""
    u = 1.0 - t
    return np.stack((u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t), axis=1)


def powers(control: Numbers, piece: Indices) -> Numbers:
    """Coefficients of 1, t, t^2 and t^3 of the cubic that each parameter is on, (4, n, 2)."""
    a, b, c, d = (control[:, number] for number in range(4))
    rows = np.array((a, 3 * (b - a), 3 * (a - 2 * b + c), d - a + 3 * (b - c)))
    return np.asarray(rows[:, piece])


def at(powers: Numbers, t: Numbers) -> Points:
    """Points on the cubics."""
    t = t[:, None]
    return np.asarray(((powers[3] * t + powers[2]) * t + powers[1]) * t + powers[0])


def speed(powers: Numbers, t: Numbers) -> Points:
    """First derivatives with respect to t."""
    t = t[:, None]
    return np.asarray((3 * powers[3] * t + 2 * powers[2]) * t + powers[1])


def feet(powers: Numbers, t: Numbers, points: Points, rounds: int = 1) -> Numbers:
    """Parameters of the nearest points, by Newton's method from parameters that are near.

    Where a step would lead to the farthest point instead (the second derivative of the squared
    distance is not positive), Gauss-Newton's step is taken.
    """
    for _ in range(rounds):
        off = at(powers, t) - points
        first = speed(powers, t)
        second = 6 * powers[3] * t[:, None] + 2 * powers[2]
        size = first[:, 0] ** 2 + first[:, 1] ** 2
        curved = size + off[:, 0] * second[:, 0] + off[:, 1] * second[:, 1]
        below = np.where(curved > 0.3 * size, curved, size)
        step = (off[:, 0] * first[:, 0] + off[:, 1] * first[:, 1]) / np.maximum(below, 1e-12)
        t = np.minimum(np.maximum(t - np.minimum(np.maximum(step, -0.2), 0.2), 0.0), 1.0)
    return t


def cubics(control: Numbers) -> tuple[Cubic, ...]:
    """The same curves one by one, each beginning exactly where the one before it ends."""
    rows = [[Point(float(x), float(y)) for x, y in piece] for piece in control]
    for before, after in pairwise(rows):
        after[0] = before[3]
    return tuple(Cubic(*row) for row in rows)
