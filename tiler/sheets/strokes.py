"""Lines as many short straight strokes: which boxes do they run through?"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np
import numpy.typing as npt
import shapely
from shapely import STRtree
from shapely.geometry.base import BaseGeometry

from tiler.pattern.bounds import Bounds
from tiler.sheets.places import Boxes, Mask, shapes_of

#: Lines are cut to this length for the index, which then knows where a long slanted one is not,
#: millimetres.
_STROKE = 60.0
#: Up to so many strokes are held against all boxes at once; among more the index is quicker.
_FEW = 40
#: What comes nearer than that touches, millimetres: rounding alone.
_TOUCH = 1e-9


class Strokes:
    """An index of lines.

    Args:
        lines: Of each, whatever it is, the straight pieces between its points in their order.
    """

    def __init__(self, lines: Iterable[BaseGeometry]) -> None:
        drawn = np.array(list(lines), dtype=object)
        # GEOS does not cut what has no length, such as a dot.
        long = shapely.length(drawn) > 0
        drawn[long] = shapely.segmentize(drawn[long], _STROKE)
        points, owner = shapely.get_coordinates(drawn, return_index=True)
        same = owner[1:] == owner[:-1]
        ends = np.stack([points[:-1][same], points[1:][same]], axis=1)
        self._ends = ends.reshape(-1, 4)
        self._middles = ends.mean(axis=1)
        self._halves = (ends[:, 1] - ends[:, 0]) / 2
        self._tree = STRtree(np.asarray(shapely.linestrings(ends)).ravel())

    def near(self, around: Bounds) -> Near:
        """The strokes that could run through a part of the sheet.

        Args:
            around: The part, millimetres.
        """
        found = self._tree.query(shapely.box(*around))
        if len(found) > _FEW:
            return Near(self._tree)
        return Near(self._tree, self._middles[found], self._halves[found])

    def ends_in(self, around: Bounds) -> list[list[float]]:
        """The ends x, y, x, y of each stroke that could run through a part of the sheet."""
        found = self._tree.query(shapely.box(*around))
        return self._ends[found].tolist() if len(found) else []

    def crossing(self, shapes: npt.NDArray[Any] | BaseGeometry) -> npt.NDArray[np.int64]:
        """As `STRtree.query` for what intersects: one entry for each shape and stroke that meet."""
        return np.asarray(self._tree.query(shapes, predicate="intersects"))


class Near:
    """The strokes of a part of the sheet.

    Args:
        tree: All strokes.
        middles: Of the few that are near, x and y; None where they are many.
        halves: From the middle of each to its end.
    """

    def __init__(
        self,
        tree: STRtree,
        middles: npt.NDArray[np.float64] | None = None,
        halves: npt.NDArray[np.float64] | None = None,
    ) -> None:
        self._tree, self._middles, self._halves = tree, middles, halves

    @property
    def none(self) -> bool:
        """Whether there are none."""
        return self._middles is not None and not len(self._middles)

    def through(self, boxes: Boxes) -> Mask:
        """Of each box of that part of the sheet whether a stroke runs through it, or touches it."""
        struck = np.zeros(len(boxes), dtype=bool)
        if self._middles is None or self._halves is None:
            struck[self._tree.query(shapes_of(boxes), predicate="intersects")[0]] = True
            return struck
        if not len(self._middles):
            return struck
        # A box and a stroke are apart where their shadows are: on x, on y, or square to the stroke.
        left, bottom, right, top = boxes.T
        wide, tall = (right - left) / 2 + _TOUCH, (top - bottom) / 2 + _TOUCH
        off_x = ((left + right) / 2)[:, None] - self._middles[:, 0]
        off_y = ((bottom + top) / 2)[:, None] - self._middles[:, 1]
        along, up = self._halves.T
        shared = np.abs(off_x) <= wide[:, None] + np.abs(along)
        shared &= np.abs(off_y) <= tall[:, None] + np.abs(up)
        box, stroke = np.nonzero(shared)
        if len(box):
            along, up = along[stroke], up[stroke]
            off = np.abs(off_x[box, stroke] * up - off_y[box, stroke] * along)
            struck[box[off <= wide[box] * np.abs(up) + tall[box] * np.abs(along)]] = True
        return struck
