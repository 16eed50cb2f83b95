"""The paper that is cut out, which marks of the page leave alone where they can."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from tiler.sheets.places import Boxes, Mask, Sifted, shapes_of


class Bodies:
    """Areas of the sheet, sheet coordinates.

    Args:
        areas: Each piece's; none for a sheet on which every place is as good.
    """

    def __init__(self, areas: Iterable[BaseGeometry] = ()) -> None:
        self._areas = list(areas)
        for area in self._areas:
            shapely.prepare(area)
        self._tree = shapely.STRtree(self._areas)

    def outside_first(self, boxes: Boxes) -> Sifted:
        """The same boxes, those that touch no area before all others, otherwise in their order."""
        return Sifted(boxes, self._clear_near(boxes), others=True)

    def outside(self, boxes: Boxes) -> Sifted:
        """Those of the boxes that touch no area."""
        return Sifted(boxes, self._clear_near(boxes), others=False)

    def _clear_near(self, boxes: Boxes) -> Callable[[Boxes], Mask]:
        """What tells of some of these boxes whether they touch no area."""
        if not len(boxes):
            return _all_clear
        around = shapely.box(*boxes[:, :2].min(axis=0), *boxes[:, 2:].max(axis=0))
        near = [self._areas[number] for number in self._tree.query(around)]
        # An area that is prepared is on the left, which is what makes this cheap.
        near = [area for area in near if area.intersects(around)]
        if not near:
            return _all_clear
        if any(area.contains_properly(around) for area in near):
            return _none_clear

        def clear(some: Boxes) -> Mask:
            shapes = shapes_of(some)
            touched = np.zeros(len(some), dtype=bool)
            for area in near:
                touched |= shapely.intersects(area, shapes)
            return ~touched

        return clear


def _all_clear(boxes: Boxes) -> Mask:
    return np.ones(len(boxes), dtype=bool)


def _none_clear(boxes: Boxes) -> Mask:
    return np.zeros(len(boxes), dtype=bool)


#: For a sheet without pieces.
NOWHERE = Bodies()
