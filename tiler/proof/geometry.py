"""Arrays of Béziers, and what a convex window leaves of them.

Shapes: a Bézier is (4, 2), its control points; a straight line is a cubic whose handles lie at
its thirds. A window is (n, 3): rows a, b, c of half planes a x + b y <= c with a² + b² = 1.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tiler.pattern.affine import Affine

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Bools = NDArray[np.bool_]

EVERYWHERE: Floats = np.empty((0, 3))


def mapped(points: Floats, by: Affine) -> Floats:
    """Points (..., 2) after an affine map."""
    linear = np.array([[by.a, by.b], [by.c, by.d]])
    moved: Floats = points @ linear + np.array([by.e, by.f])
    return moved


def box_window(left: float, bottom: float, right: float, top: float) -> Floats:
    """The window of an upright rectangle."""
    return np.array([[-1, 0, -left], [0, -1, -bottom], [1, 0, right], [0, 1, top]], dtype=float)


def ring_window(corners: Floats) -> Floats | None:
    """The window of a convex ring of corners (n, 2); None when it is not convex or has no area."""
    after = np.roll(corners, -1, axis=0)
    along = after - corners
    size = np.hypot(along[:, 0], along[:, 1])
    corners, along, size = corners[size > 1e-9], along[size > 1e-9], size[size > 1e-9]
    if len(corners) < 3:
        return None
    normal = np.stack([along[:, 1], -along[:, 0]], axis=1) / size[:, None]
    inside = corners @ normal.T - np.sum(corners * normal, axis=1)
    slack = 1e-9 * float(size.max())
    if np.all(inside >= -slack) and np.any(inside > slack):
        normal = -normal
    elif not (np.all(inside <= slack) and np.any(inside < -slack)):
        return None
    return np.column_stack([normal, np.sum(corners * normal, axis=1)])


def moved_window(window: Floats, by: Affine) -> Floats:
    """The window after an affine map that can be undone."""
    if not len(window) or by.determinant == 0:
        return window
    inverse = np.linalg.inv(np.array([[by.a, by.c], [by.b, by.d]]))
    normal = window[:, :2] @ inverse
    level = window[:, 2] + normal @ np.array([by.e, by.f])
    size = np.hypot(normal[:, 0], normal[:, 1])
    return np.column_stack([normal / size[:, None], level / size])


def grown_window(window: Floats, by: float) -> Floats:
    """Every side moved outwards by a distance."""
    grown: Floats = window + np.array([0.0, 0.0, by])
    return grown


def spans(starts: Floats, ends: Floats, window: Floats) -> tuple[Floats, Floats]:
    """What a window leaves of chords (n, 2): parameters from and to; from > to for nothing.

    Cyrus and Beck, "Generalized two- and three-dimensional clipping" (1978), one side at a time.
    """
    low, high = np.zeros(len(starts)), np.ones(len(starts))
    for a, b, level in window:
        first = level - starts[:, 0] * a - starts[:, 1] * b
        change = (ends[:, 0] - starts[:, 0]) * a + (ends[:, 1] - starts[:, 1]) * b
        with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
            at = first / change
        np.copyto(high, np.minimum(high, at), where=change > 0)
        np.copyto(low, np.maximum(low, at), where=change < 0)
        low[(change == 0) & (first < 0)] = 2.0
    return low, high


def comes_into(curves: Floats, window: Floats, samples: int = 17) -> Bools:
    """Which curves (n, 4, 2) come into a window, as far as chords between samples tell."""
    if not len(curves):
        return np.zeros(0, dtype=bool)
    points = np.stack(
        [points_at(curves, np.full(len(curves), t)) for t in np.linspace(0, 1, samples)], axis=1
    )
    starts, ends = points[:, :-1].reshape(-1, 2), points[:, 1:].reshape(-1, 2)
    low, high = spans(starts, ends, window)
    inside: Bools = np.any((low < high).reshape(len(curves), -1), axis=1)
    return inside


def chord_counts(curves: Floats, tolerance: float) -> Ints:
    """Equal steps in t whose chords stay within a tolerance of the curve.

    A chord over a step h is at most h²/8 times the largest second derivative away (Taylor),
    which the control points bound.
    """
    bend = np.maximum(
        np.hypot(*(curves[:, 0] - 2 * curves[:, 1] + curves[:, 2]).T),
        np.hypot(*(curves[:, 1] - 2 * curves[:, 2] + curves[:, 3]).T),
    )
    steps: Ints = np.ceil(np.sqrt(6 * bend / (8 * tolerance)) - 1e-6).astype(np.int64)
    return np.maximum(steps, 1)


def points_at(curves: Floats, t: Floats) -> Floats:
    """The point of each curve (n, 4, 2) at its own parameter (n,)."""
    u = 1 - t
    weights = np.stack([u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t], axis=1)
    at: Floats = np.einsum("nk,nkx->nx", weights, curves)
    return at


def between(curves: Floats, low: Floats, high: Floats) -> Floats:
    """The control points of each curve's part from one parameter to another (de Casteljau)."""
    p0, p1, p2, p3 = (curves[:, k] for k in range(4))

    def blossom(r: Floats, s: Floats, t: Floats) -> Floats:
        r, s, t = r[:, None], s[:, None], t[:, None]
        a, b, c = p0 + (p1 - p0) * r, p1 + (p2 - p1) * r, p2 + (p3 - p2) * r
        d, e = a + (b - a) * s, b + (c - b) * s
        part: Floats = d + (e - d) * t
        return part

    return np.stack(
        [
            blossom(low, low, low),
            blossom(low, low, high),
            blossom(low, high, high),
            blossom(high, high, high),
        ],
        axis=1,
    )


def straight(starts: Floats, ends: Floats) -> Floats:
    """Straight lines (n, 2) as cubics (n, 4, 2)."""
    along = ends - starts
    return np.stack([starts, starts + along / 3, starts + along * (2 / 3), ends], axis=1)


def sizes(vectors: Floats) -> Floats:
    """Lengths of vectors (..., 2)."""
    lengths: Floats = np.hypot(vectors[..., 0], vectors[..., 1])
    return lengths
