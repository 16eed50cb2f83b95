"""Simple units for the tests of the packing."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations, pairwise

import numpy as np
import shapely
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from tiler.layout.packing.engine import Packed
from tiler.layout.packing.shape import Shape, shape_of

#: A4 with a margin and an overlap of 10 mm.
PITCH = (180.0, 267.0)
WINDOW = (183.2, 270.2)


def polygon(
    index: int, points: Sequence[tuple[float, float]], whole: bool = False, group: int = -1
) -> Shape:
    """A unit with one straight-sided outline."""
    ring = np.array([*points, points[0]], dtype=float)
    return shape_of(index, np.array(list(pairwise(ring))), [ring], whole, group)


def rectangle(
    index: int, width: float, height: float, whole: bool = False, group: int = -1
) -> Shape:
    """An upright rectangle whose lower left corner is the origin."""
    points = [(0.0, 0.0), (0.0, height), (width, height), (width, 0.0)]
    return polygon(index, points, whole, group)


def bodies(shapes: Sequence[Shape], packed: Packed) -> list[BaseGeometry]:
    """The cut paper of each unit where it lies."""
    return [
        affine_transform(shape.body, (m.a, m.c, m.b, m.d, m.e, m.f))
        for shape, m in zip(shapes, packed.at, strict=True)
    ]


def least_distance(shapes: Sequence[Shape], packed: Packed) -> float:
    """Millimetres between the two units of one sheet that are nearest to each other."""
    sheet = list(range(len(shapes)))
    for a, b in combinations(range(len(shapes)), 2):
        if packed.cells[a] & packed.cells[b]:
            old, new = sheet[b], sheet[a]
            sheet = [new if number == old else number for number in sheet]
    placed = bodies(shapes, packed)
    pairs = [(a, b) for a, b in combinations(range(len(shapes)), 2) if sheet[a] == sheet[b]]
    return min((placed[a].distance(placed[b]) for a, b in pairs), default=math.inf)


def cells_by_clipping(
    shape: Shape, packed: Packed, number: int, depth: float
) -> set[tuple[int, int]]:
    """The cells in which a unit's lines are at least `depth` millimetres from the border."""
    m = packed.at[number]
    lines = shapely.MultiLineString([line.tolist() for line in shape.chords])
    placed = affine_transform(lines, (m.a, m.c, m.b, m.d, m.e, m.f))
    left, bottom, right, top = placed.bounds
    found = set()
    for i in range(math.floor(left / PITCH[0]), math.floor(right / PITCH[0]) + 1):
        for j in range(math.floor(bottom / PITCH[1]), math.floor(top / PITCH[1]) + 1):
            x, y = i * PITCH[0], j * PITCH[1]
            cell = shapely.box(x + depth, y + depth, x + PITCH[0] - depth, y + PITCH[1] - depth)
            if placed.intersects(cell):
                found.add((i, j))
    return found
