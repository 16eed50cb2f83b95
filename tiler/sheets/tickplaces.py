"""Where along a joint its ticks have room."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, lru_cache

from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.sheets.bodies import Bodies
from tiler.sheets.lanes import Beside, Lane, first_place
from tiler.sheets.room import Room
from tiler.sheets.ticks import Ticks

#: From one place that is tried to the next, millimetres.
STEP = 1.0
#: Pattern lines keep this far from ticks where they can, and where they hardly can, millimetres.
AIRS = (1.5, 0.3)
#: Ticks keep this far from the ends of their joint, millimetres.
_END = 1.0
#: From the straight ticks to the slanted ones beside them, millimetres.
BESIDE = Ticks.STRAIGHT.box.right - Ticks.SLANTED.box.left


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
        return TickSpot(self._point(first)), TickSpot(self._point(first + BESIDE))

    @cached_property
    def beside(self) -> Beside:
        """What lies near the joint."""
        reach = Ticks.STRAIGHT.box.top + max(AIRS) + 0.1
        line = Bounds(*self.start, *self.end).grown(reach)
        return Beside(self.room, self.bodies, line, upright=self._upright)

    def _spot(self, kind: Ticks) -> TickSpot:
        found = self._free(kind.box)
        if found is not None:
            return TickSpot(self._point(found))
        frame = kind.bare_box
        found = self._free(frame)
        if found is None:
            tried = [box for stops in self._tried(frame) for box in self._boxes(frame, stops)]
            box = self.beside.least_struck(tried)
            found = (box.bottom if self._upright else box.left) - self._first(frame)
        return TickSpot(self._point(found), bare=True)

    def _point(self, along: float) -> Point:
        x, y = self.start
        return Point(x, y + along) if self._upright else Point(x + along, y)

    @property
    def _upright(self) -> bool:
        return self.start.x == self.end.x

    def _free(self, frame: Bounds) -> float | None:
        """The best place for the origin of a frame in which nothing else is; it is taken."""
        lane, first, tried = self._lane(frame), self._first(frame), self._tried(frame)
        for air in AIRS:
            for stops in tried:
                starts = [first + stop for stop in stops]
                box = first_place([lane], starts, frame.width, air)
                if box:
                    self.beside.take(box)
                    return (box.bottom if self._upright else box.left) - first
        return None

    def _first(self, frame: Bounds) -> float:
        """Where a frame begins whose origin is at the start of the joint."""
        return (self.start.y if self._upright else self.start.x) + frame.left

    def _lane(self, frame: Bounds) -> Lane:
        # An upright joint is a level one after a quarter turn, see `ticks.at_joint`.
        x, y = self.start
        if self._upright:
            return self.beside.lane(x - frame.top, x - frame.bottom)
        return self.beside.lane(y + frame.bottom, y + frame.top)

    def _tried(self, frame: Bounds) -> tuple[list[float], ...]:
        """Places for a frame: between the crosses first, then anywhere, from the middle outwards.

        Millimetres from the start of the joint to the frame's origin.
        """
        # Joints of one length have the same places, but for a rounding error.
        length, (low, high) = self.start.to(self.end), self.between
        return _places(frame, round(length, 9), round(low, 9), round(high, 9))

    def _boxes(self, frame: Bounds, stops: list[float]) -> list[Bounds]:
        """What the frame covers when its origin is at each of the stops."""
        lane, first = self._lane(frame), self._first(frame)
        return [lane.box(first + stop, frame.width) for stop in stops]


@lru_cache(maxsize=256)
def _places(frame: Bounds, length: float, low: float, high: float) -> tuple[list[float], ...]:
    """As `Stretch._tried`, for a joint of some length and what is between its crosses."""
    middle = length / 2 - frame.centre.x
    return tuple(
        sorted(stops, key=lambda stop: abs(stop - middle))
        for stops in (
            _spread(low - frame.left, high - frame.right),
            _spread(_END - frame.left, length - _END - frame.right),
        )
    )


def _spread(low: float, high: float) -> list[float]:
    """Places `STEP` apart that fill a stretch from its middle."""
    if high < low:
        return []
    count = int((high - low) // STEP)
    first = (low + high - count * STEP) / 2
    return [first + number * STEP for number in range(count + 1)]
