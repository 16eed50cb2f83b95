"""Closed rings of points, and the few things that are done with them."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from tiler.pattern.affine import Affine, Point

#: Points of a closed line, the last one not repeated.
Ring = tuple[Point, ...]
Floats = npt.NDArray[np.float64]


def ring_of(points: Floats) -> Ring:
    """A ring of an array of shape (n, 2)."""
    return tuple(Point(float(x), float(y)) for x, y in points)


def points_of(ring: Ring) -> Floats:
    """The points as an array of shape (n, 2)."""
    return np.array(ring, dtype=np.float64)


def area_of(points: Floats) -> float:
    """Signed area, positive anticlockwise (shoelace)."""
    x, y = points[:, 0], points[:, 1]
    return float(np.dot(x, np.roll(y, -1)) - np.dot(np.roll(x, -1), y)) / 2


def anticlockwise(points: Floats) -> Floats:
    """The ring, turned round if it runs clockwise."""
    return points if area_of(points) > 0 else points[::-1].copy()


def moved(points: Floats, at: Affine) -> Floats:
    """The points after an affine map; anticlockwise again when it mirrors."""
    there = points @ np.array([[at.a, at.b], [at.c, at.d]]) + np.array([at.e, at.f])
    return anticlockwise(there)
