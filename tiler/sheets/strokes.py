"""Lines as many short straight strokes: which boxes do they run through?"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import numpy as np
import numpy.typing as npt
import shapely
from shapely import STRtree
from shapely.geometry.base import BaseGeometry

from tiler.pattern.affine import Affine
from tiler.pattern.bounds import Bounds
from tiler.sheets.places import Boxes, Mask, turned_boxes

#: Lines are cut to this length for the index, which then knows where a long slanted one is not,
#: millimetres.
_STROKE = 60.0
#: Up to so many strokes are held against all boxes at once; among more the index is quicker.
_FEW = 400
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
        self._tree = STRtree(np.asarray(shapely.linestrings(ends)).ravel())

    def near(self, around: Bounds, turn: float = 0.0) -> Near:
        """The strokes that could run through a part of the sheet.

        Args:
            around: The part, millimetres.
            turn: Of the frame in which the part and all boxes in it are upright, about the origin,
                degrees anticlockwise.
        """
        upright = around.moved(Affine.turn(turn)) if turn else around
        found = self._tree.query(shapely.box(*upright))
        if len(found) > _FEW:
            return Near(self._ends[:0], turn, self._tree)
        ends = self._ends[found]
        if turn:
            back = Affine.turn(-turn)
            ends = (ends.reshape(-1, 2) @ [[back.a, back.b], [back.c, back.d]]).reshape(-1, 4)
        return Near(ends, turn)

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
        ends: The ends x, y, x, y of each, in the frame in which boxes are upright.
        turn: Of that frame, see `Strokes.near`.
        tree: All strokes instead, where many are near.
    """

    def __init__(
        self, ends: npt.NDArray[np.float64], turn: float, tree: STRtree | None = None
    ) -> None:
        self._ends, self._turn, self._tree = ends, turn, tree
        x, y, end_x, end_y = ends.T[..., None]
        self._low_x, self._high_x = np.minimum(x, end_x) - _TOUCH, np.maximum(x, end_x) + _TOUCH
        self._low_y, self._high_y = np.minimum(y, end_y) - _TOUCH, np.maximum(y, end_y) + _TOUCH

    @property
    def none(self) -> bool:
        """Whether there are none."""
        return self._tree is None and not len(self._ends)

    def through(self, boxes: Boxes) -> Mask:
        """Of each box of that part of the sheet whether a stroke runs through it, or touches it."""
        struck = np.zeros(len(boxes), dtype=bool)
        if self._tree is not None:
            shapes = turned_boxes(boxes, self._turn)
            struck[self._tree.query(shapes, predicate="intersects")[0]] = True
            return struck
        if not len(self._ends):
            return struck
        # A box and a stroke are apart where their shadows are: on x, on y, or square to the stroke.
        left, bottom, right, top = np.ascontiguousarray(boxes.T)
        shared = (self._low_x <= right) & (left <= self._high_x)
        shared &= self._low_y <= top
        shared &= bottom <= self._high_y
        found = np.flatnonzero(shared)
        if len(found):
            stroke, box = np.divmod(found, len(boxes))
            x, y, along, up = self._ends.T[:, stroke]
            along, up = along - x, up - y
            # Twice the way from the stroke to the middle of the box, and twice what the box covers.
            off = (left + right)[box] * up - (bottom + top)[box] * along - 2 * (x * up - y * along)
            wide, tall = (right - left + 2 * _TOUCH)[box], (top - bottom + 2 * _TOUCH)[box]
            struck[box[np.abs(off) <= wide * np.abs(up) + tall * np.abs(along)]] = True
        return struck
