"""Where along a joint its ticks have room."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.sheets.bodies import Bodies
from tiler.sheets.places import Boxes, Sifted
from tiler.sheets.room import Room
from tiler.sheets.ticks import Ticks

#: From one place that is tried to the next, millimetres.
STEP = 1.0
#: Pattern lines keep this far from ticks where they can, and where they hardly can, millimetres.
AIRS = (1.5, 0.3)
#: Ticks keep this far from the ends of their joint, millimetres.
_END = 1.0


@dataclass(frozen=True)
class TickSpot:
    """A place for the ticks of both pages.

    Args:
        at: The point of the joint line where the middle ticks meet, sheet coordinates.
        bare: Whether there was no room for their numbers and words.
    """

    at: Point
    bare: bool = False


@dataclass(frozen=True)
class Stretch:
    """A joint on which ticks are to be placed, sheet coordinates.

    Args:
        start: Lower or left end of its line.
        end: Upper or right end.
        between: Where the best places are, millimetres from the start.
        room: What to keep clear of; places that are found are taken in it.
        bodies: What is cut out; places outside come first.
    """

    start: Point
    end: Point
    between: tuple[float, float]
    room: Room
    bodies: Bodies

    def spots(self) -> tuple[TickSpot, TickSpot]:
        """Places for the straight and the slanted ticks: side by side if there is room for both.

        Where there is none for one of them, it goes without its numbers and words; and where even
        that has none, over as few lines as can be.
        """
        straight, slanted = Ticks.STRAIGHT.box, Ticks.SLANTED.box
        first = self._free(straight._replace(right=straight.right + slanted.width))
        if first is None:
            return self._spot(Ticks.STRAIGHT), self._spot(Ticks.SLANTED)
        second = first + straight.right - slanted.left
        return TickSpot(self._point(first)), TickSpot(self._point(second))

    def _spot(self, kind: Ticks) -> TickSpot:
        found = self._free(kind.box)
        if found is not None:
            return TickSpot(self._point(found))
        found = self._free(kind.bare_box)
        if found is None:
            tried = np.concatenate([places.all() for places in self._tried(kind.bare_box)])
            found = self._along(kind.bare_box, self.room.least_struck(tried))
        return TickSpot(self._point(found), bare=True)

    def _point(self, along: float) -> Point:
        x, y = self.start
        return Point(x, y + along) if self._upright else Point(x + along, y)

    def _along(self, frame: Bounds, box: Bounds) -> float:
        """How far from the start the origin of a frame is that lies in a box."""
        near = box.bottom - self.start.y if self._upright else box.left - self.start.x
        return near - frame.left

    @property
    def _upright(self) -> bool:
        return self.start.x == self.end.x

    def _free(self, frame: Bounds) -> float | None:
        """The best place for the origin of a frame in which nothing else is."""
        tried = list(self._tried(frame))
        for air in AIRS:
            for places in tried:
                box = self.room.first_free(places, air)
                if box:
                    return self._along(frame, box)
        return None

    def _tried(self, frame: Bounds) -> Iterator[Sifted]:
        """Boxes for a frame: between the crosses first, then anywhere, from the middle outwards."""
        length = self.start.to(self.end)
        low, high = self.between
        middle = length / 2 - frame.centre.x
        for stops in (
            _spread(low - frame.left, high - frame.right),
            _spread(_END - frame.left, length - _END - frame.right),
        ):
            nearest = stops[np.argsort(np.abs(stops - middle), kind="stable")]
            yield self.bodies.outside_first(self._boxes(frame, nearest))

    def _boxes(self, frame: Bounds, stops: npt.NDArray[np.float64]) -> Boxes:
        """What the frame covers when its origin is at each of the stops."""
        x, y = self.start
        # An upright joint is a level one after a quarter turn, see `ticks.at_joint`.
        left, bottom, right, top = frame
        if self._upright:
            left, bottom, right, top = -frame.top, frame.left, -frame.bottom, frame.right
        moves: Boxes = np.zeros((len(stops), 4))
        moves[:, 1 if self._upright else 0] = moves[:, 3 if self._upright else 2] = stops
        moves += np.array([x + left, y + bottom, x + right, y + top])
        return moves


def _spread(low: float, high: float) -> npt.NDArray[np.float64]:
    """Places `STEP` apart that fill a stretch from its middle."""
    if high < low:
        return np.empty(0)
    count = int((high - low) // STEP)
    first = (low + high - count * STEP) / 2
    return np.array([first + number * STEP for number in range(count + 1)])
