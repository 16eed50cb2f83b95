"""A grid of places on a stretch of cloth, and what overlaps what on it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tiler.layout.cloth.forms import Form, Spot, Thing
from tiler.layout.cloth.nofit import Map, map_of
from tiler.layout.cloth.ring import Floats

Costs = npt.NDArray[np.float32]
#: Less than this outside of the room is rounding, mm.
_ROUNDING = 1e-6
#: Work in steps of about a microsecond: for every pair of forms, and for every so many places.
_PAIR, _PLACES = 6.0, 2500.0
#: Share of a pixel by which corners of rings are cut outwards to make them simpler.
_SIMPLER = 0.125


@dataclass(frozen=True, slots=True)
class Seat:
    """The places of a form on the grid.

    Args:
        x: Of column 0, mm.
        y: Of row 0, mm.
        rows: How many there are.
        every: Columns and rows from one that it may take to the next.
        reach: From its place to its right end, mm.
        most: Columns on any length.
    """

    x: float
    y: float
    rows: int
    every: tuple[int, int]
    reach: float
    most: int = 1_000_000


@dataclass(slots=True)
class State:
    """Where all things are: form, column and row of each, and up to which x they may reach, mm."""

    form: list[int]
    column: list[int]
    row: list[int]
    length: float

    def copy(self) -> State:
        """The same, free to be changed."""
        return State(self.form[:], self.column[:], self.row[:], self.length)


class Board:
    """Things on a grid.

    Attributes:
        steps: Work done, in steps that take about a microsecond each on a common computer.
    """

    def __init__(
        self,
        things: Sequence[Thing],
        room: tuple[float, float],
        pixel: tuple[float, float],
        simpler: float | None = None,
    ) -> None:
        self.things, self.room, self.pixel = things, room, pixel
        self._simpler = pixel[0] * _SIMPLER if simpler is None else simpler
        self.steps = 0.0
        self.seats = [[self._seat(form) for form in thing.forms] for thing in things]
        self._maps: dict[tuple[int, int], Map] = {}
        self._bodies: dict[int, Floats] = {}
        self._buffer = np.zeros(0, dtype=np.float32)
        self._product = np.zeros(0, dtype=np.float32)

    def body(self, form: Form) -> Floats:
        """A form's ring, grown by half the gap."""
        known = self._bodies.get(id(form))
        if known is None:
            known = self._bodies[id(form)] = form.body(self._simpler)
        return known

    def _seat(self, form: Form) -> Seat:
        (left, low), (right, high) = form.low, form.high
        bottom, top = self.room[0] + form.clear, self.room[1]
        x, every_x = _first(form.ties.along, -left, self.pixel[0])
        y, every_y = _first(form.ties.across, bottom - low, self.pixel[1])
        rows = math.floor((top - high - y + _ROUNDING) / self.pixel[1]) + 1
        if form.ties.across and form.ties.across[1] == 0:
            rows = min(rows, 1)
        return Seat(x, y, rows, (every_x, every_y), right)

    def columns(self, thing: int, form: int, length: float) -> int:
        """How many columns a form has on a length, mm."""
        seat = self.seats[thing][form]
        fit = math.floor((length - seat.reach - seat.x + _ROUNDING) / self.pixel[0]) + 1
        return min(seat.most, fit)

    def end(self, thing: int, form: int, column: int) -> float:
        """Where a form ends that stands in a column, mm."""
        seat = self.seats[thing][form]
        return seat.x + column * self.pixel[0] + seat.reach

    def map(self, one: int, form: int, other: int, its: int) -> Map:
        """Where a form of another thing overlaps a form of one that stays."""
        a, b = self.things[one].forms[form], self.things[other].forms[its]
        key = (id(a), id(b))
        known = self._maps.get(key)
        if known is None:
            known = self._made(one, form, other, its)
            self._maps[key] = known
            if a is not b:
                self._maps[key[::-1]] = known.turned()
        return known

    def _made(self, one: int, form: int, other: int, its: int) -> Map:
        a, b = self.things[one].forms[form], self.things[other].forms[its]
        here, there = self.seats[one][form], self.seats[other][its]
        one_body, other_body = self.body(a), self.body(b)
        known = map_of(one_body, other_body, (there.x - here.x, there.y - here.y), self.pixel)
        self.steps += 500 + 0.7 * len(one_body) * len(other_body) + known.depth.size / 20
        return known

    def depth(self, state: State, one: int, other: int) -> float:
        """How far two things overlap, pixels along."""
        known = self.map(one, state.form[one], other, state.form[other])
        row = state.row[other] - state.row[one] - known.row
        column = state.column[other] - state.column[one] - known.column
        rows, columns = known.depth.shape
        if 0 <= row < rows and 0 <= column < columns:
            return float(known.depth[row, column])
        return 0.0

    def costs(
        self,
        state: State,
        thing: int,
        form: int,
        weights: Sequence[float] | None = None,
        among: Sequence[int] | None = None,
    ) -> Costs | None:
        """What it costs that a thing lies in each place, given all others.

        Args:
            state: Where the others are, and the length.
            thing: Whose places.
            form: In which form.
            weights: What a pixel of overlap with each other costs; None for 1.
            among: The others that are there; None for all.

        Returns:
            Rows and columns of the places that it may take; valid until the next call. None when
            there is no place.
        """
        seat = self.seats[thing][form]
        columns, rows = self.columns(thing, form, state.length), seat.rows
        if rows < 1 or columns < 1:
            return None
        size = rows * columns
        if len(self._buffer) < size:
            self._buffer = np.zeros(size * 2, dtype=np.float32)
            self._product = np.zeros(size * 2, dtype=np.float32)
        total = self._buffer[:size].reshape(rows, columns)
        total[:] = 0
        work = 10 + size / _PLACES
        others = range(len(self.things)) if among is None else among
        for other in others:
            if other == thing:
                continue
            known = self.map(other, state.form[other], thing, form)
            row, column = state.row[other] + known.row, state.column[other] + known.column
            height, width = known.depth.shape
            top, left = max(row, 0), max(column, 0)
            bottom, right = min(row + height, rows), min(column + width, columns)
            work += _PAIR
            if top >= bottom or left >= right:
                continue
            depth = known.depth[top - row : bottom - row, left - column : right - column]
            weight = 1.0 if weights is None else weights[other]
            part = total[top:bottom, left:right]
            if weight != 1.0:
                product = self._product[: depth.size].reshape(depth.shape)
                np.multiply(depth, np.float32(weight), out=product)
                depth = product
                work += depth.size / _PLACES
            np.add(part, depth, out=part)
            work += depth.size / _PLACES
        self.steps += work
        return total[:: seat.every[1], :: seat.every[0]]

    def spots(self, state: State) -> list[Spot]:
        """The places in millimetres."""
        made = []
        for thing, form in enumerate(state.form):
            seat = self.seats[thing][form]
            made.append(
                Spot(
                    form,
                    seat.x + state.column[thing] * self.pixel[0],
                    seat.y + state.row[thing] * self.pixel[1],
                )
            )
        return made

    def state_of(self, spots: Sequence[Spot], length: float) -> State:
        """The places on the grid that are nearest to some in millimetres, on a length, mm."""
        state = State([spot.form for spot in spots], [], [], length)
        for thing, spot in enumerate(spots):
            seat = self.seats[thing][spot.form]
            every_x, every_y = seat.every
            column = round((spot.x - seat.x) / self.pixel[0] / every_x) * every_x
            row = round((spot.y - seat.y) / self.pixel[1] / every_y) * every_y
            most = self.columns(thing, spot.form, length) - 1
            state.column.append(max(0, min(column, most // every_x * every_x)))
            state.row.append(max(0, min(row, (seat.rows - 1) // every_y * every_y)))
        return state


def _first(tie: tuple[float, float] | None, least: float, pixel: float) -> tuple[float, int]:
    """The first place, mm, and how many pixels there are from one to the next."""
    if tie is None:
        return least, 1
    first, step = tie
    if step == 0:
        return first, 1
    turns = math.ceil((least - first - _ROUNDING) / step)
    return first + turns * step, max(1, round(step / pixel))
