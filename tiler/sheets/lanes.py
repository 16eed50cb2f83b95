"""Places along a straight line of the sheet: boxes that slide in a band beside it.

Within a band that all boxes fill across, what lies in their way are stretches of the band, so that
a few comparisons of numbers tell whether one of them is free.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from functools import cached_property

from shapely.geometry.base import BaseGeometry

from tiler.pattern.bounds import Bounds
from tiler.sheets.bodies import Bodies
from tiler.sheets.places import as_boxes
from tiler.sheets.room import Room

#: From, to: millimetres along the line.
Stretch = tuple[float, float]
#: A straight stroke: along and across at its one end, and at its other.
Stroke = tuple[float, float, float, float]

#: What comes nearer than that touches, millimetres: rounding alone.
_TOUCH = 1e-9


class Beside:
    """What lies near a level or an upright line.

    Args:
        room: What words and marks keep clear of; while this is in use, what lies near is taken
            in it by `take` alone.
        bodies: What is cut out; places outside come first.
        bounds: The part of the sheet that is looked at, sheet coordinates.
        upright: Whether the line runs up the sheet.
    """

    def __init__(self, room: Room, bodies: Bodies, bounds: Bounds, *, upright: bool) -> None:
        self.room, self.bodies = room, bodies
        self.upright = upright
        self._bounds = bounds

    def lane(self, low: float, high: float) -> Lane:
        """The band between two distances across, in sheet coordinates: x beside an upright line."""
        return Lane(self, low, high)

    def take(self, box: Bounds) -> None:
        """Keep a box free from now on."""
        self.room.take(box)
        self.taken.append((box, None))

    def least_struck(self, boxes: Sequence[Bounds]) -> Bounds:
        """Of some boxes the one with the fewest lines; it is taken."""
        box = self.room.least_struck(self.bodies.outside_first(as_boxes(boxes)).all())
        self.taken.append((box, None))
        return box

    @cached_property
    def lines(self) -> list[Stroke]:
        """The strokes of the pattern and of what is drawn on it."""
        return self._seen(self.room.lines_in(self._bounds))

    @cached_property
    def rims(self) -> list[Stroke] | None:
        """The outlines of what is cut out; None where none of it is near."""
        rims = self.bodies.rims_in(self._bounds)
        return None if rims is None else self._seen(rims)

    @cached_property
    def taken(self) -> list[tuple[Bounds, BaseGeometry | None]]:
        """Words and marks; the shape of what is turned with its bounds."""
        return self.room.taken_in(self._bounds)

    @cached_property
    def sides(self) -> tuple[bool, ...]:
        """Where to look, best first: True outside of what is cut out, False anywhere.

        Where no outline is near, all places are outside or all are inside.
        """
        if not self.rims:
            return (False,)
        return True, False

    def _seen(self, strokes: Iterable[Sequence[float]]) -> list[Stroke]:
        """Strokes seen along the line."""
        if self.upright:
            return [(ay, ax, by, bx) for ax, ay, bx, by in strokes]
        return [(ax, ay, bx, by) for ax, ay, bx, by in strokes]


class Lane:
    """A band along a line; boxes fill it across.

    It knows what is taken when it is first asked: for another search after that there is another
    lane.

    Args:
        beside: What lies near the line.
        low: The one edge across, millimetres.
        high: The other.
    """

    def __init__(self, beside: Beside, low: float, high: float) -> None:
        self._beside = beside
        self._low, self._high = low, high
        self._struck: dict[float, list[Stretch]] = {}

    @property
    def sides(self) -> tuple[bool, ...]:
        """As of what lies beside the line."""
        return self._beside.sides

    def box(self, start: float, length: float) -> Bounds:
        """A stretch of the band as a box of the sheet."""
        end = start + length
        if self._beside.upright:
            return Bounds(self._low, start, self._high, end)
        return Bounds(start, self._low, end, self._high)

    def first(
        self, starts: Iterable[float], length: float, air: float | None, *, outside: bool
    ) -> float | None:
        """The first of some stretches on which nothing is.

        Args:
            starts: Where the stretches begin, best first, millimetres along the line.
            length: Of each.
            air: How far every line must stay away, millimetres; None if lines do not matter.
            outside: Whether it must touch nothing of what is cut out.
        """
        taken, turned = self._taken
        blocked = list(taken) if air is None else [*taken, *self._lines(air)]
        rims = outside and self._beside.rims is not None
        free = _between([*blocked, *self._rims] if rims else blocked, length)
        clear: dict[Stretch, bool] = {}
        for start in starts:
            for each in free:
                if each[0] <= start <= each[1]:
                    box = self.box(start, length)
                    if rims and each not in clear:
                        # No rim is within the range, so that one place tells for all of it.
                        clear[each] = not self._beside.bodies.hold(*box.centre)
                    if clear.get(each, True) and not (turned and self._beside.room.is_taken(box)):
                        return start
                    break
        return None

    def _lines(self, air: float) -> list[Stretch]:
        """Where boxes would be too near to a line."""
        if air not in self._struck:
            self._struck[air] = self._shadows(self._beside.lines, air)
        return self._struck[air]

    @cached_property
    def _taken(self) -> tuple[list[Stretch], bool]:
        """Where upright words and marks are, and whether there are turned ones as well."""
        along, across = (1, 0) if self._beside.upright else (0, 1)
        stretches, turned = [], False
        for box, shape in self._beside.taken:
            if box[across] < self._high and self._low < box[across + 2]:
                if shape is not None:
                    turned = True
                else:
                    # What only touches is free.
                    stretches.append((box[along] + 2 * _TOUCH, box[along + 2] - 2 * _TOUCH))
        return stretches, turned

    @cached_property
    def _rims(self) -> list[Stretch]:
        return self._shadows(self._beside.rims or (), 0.0)

    def _shadows(self, strokes: Iterable[Stroke], air: float) -> list[Stretch]:
        """The stretches in which strokes run through the band, with air all round."""
        grown = air + _TOUCH
        low, high = self._low - grown, self._high + grown
        found: list[Stretch] = []
        for along, across, to_along, to_across in strokes:
            if across > to_across:
                along, across, to_along, to_across = to_along, to_across, along, across
            if to_across < low or across > high:
                continue
            start, end = along, to_along
            if across < low:
                start = along + (to_along - along) * (low - across) / (to_across - across)
            if to_across > high:
                end = along + (to_along - along) * (high - across) / (to_across - across)
            low_end, high_end = (start, end) if start < end else (end, start)
            found.append((low_end - grown, high_end + grown))
        return found


def _between(blocked: list[Stretch], length: float) -> list[Stretch]:
    """Where boxes of a length may begin, so that they touch no blocked stretch."""
    free: list[Stretch] = []
    begin = -math.inf
    for low, high in sorted(blocked):
        if low - length > begin:
            free.append((begin, low - length))
        if high > begin:
            begin = high
    free.append((begin, math.inf))
    return free


def first_place(
    lanes: Sequence[Lane], starts: Sequence[float], length: float, air: float | None
) -> Bounds | None:
    """The first free box: outside of what is cut out if there is one, nearest lanes first.

    Args:
        lanes: Bands along one line, best first.
        starts: Where boxes begin in each of them, best first, millimetres along the line.
        length: Of the boxes along the line.
        air: How far every line must stay away, millimetres; None if lines do not matter.
    """
    # Once there is no place outside, all that are free are on what is cut out.
    for outside in lanes[0].sides if lanes else ():
        for lane in lanes:
            start = lane.first(starts, length, air, outside=outside)
            if start is not None:
                return lane.box(start, length)
    return None
