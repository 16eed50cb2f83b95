"""A board of the places next to where things lie: what a coarse grid leaves is closed on it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from tiler.layout.cloth.board import Board, Seat, State
from tiler.layout.cloth.forms import Form, Spot, Thing
from tiler.layout.cloth.nofit import Map, Window, map_of

#: Corners of rings are cut outwards by no less than this to make them simpler, mm.
_FINEST = 0.1
#: Less than this is rounding, mm.
_ROUNDING = 1e-6


class NearBoard(Board):
    """Things that may move by some pixels, each in the form that it has.

    Args:
        things: What lies there.
        room: From where to where (across, mm) they may lie.
        pixel: Side of the grid, mm.
        spots: Where each lies.
        reach: Pixels that each may move either way.
    """

    def __init__(
        self,
        things: Sequence[Thing],
        room: tuple[float, float],
        pixel: float,
        spots: Sequence[Spot],
        reach: int,
    ) -> None:
        self._spots, self._reach = spots, reach
        # Every form is one of its own: the places of two like things are not the same.
        alone = [
            Thing((replace(thing.forms[spot.form]),), thing.area)
            for thing, spot in zip(things, spots, strict=True)
        ]
        self._home: list[tuple[int, int]] = []
        super().__init__(alone, room, (pixel, pixel), max(_FINEST, pixel / 8))

    def _seat(self, form: Form) -> Seat:
        spot, reach, pixel = self._spots[len(self._home)], self._reach, self.pixel[0]
        (left, low), (right, high) = form.low, form.high
        before = min(reach, math.floor((spot.x + left + _ROUNDING) / pixel))
        below = min(
            reach, math.floor((spot.y + low - self.room[0] - form.clear + _ROUNDING) / pixel)
        )
        above = min(reach, math.floor((self.room[1] - spot.y - high + _ROUNDING) / pixel))
        columns = before + reach + 1
        if form.ties.along:
            before, columns = 0, 1
        if form.ties.across:
            below = above = 0
        before, below, above = max(before, 0), max(below, 0), max(above, 0)
        self._home.append((before, below))
        x, y = spot.x - before * pixel, spot.y - below * pixel
        return Seat(x, y, below + above + 1, (1, 1), right, columns)

    def home(self, length: float) -> State:
        """Where all things are."""
        return State(
            [0] * len(self._home),
            [column for column, _ in self._home],
            [row for _, row in self._home],
            length,
        )

    def moved(self, state: State) -> list[Spot]:
        """The places in millimetres, in the forms of the things as they were given."""
        return [
            replace(new, form=old.form)
            for new, old in zip(self.spots(state), self._spots, strict=True)
        ]

    def _made(self, one: int, form: int, other: int, its: int) -> Map:
        a, b = self.things[one].forms[form], self.things[other].forms[its]
        here, there = self.seats[one][form], self.seats[other][its]
        window = Window(
            1 - here.rows,
            1 - here.most,
            here.rows + there.rows - 1,
            here.most + there.most - 1,
        )
        shift = (there.x - here.x, there.y - here.y)
        # Whether any two of these places bring them together.
        for k, (first, count) in enumerate(
            ((window.column, window.columns), (window.row, window.rows))
        ):
            low = shift[k] + first * self.pixel[k] + b.low[k] - a.gap
            high = shift[k] + (first + count - 1) * self.pixel[k] + b.high[k] + a.gap
            if low > a.high[k] or high < a.low[k]:
                return Map(np.zeros((0, 0), dtype=np.float32), 0, 0)
        one_body, other_body = self.body(a), self.body(b)
        self.steps += 300 + 0.1 * len(one_body) * len(other_body)
        return map_of(one_body, other_body, shift, self.pixel, window)
