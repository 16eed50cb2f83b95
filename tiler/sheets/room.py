"""Finding a place for words where no line runs."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry.base import BaseGeometry

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds, bounds_of_points
from tiler.pattern.path import Path
from tiler.sheets.places import (
    Boxes,
    Mask,
    Places,
    Sifted,
    around,
    as_boxes,
    batches,
    shapes_of,
    turned_boxes,
)
from tiler.sheets.strokes import Strokes

#: So few boxes are held against all lines at once.
_HANDFUL = 24
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
        self._lines = Strokes(obstacles)
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
        tried = boxes.boxes if isinstance(boxes, Sifted) else as_boxes(boxes)
        if not len(tried):
            return None
        # One look at the lines that are near at all, rather than one for each batch.
        few = len(tried) <= _HANDFUL
        near = None if few else self._lines.near(around(tried).grown(air), turn)
        if near and near.none and not (isinstance(boxes, Sifted) and not boxes.alike):
            return self._untaken(tried, turn)
        grow = _all_round(air)
        # Lines tell more boxes apart than most tests do, and in less time.
        late = boxes if isinstance(boxes, Sifted) and boxes.alone else None
        for batch in boxes if isinstance(boxes, Sifted) and not late else batches(tried):
            if not len(batch):
                continue
            if near:
                struck = near.through(batch + grow)
            else:
                struck = self._struck(turned_boxes(batch, turn, air))
            free = batch[~struck]
            box = self._untaken(late.passing(free) if late else free, turn)
            if box:
                return box
        return None

    def clear(self, each: Sequence[Boxes], air: float, turn: float = 0.0) -> Sequence[Boxes]:
        """Those of each lot of boxes that no line runs through, as `first_free`.

        All lots are looked at in one go, for places of which mostly none is free: only what is left
        has to be put in order.
        """
        boxes = np.concatenate(each)
        if not len(boxes):
            return each
        near = self._lines.near(around(boxes).grown(air), turn)
        if near.none:
            return each
        free = ~near.through(boxes + _all_round(air))
        ends = np.cumsum([len(lot) for lot in each])[:-1]
        return [lot[kept] for lot, kept in zip(each, np.split(free, ends), strict=True)]

    def take_if_free(self, corners: Sequence[Point], air: float = 0.6) -> bool:
        """Whether nothing runs through a turned box; it is remembered as taken if so."""
        shape = shapely.Polygon(corners)
        if len(self._lines.crossing(shape.buffer(air))):
            return False
        upright = bounds_of_points(corners)
        if self._meets(upright, shape):
            return False
        self._keep(upright, shape)
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

    def lines_in(self, around: Bounds) -> list[list[float]]:
        """The ends x, y, x, y of each stroke that could run through a part of the sheet."""
        return self._lines.ends_in(around)

    def taken_in(self, around: Bounds) -> list[tuple[Bounds, BaseGeometry | None]]:
        """What is taken near a part of the sheet; the shape of what is turned with its bounds."""
        squares = _squares(around)
        found = [each for square in squares for each in self._taken.get(square, ())]
        # What lies in several squares is found in each of them.
        return list({id(each): each for each in found}.values())

    def is_taken(self, box: Bounds) -> bool:
        """Whether a box shares paper with something that is taken."""
        return self._meets(box, None)

    def first_untaken(self, boxes: Places, turn: float = 0.0) -> Bounds | None:
        """The first of the boxes on which no words are, whatever lines run through it."""
        for batch in boxes if isinstance(boxes, Sifted) else batches(as_boxes(boxes)):
            box = self._untaken(batch, turn)
            if box:
                return box
        return None

    def least_struck(self, boxes: Sequence[Bounds] | Boxes) -> Bounds:
        """Of these boxes (one at least) the first with no words on it and the fewest lines.

        For what must be drawn whether it has room or not. The box is remembered as taken.
        """
        tried = as_boxes(boxes)
        struck = self._lines.crossing(shapes_of(tried))[0]
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
        upright = Bounds(*shape.bounds)
        # An upright one is held against others much faster as a box.
        fills = upright.width * upright.height - shape.area <= _SLIVER
        self._keep(upright, None if fills else shape)

    def _keep(self, upright: Bounds, shape: BaseGeometry | None) -> None:
        taken = upright, shape
        for square in _squares(upright):
            self._taken.setdefault(square, []).append(taken)

    def _untaken(self, boxes: Boxes, turn: float = 0.0) -> Bounds | None:
        """The first of the boxes on which nothing is; it is remembered as taken."""
        if turn:
            return self._untaken_turned(boxes, turn)
        # The best place mostly is free; where it is not, the others are looked at together.
        for rows in (boxes[:1], boxes[1:]):
            for row in rows[~self._covered(rows)] if len(rows) > 1 else rows:
                box = Bounds(*row.tolist())
                if not self._meets(box, None):
                    self.take(box)
                    return box
        return None

    def _untaken_turned(self, boxes: Boxes, turn: float) -> Bounds | None:
        """As `_untaken`, for boxes of a turned frame."""
        shapes = turned_boxes(boxes, turn)
        for row, shape, upright in zip(
            boxes.tolist(), shapes, shapely.bounds(shapes).tolist(), strict=True
        ):
            if not self._meets(Bounds(*upright), shape):
                self._keep(Bounds(*upright), shape)
                return Bounds(*row)
        return None

    def _covered(self, boxes: Boxes) -> Mask:
        """Of each box whether it shares paper with an upright one that is taken."""
        covered = np.zeros(len(boxes), dtype=bool)
        squares = _squares(around(boxes))
        taken = [each for square in squares for each in self._taken.get(square, ())]
        uprights = {id(box): box for box, shape in taken if shape is None}
        if uprights:
            left, bottom, right, top = np.array(list(uprights.values())).T
            near = (boxes[:, :1] < right) & (left < boxes[:, 2:3])
            near &= (boxes[:, 1:2] < top) & (bottom < boxes[:, 3:])
            covered = near.any(axis=1)
        return covered

    def _struck(self, shapes: npt.NDArray[Any]) -> Mask:
        """Of each shape, whether a line runs through it."""
        struck = np.zeros(len(shapes), dtype=bool)
        struck[self._lines.crossing(shapes)[0]] = True
        return struck

    def _meets(self, upright: Bounds, shape: BaseGeometry | None) -> bool:
        """Whether a box, or the turned one within it, shares paper with one that is taken."""
        left, bottom, right, top = upright
        for square in _squares(upright):
            for (low_x, low_y, high_x, high_y), other in self._taken.get(square, ()):
                if left < high_x and low_x < right and bottom < high_y and low_y < top:
                    if shape is None and other is None:
                        return True
                    one = shapely.box(*upright) if shape is None else shape
                    two = shapely.box(low_x, low_y, high_x, high_y) if other is None else other
                    if shapely.area(shapely.intersection(one, two)) > _SLIVER:
                        return True
        return False


def _all_round(air: float) -> npt.NDArray[np.float64]:
    """What is added to a box for air round it."""
    return np.array([-air, -air, air, air])


def _squares(box: Bounds) -> list[tuple[int, int]]:
    """The squares of the sheet that a box touches."""
    left, bottom = math.floor(box.left / _SQUARE), math.floor(box.bottom / _SQUARE)
    right, top = math.floor(box.right / _SQUARE), math.floor(box.top / _SQUARE)
    if left == right and bottom == top:
        return [(left, bottom)]
    return [(x, y) for x in range(left, right + 1) for y in range(bottom, top + 1)]
