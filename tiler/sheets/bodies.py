"""The paper that is cut out, which marks of the page leave alone where they can."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from tiler.pattern.bounds import Bounds
from tiler.sheets.places import Boxes, Mask, Sifted, around
from tiler.sheets.strokes import Strokes


class Bodies:
    """Areas of the sheet, sheet coordinates.

    Args:
        areas: Each piece's; none for a sheet on which every place is as good.
    """

    def __init__(self, areas: Iterable[BaseGeometry] = ()) -> None:
        self._areas = list(areas)
        for area in self._areas:
            shapely.prepare(area)
        self._bounds = shapely.bounds(self._areas).reshape(-1, 4).T
        self._boxes: list[list[float]] = self._bounds.T.tolist()
        self._rims = Strokes(_rims(self._areas))

    def outside_first(self, boxes: Boxes) -> Sifted:
        """The same boxes, those that touch no area before all others, otherwise in their order."""
        return self._sifted(boxes, others=True)

    def outside(self, boxes: Boxes) -> Sifted:
        """Those of the boxes that touch no area."""
        return self._sifted(boxes, others=False)

    def rims_in(self, around: Bounds) -> list[list[float]] | None:
        """The ends x, y, x, y of each stroke of outlines in a part of the sheet.

        None where the part is clear of all areas.
        """
        left, bottom, right, top = around
        for low_x, low_y, high_x, high_y in self._boxes:
            if low_x <= right and left <= high_x and low_y <= top and bottom <= high_y:
                return self._rims.ends_in(around)
        return None

    def fill(self, part: Bounds) -> bool:
        """Whether an upright part of the sheet lies within an area, all of it."""
        return self.rims_in(part) == [] and self.hold(*part.centre)

    def hold(self, x: float, y: float) -> bool:
        """Whether a place that is on no outline lies in an area."""
        return any(
            low_x <= x <= high_x and low_y <= y <= high_y and shapely.contains_xy(area, x, y)
            for area, (low_x, low_y, high_x, high_y) in zip(self._areas, self._boxes, strict=True)
        )

    def _sifted(self, boxes: Boxes, *, others: bool) -> Sifted:
        if not len(boxes):
            return Sifted(boxes, None, others=others)
        whole = around(boxes)
        left, bottom, right, top = self._bounds
        met = (left <= whole.right) & (whole.left <= right)
        met &= (bottom <= whole.top) & (whole.bottom <= top)
        near = [self._areas[number] for number in np.flatnonzero(met)]
        if not near:
            return Sifted(boxes, None, others=others)
        rims = self._rims.near(whole)
        if rims.none:
            # No rim is near, so that what holds for one corner holds for all of the paper.
            inside = any(shapely.contains_xy(area, *whole[:2]) for area in near)
            return Sifted(boxes[:0] if inside and not others else boxes, None, others=others)

        def clear(some: Boxes) -> Mask:
            # A box that no rim touches lies inside an area or outside, each corner as good as all.
            touched = rims.through(some)
            for area in near:
                left, bottom = some[~touched, :2].T
                touched[~touched] = shapely.contains_xy(area, left, bottom)
            return ~touched

        return Sifted(boxes, clear, others=others)


def _rims(areas: list[BaseGeometry]) -> list[BaseGeometry]:
    """The outlines of areas, and of the holes in them."""
    parts = [part for area in areas for part in shapely.get_parts(area)]
    lines = [part for part in parts if not isinstance(part, shapely.Polygon)]
    return [*shapely.get_rings(parts), *lines] if parts else []


#: For a sheet without pieces.
NOWHERE = Bodies()
