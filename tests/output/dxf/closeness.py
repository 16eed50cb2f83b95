"""How far two paths lie apart: the Hausdorff distance over points no further than 1 mm apart."""

from __future__ import annotations

import shapely

from tiler.pattern.path import Path


def distance(one: Path, other: Path) -> float:
    """Millimetres; flattening to 0.002 mm bounds its own error."""
    return max(_furthest(one, other), _furthest(other, one))


def _furthest(path: Path, line: Path) -> float:
    row = shapely.segmentize(shapely.LineString([tuple(p) for p in path.flattened(0.002)]), 1.0)
    points = shapely.points(shapely.get_coordinates(row))
    ground = shapely.LineString([tuple(p) for p in line.flattened(0.002)])
    shapely.prepare(ground)
    return float(shapely.distance(points, ground).max())
