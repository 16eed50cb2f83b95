"""Boxes that words and marks could have, as arrays, in order of preference."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt
import shapely

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds

#: Left, bottom, right and top of each box, one a row, millimetres.
Boxes = npt.NDArray[np.float64]
#: For each box whether something holds for it.
Mask = npt.NDArray[np.bool_]

#: Boxes looked at together: few at first, since the best ones mostly are free, then ever more.
_FIRST, _MOST = 40, 240


class Sifted:
    """Boxes of which those that pass a test come before all others, or alone.

    Boxes are tested a few at a time, each once, and only as far as somebody asks for them.

    Args:
        boxes: In order of preference.
        passes: The test; None where it is known that all pass, or all fail, so that their order
            stays as it is.
        others: Whether the boxes that do not pass it come last, or not at all.
    """

    def __init__(
        self, boxes: Boxes, passes: Callable[[Boxes], Mask] | None, *, others: bool
    ) -> None:
        self.boxes = boxes
        self._passes = passes
        self._others = others
        self._tested: list[tuple[Boxes, Boxes]] = []

    def __iter__(self) -> Iterator[Boxes]:
        """Batches, the best first."""
        if self._passes is None:
            yield from batches(self.boxes)
            return
        for number, batch in enumerate(batches(self.boxes)):
            if number == len(self._tested):
                good = self._passes(batch)
                self._tested.append((batch[good], batch[~good]))
            yield self._tested[number][0]
        if self._others:
            yield from (others for _, others in self._tested)

    @property
    def alike(self) -> bool:
        """Whether there is nothing to test."""
        return self._passes is None

    @property
    def alone(self) -> bool:
        """Whether boxes that do not pass are left out."""
        return not self._others

    def passing(self, boxes: Boxes) -> Boxes:
        """Those of some boxes that pass."""
        if self._passes is None or not len(boxes):
            return boxes
        return boxes[self._passes(boxes)]

    def all(self) -> Boxes:
        """All of them at once, in order."""
        return np.concatenate([as_boxes([]), *self])


Places = Boxes | Sequence[Bounds] | Sifted


def batches(boxes: Boxes) -> Iterator[Boxes]:
    """The same boxes, a few at first, then more at a time."""
    start, size = 0, _FIRST
    while start < len(boxes):
        yield boxes[start : start + size]
        start, size = start + size, min(4 * size, _MOST)


def around(boxes: Boxes) -> Bounds:
    """The smallest box round all of the boxes (one at least)."""
    left, bottom, right, top = boxes.T
    return Bounds(float(left.min()), float(bottom.min()), float(right.max()), float(top.max()))


def as_boxes(boxes: Sequence[Bounds] | Boxes) -> Boxes:
    """Boxes as an array, with four columns even where there are none."""
    return np.asarray(boxes, dtype=float).reshape(-1, 4)


def shapes_of(boxes: Boxes) -> npt.NDArray[Any]:
    """Each box as a polygon."""
    return np.asarray(shapely.box(*boxes.T))


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


def boxes_in(frame: Bounds, width: float, height: float, step: float) -> Boxes:
    """All places of a box in a frame, `step` millimetres apart, from the top left by rows."""
    left = frame.left + _stops(frame.width - width, step)
    top = (frame.top - _stops(frame.height - height, step))[:, None]
    boxes = np.empty((len(top), len(left), 4))
    boxes[..., 0], boxes[..., 1] = left, top - height
    boxes[..., 2], boxes[..., 3] = left + width, top
    return boxes.reshape(-1, 4)


def _stops(free: float, step: float) -> npt.NDArray[np.float64]:
    if free < 0:
        return np.empty(0)
    count = int(free // step)
    stops = np.asarray(np.arange(count + 2) * step, dtype=np.float64)
    if free - stops[count] >= step / 4:
        stops[-1] = free
        return stops
    return stops[:-1]


def nearest_first(boxes: Boxes, to: Point) -> Boxes:
    """The boxes sorted by how far their middles are from a point; the leftmost ones of equals."""
    left, bottom, right, top = boxes.T
    off = np.round(np.hypot((left + right) / 2 - to.x, (bottom + top) / 2 - to.y), 6)
    return boxes[np.lexsort((top, right, bottom, left, off))]
