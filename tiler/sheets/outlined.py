"""Outlines of pieces on small maps, as polygons no finer than their size asks for."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from tiler.layout.plan import Placement
from tiler.pattern.affine import Affine, Point
from tiler.pattern.path import Path, polyline

#: How far a polygon may run beside its curve for having been flattened, and for having points left
#: out; and what its points are rounded to: on the map, millimetres.
_FLAT, _SIMPLE, _GRID = 0.02, 0.06, 0.05
#: What is narrower than that is not rounded, so that it keeps some width, millimetres.
_ROUNDED = 1.0
#: The rim of a white ground may be this far off: the line over it is wider.
_GROUND = 0.1


def small_outlines(placement: Placement, at: Affine) -> list[Path]:
    """The outlines of a piece on a map, within 0.12 mm.

    Args:
        placement: The piece on the sheet.
        at: From the sheet to the map.
    """
    whole = placement.at.then(at)
    factor = max(math.sqrt(abs(whole.determinant)), 1e-6)
    rings = []
    for outline in placement.piece.outlines:
        bounds = outline.path.bounds
        # What would be next to nothing on the map stays a ring all the same.
        tolerance = min(_FLAT / factor, max(bounds.width, bounds.height) / 20)
        rings.append(shapely.LinearRing([whole(p) for p in outline.path.flattened(tolerance)]))
    return [_path(ring) for ring in shapely.simplify(rings, _SIMPLE)]


def enclosed_by(outlines: Sequence[Path]) -> BaseGeometry:
    """What the outlines of a piece enclose together."""
    rings = [shapely.Polygon(list(path.nodes())) for path in outlines]
    return shapely.union_all([shapely.make_valid(ring) for ring in rings])


def rims_of(area: BaseGeometry) -> Iterator[Path]:
    """The rims of an area, roughly; those of holes run the other way, so that they stay empty."""
    for part in shapely.get_parts(shapely.simplify(area, _GROUND)):
        if isinstance(part, shapely.Polygon):
            whole = shapely.geometry.polygon.orient(part)
            for ring in (whole.exterior, *whole.interiors):
                yield _path(ring)


def _path(ring: BaseGeometry) -> Path:
    points = shapely.get_coordinates(ring)
    if np.ptp(points, axis=0).min() > _ROUNDED:
        points = np.round(np.round(points / _GRID) * _GRID, 2)
    return polyline([Point(x, y) for x, y in points.tolist()], closed=True)
