"""Finding a place for words where no line runs."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
import shapely
from shapely import STRtree
from shapely.geometry.base import BaseGeometry

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds, bounds_of_points
from tiler.pattern.path import Path

#: Places looked at together: the first few are mostly free.
_BATCH = 24
#: Obstacles are cut to this length for the index, millimetres.
_STROKE = 60.0


def as_line(path: Path, at: Affine | None = None) -> BaseGeometry:
    """A path as a shapely line, flattened to 0.1 mm."""
    points = path.flattened(0.1)
    return shapely.LineString([at(p) for p in points] if at else points)


class Room:
    """Lines and boxes that words must keep clear of; new words become obstacles too."""

    def __init__(self, obstacles: Iterable[BaseGeometry]) -> None:
        self._tree = STRtree(_strokes(list(obstacles)))
        self._taken: list[Bounds] = []

    def first_free(self, boxes: Sequence[Bounds], air: float = 0.0) -> Bounds | None:
        """The first of the boxes, in order of preference, that nothing runs through.

        The box is remembered as taken.

        Args:
            boxes: Where the words could go.
            air: How far every line must stay away, millimetres.
        """
        for start in range(0, len(boxes), _BATCH):
            batch = boxes[start : start + _BATCH]
            array = np.array(batch, dtype=float)
            array += np.array([-air, -air, air, air])
            shapes = shapely.box(array[:, 0], array[:, 1], array[:, 2], array[:, 3])
            blocked = set(self._tree.query(shapes, predicate="intersects")[0].tolist())
            for number, box in enumerate(batch):
                if number in blocked or any(box.meets(other) for other in self._taken):
                    continue
                self.take(box)
                return box
        return None

    def take_if_free(self, corners: Sequence[Point], air: float = 0.6) -> bool:
        """Whether nothing runs through a turned box; it is remembered as taken if so."""
        shape = shapely.Polygon(corners).buffer(air)
        box = bounds_of_points(corners)
        if len(self._tree.query(shape, predicate="intersects")):
            return False
        if any(box.meets(other) for other in self._taken):
            return False
        self.take(box)
        return True

    def words_between(self, start: Point, end: Point) -> bool:
        """Whether a straight line would run through words that are there already."""
        line = shapely.LineString([start, end])
        along = bounds_of_points([start, end]).grown(1e-6)
        near = [box for box in self._taken if box.meets(along)]
        return any(line.intersects(shapely.box(*box)) for box in near)

    def first_untaken(self, boxes: Sequence[Bounds]) -> Bounds | None:
        """The first of the boxes on which no words are, whatever lines run through it."""
        for box in boxes:
            if not any(box.meets(other) for other in self._taken):
                self.take(box)
                return box
        return None

    def take(self, box: Bounds) -> None:
        """Keep a box free from now on."""
        self._taken.append(box)


def _strokes(obstacles: list[BaseGeometry]) -> Any:
    """Obstacles as many short straight lines: the index knows where a long slanted one is not."""
    if not obstacles:
        return []
    points, owner = shapely.get_coordinates(
        shapely.segmentize(np.array(obstacles), _STROKE), return_index=True
    )
    same = owner[1:] == owner[:-1]
    return shapely.linestrings(np.stack([points[:-1][same], points[1:][same]], axis=1))


def boxes_in(frame: Bounds, width: float, height: float, step: float) -> list[Bounds]:
    """All places of a box in a frame, `step` millimetres apart, from the top left by rows."""
    across = _stops(frame.width - width, step)
    down = _stops(frame.height - height, step)
    return [
        Bounds(frame.left + x, frame.top - y - height, frame.left + x + width, frame.top - y)
        for y in down
        for x in across
    ]


def _stops(free: float, step: float) -> list[float]:
    if free < 0:
        return []
    count = int(free // step)
    stops = [i * step for i in range(count + 1)]
    return stops if free - stops[-1] < step / 4 else [*stops, free]


def nearest_first(boxes: list[Bounds], to: Point) -> list[Bounds]:
    """The boxes sorted by how far their middles are from a point."""
    return sorted(boxes, key=lambda box: (round(box.centre.to(to), 6), box))
