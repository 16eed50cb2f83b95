"""Boxes that words and marks could have, as arrays, in order of preference."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Any

import numpy as np
import numpy.typing as npt
import shapely

from tiler.pattern.affine import Point
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
    low, high = boxes.min(axis=0).tolist(), boxes.max(axis=0).tolist()
    return Bounds(*low[:2], *high[2:])


def as_boxes(boxes: Sequence[Bounds] | Boxes) -> Boxes:
    """Boxes as an array, with four columns even where there are none."""
    return np.asarray(boxes, dtype=float).reshape(-1, 4)


def shapes_of(boxes: Boxes) -> npt.NDArray[Any]:
    """Each box as a polygon."""
    return np.asarray(shapely.box(*boxes.T))


def boxes_in(frame: Bounds, width: float, height: float, step: float) -> Boxes:
    """All places of a box in a frame, `step` millimetres apart, from the top left by rows."""
    across = _stops(frame.width - width, step)
    down = _stops(frame.height - height, step)
    left = np.tile(frame.left + across, len(down))
    top = np.repeat(frame.top - down, len(across))
    return np.stack([left, top - height, left + width, top], axis=1)


def _stops(free: float, step: float) -> npt.NDArray[np.float64]:
    if free < 0:
        return np.empty(0)
    count = int(free // step)
    stops = [number * step for number in range(count + 1)]
    if free - stops[-1] >= step / 4:
        stops.append(free)
    return np.array(stops)


def nearest_first(boxes: Boxes, to: Point) -> Boxes:
    """The boxes sorted by how far their middles are from a point; the leftmost ones of equals."""
    left, bottom, right, top = boxes.T
    off = np.round(np.hypot((left + right) / 2 - to.x, (bottom + top) / 2 - to.y), 6)
    return boxes[np.lexsort((top, right, bottom, left, off))]
