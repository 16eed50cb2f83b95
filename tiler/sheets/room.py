"""Finding a place for words where no line runs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt
import shapely
from shapely import STRtree
from shapely.geometry.base import BaseGeometry

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds, bounds_of_points
from tiler.pattern.path import Path
from tiler.sheets.places import Boxes, Mask, Places, Sifted, as_boxes, batches, shapes_of

#: Obstacles are cut to this length for the index, millimetres.
_STROKE = 60.0
#: What is taken is looked up by squares of the sheet with this side, millimetres.
_SQUARE = 64.0
#: Turned boxes that share less than this are apart, square millimetres: rounding alone.
_SLIVER = 1e-9


def as_line(path: Path, at: Affine | None = None) -> BaseGeometry:
    """A path as a shapely line, flattened to 0.1 mm."""
    points = path.flattened(0.1)
    return shapely.LineString([at(p) for p in points] if at else points)


class Room:
    """Lines and boxes that words must keep clear of; new words become obstacles too.

    Boxes may be turned by any angle: two of them are in each other's way only where they really
    share paper, not where the upright boxes round them do.
    """

    def __init__(self, obstacles: Iterable[BaseGeometry]) -> None:
        self._tree = STRtree(_strokes(list(obstacles)))
        # By square: the upright box round each area; None for the shape of what is upright itself.
        self._taken: dict[tuple[int, int], list[tuple[Bounds, BaseGeometry | None]]] = {}

    def first_free(self, boxes: Places, air: float = 0.0, turn: float = 0.0) -> Bounds | None:
        """The first of the boxes, in order of preference, that nothing runs through.

        The box is remembered as taken.

        Args:
            boxes: Where the words could go.
            air: How far every line must stay away, millimetres.
            turn: Of the frame in which the boxes are upright, about the origin, degrees
                anticlockwise.
        """
        for batch in boxes if isinstance(boxes, Sifted) else batches(as_boxes(boxes)):
            if not len(batch):
                continue
            struck = self._struck(turned_boxes(batch, turn, air))
            for row in batch[~struck].tolist():
                box = Bounds(*row)
                if not turn:
                    if not self._meets(box, None):
                        self.take(box)
                        return box
                    continue
                shape = turned_boxes([box], turn)[0]
                around = Bounds(*shape.bounds)
                if not self._meets(around, shape):
                    self._keep(around, shape)
                    return box
        return None

    def take_if_free(self, corners: Sequence[Point], air: float = 0.6) -> bool:
        """Whether nothing runs through a turned box; it is remembered as taken if so."""
        shape = shapely.Polygon(corners)
        if len(self._tree.query(shape.buffer(air), predicate="intersects")):
            return False
        around = bounds_of_points(corners)
        if self._meets(around, shape):
            return False
        self._keep(around, shape)
        return True

    def words_between(self, start: Point, end: Point) -> bool:
        """Whether a straight line would run through words that are there already."""
        line = shapely.LineString([start, end])
        along = bounds_of_points([start, end]).grown(1e-6)
        return any(
            line.intersects(shapely.box(*box) if shape is None else shape)
            for square in _squares(along)
            for box, shape in self._taken.get(square, ())
            if box.meets(along)
        )

    def first_untaken(self, boxes: Places) -> Bounds | None:
        """The first of the boxes on which no words are, whatever lines run through it."""
        for batch in boxes if isinstance(boxes, Sifted) else batches(as_boxes(boxes)):
            for row in batch.tolist():
                box = Bounds(*row)
                if not self._meets(box, None):
                    self.take(box)
                    return box
        return None

    def least_struck(self, boxes: Sequence[Bounds] | Boxes) -> Bounds:
        """Of these boxes (one at least) the first with no words on it and the fewest lines.

        For what must be drawn whether it has room or not. The box is remembered as taken.
        """
        tried = as_boxes(boxes)
        struck = self._tree.query(shapes_of(tried), predicate="intersects")[0]
        lines = np.bincount(struck, minlength=len(tried)).tolist()
        # The fewest lines first, so that words need not be looked for everywhere.
        order = sorted(range(len(tried)), key=lines.__getitem__)
        found = (Bounds(*tried[number].tolist()) for number in order)
        best = next((box for box in found if not self._meets(box, None)), None)
        best = best or Bounds(*tried[order[0]].tolist())
        self.take(best)
        return best

    def take(self, box: Bounds) -> None:
        """Keep a box free from now on."""
        self._keep(box, None)

    def take_shape(self, shape: BaseGeometry) -> None:
        """Keep an area free from now on, such as a turned box."""
        self._keep(Bounds(*shape.bounds), shape)

    def _keep(self, around: Bounds, shape: BaseGeometry | None) -> None:
        for square in _squares(around):
            self._taken.setdefault(square, []).append((around, shape))

    def _struck(self, shapes: npt.NDArray[Any]) -> Mask:
        """Of each shape, whether a line runs through it."""
        struck = np.zeros(len(shapes), dtype=bool)
        struck[self._tree.query(shapes, predicate="intersects")[0]] = True
        return struck

    def _meets(self, around: Bounds, shape: BaseGeometry | None) -> bool:
        """Whether a box, or the turned one within it, shares paper with one that is taken."""
        left, bottom, right, top = around
        for square in _squares(around):
            for (low_x, low_y, high_x, high_y), other in self._taken.get(square, ()):
                if left < high_x and low_x < right and bottom < high_y and low_y < top:
                    if shape is None and other is None:
                        return True
                    one = shapely.box(*around) if shape is None else shape
                    two = shapely.box(low_x, low_y, high_x, high_y) if other is None else other
                    if shapely.area(shapely.intersection(one, two)) > _SLIVER:
                        return True
        return False


def _squares(box: Bounds) -> list[tuple[int, int]]:
    """The squares of the sheet that a box touches."""
    left, bottom = math.floor(box.left / _SQUARE), math.floor(box.bottom / _SQUARE)
    right, top = math.floor(box.right / _SQUARE), math.floor(box.top / _SQUARE)
    if left == right and bottom == top:
        return [(left, bottom)]
    return [(x, y) for x in range(left, right + 1) for y in range(bottom, top + 1)]


def turned_boxes(
    boxes: Sequence[Bounds] | Boxes, turn: float, air: float = 0.0
) -> npt.NDArray[Any]:
    """Boxes of a turned frame as shapes, an array of polygons.

    Args:
        boxes: In the frame.
        turn: Of the frame about the origin, degrees anticlockwise.
        air: Added on all sides, millimetres.
    """
    grown = as_boxes(boxes) + np.array([-air, -air, air, air])
    if not turn:
        return shapes_of(grown)
    left, bottom, right, top = grown.T
    x = np.stack([left, right, right, left], axis=1)
    y = np.stack([bottom, bottom, top, top], axis=1)
    at = Affine.turn(turn)
    ring = np.stack([at.a * x + at.c * y, at.b * x + at.d * y], axis=2)
    return np.asarray(shapely.polygons(ring))


def _strokes(obstacles: list[BaseGeometry]) -> Any:
    """Obstacles as many short straight lines: the index knows where a long slanted one is not."""
    if not obstacles:
        return []
    points, owner = shapely.get_coordinates(
        shapely.segmentize(np.array(obstacles), _STROKE), return_index=True
    )
    same = owner[1:] == owner[:-1]
    return shapely.linestrings(np.stack([points[:-1][same], points[1:][same]], axis=1))
