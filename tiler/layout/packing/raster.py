"""Polygons and lines -> pixels, never too few."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt
from shapely.geometry.base import BaseGeometry

Floats = npt.NDArray[np.float64]
Bits = npt.NDArray[np.bool_]

#: Millimetres between two points that stand for a line.
_BEADS = 0.5


def rings_of(geometry: BaseGeometry) -> list[Floats]:
    """All rings of a polygon or of several, closed, each of shape (n, 2)."""
    parts = getattr(geometry, "geoms", [geometry])
    rings = []
    for part in parts:
        if part.geom_type == "Polygon" and not part.is_empty:
            rings += [np.asarray(part.exterior.coords)]
            rings += [np.asarray(hole.coords) for hole in part.interiors]
    return [ring[:, :2] for ring in rings]


def touched(segments: Floats, pixel: tuple[float, float], size: tuple[int, int]) -> Bits:
    """The pixels that straight lines pass, shape (rows, columns); row 0 is the lowest.

    Args:
        segments: Shape (n, 2, 2), millimetres from the corner of the first pixel.
        pixel: Width and height of a pixel, millimetres.
        size: Rows and columns.
    """
    found = np.zeros(size, dtype=bool)
    run = segments[:, 1] - segments[:, 0]
    steps = np.maximum(1, np.ceil(np.hypot(run[:, 0], run[:, 1]) / _BEADS)).astype(int)
    which = np.repeat(np.arange(len(segments)), steps)
    rank = np.arange(len(which)) - np.repeat(np.cumsum(steps) - steps, steps)
    share = (rank / steps[which])[:, None]
    beads = np.concatenate([segments[which, 0] + run[which] * share, segments[:, 1]])
    column = np.clip((beads[:, 0] / pixel[0]).astype(int), 0, size[1] - 1)
    row = np.clip((beads[:, 1] / pixel[1]).astype(int), 0, size[0] - 1)
    found[row, column] = True
    return found


def filled(rings: list[Floats], pixel: tuple[float, float], size: tuple[int, int]) -> Bits:
    """The pixels that a polygon covers or touches, shape (rows, columns); row 0 is the lowest.

    Args:
        rings: Closed rings, inside is where an odd number of them is crossed.
        pixel: Width and height of a pixel, millimetres.
        size: Rows and columns.
    """
    edges = np.concatenate([np.stack([ring[:-1], ring[1:]], axis=1) for ring in rings])
    heights = (np.arange(size[0]) + 0.5) * pixel[1]
    low = np.minimum(edges[:, 0, 1], edges[:, 1, 1])
    high = np.maximum(edges[:, 0, 1], edges[:, 1, 1])
    edge, row = np.nonzero((low[:, None] <= heights) & (heights < high[:, None]))
    start, end = edges[edge, 0], edges[edge, 1]
    share = (heights[row] - start[:, 1]) / (end[:, 1] - start[:, 1])
    x = start[:, 0] + share * (end[:, 0] - start[:, 0])
    # A pixel is inside where its middle has an odd number of crossings to its left.
    column = np.clip(np.ceil(x / pixel[0] - 0.5).astype(int), 0, size[1])
    turns = np.zeros((size[0], size[1] + 1), dtype=np.int64)
    np.add.at(turns, (row, column), 1)
    inside = np.cumsum(turns, axis=1)[:, :-1] % 2 == 1
    return np.asarray(inside | touched(edges, pixel, size))
