"""Units on given cells that may lie over one another: by how much, and where it would be least."""

from __future__ import annotations

import random
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from numpy.lib.stride_tricks import sliding_window_view

from tiler.layout.packing.insert import Meter
from tiler.layout.packing.lattice import Lattice
from tiler.layout.packing.stamp import Stamp

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
#: Weights are counted in whole numbers of this part of one.
PART = 8


@dataclass(frozen=True, slots=True)
class Lie:
    """Where a unit lies: its stamp, and row and column of the pixel that its ink starts in."""

    stamp: int
    row: int
    column: int


def overlap(one: Stamp, at: Lie, other: Stamp, there: Lie) -> int:
    """Pixels that two units claim both."""
    spans = []
    for axis, (first, second) in enumerate(((at.row, there.row), (at.column, there.column))):
        low = max(first, second)
        high = min(first + one.mask.shape[axis], second + other.mask.shape[axis])
        if low >= high:
            return 0
        spans.append((slice(low - first, high - first), slice(low - second, high - second)))
    (rows, other_rows), (columns, other_columns) = spans
    return int(np.count_nonzero(one.mask[rows, columns] & other.mask[other_rows, other_columns]))


_NOWHERE = np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64)


class Floor:
    """The part of the canvas that holds some cells, and the units that lie there.

    Args:
        lattice: The raster.
        allowed: Row and column of the cells that units that move may ink.
        lies: Where each unit lies, or lay before cells were taken away.
        free: The units that may move.
        draw: The stamp of a unit (first) in one of its turns (second).
        meter: Where the work is noted.
    """

    def __init__(
        self,
        lattice: Lattice,
        allowed: frozenset[tuple[int, int]],
        lies: Sequence[Lie],
        free: Sequence[int],
        draw: Callable[[int, int], Stamp],
        meter: Meter,
    ) -> None:
        self.meter = meter
        self.lattice, self.draw, self.free, self.lies = lattice, draw, list(free), list(lies)
        rows, columns = ([cell[k] for cell in allowed] for k in (0, 1))
        low = min(rows), min(columns)
        self.cells = max(rows) - low[0] + 1, max(columns) - low[1] + 1
        self.origin = low[0] * lattice.ny, low[1] * lattice.nx
        self.size = (
            smooth(self.cells[0] * lattice.ny + 2 * lattice.rim),
            smooth(self.cells[1] * lattice.nx + 2 * lattice.rim),
        )
        self.barred = np.ones(self.cells, dtype=np.float32)
        for row, column in allowed:
            self.barred[row - low[0], column - low[1]] = 0
        self._places: dict[tuple[int, int], tuple[Ints, Ints]] = {}

    def settle_in(self, turns: Sequence[int], rng: random.Random) -> bool:
        """Bring the units that may move on to the allowed cells; whether all of them can be."""
        even = np.full(len(self.lies), float(PART))
        for unit in self.free:
            lie = self.lies[unit]
            rows, columns = self._allowed(unit, lie.stamp)
            row, column = lie.row - self.origin[0], lie.column - self.origin[1]
            if not np.any((rows == row) & (columns == column)) and not self.move(
                unit, even, range(turns[unit]), rng
            ):
                return False
        return True

    def conflicts(self) -> Ints:
        """Pixels that each pair claims both; pairs of which none may move are left out."""
        found = np.zeros((len(self.lies), len(self.lies)), dtype=np.int64)
        for unit in self.free:
            self.count(unit, found)
        return found

    def count(self, unit: int, conflicts: Ints) -> None:
        """Bring the entries of one unit up to date."""
        lie = self.lies[unit]
        stamp = self.draw(unit, lie.stamp)
        for other, there in enumerate(self.lies):
            if other != unit:
                shared = overlap(stamp, lie, self.draw(other, there.stamp), there)
                conflicts[unit, other] = conflicts[other, unit] = shared

    def move(
        self,
        unit: int,
        weights: Floats,
        tried: Iterable[int],
        rng: random.Random,
    ) -> bool:
        """Lay a unit where it overlaps least; whether there is any place for it.

        Args:
            unit: Which.
            weights: What the overlap with each other unit counts: whole numbers.
            tried: Its turns that are tried.
            rng: Decides among equals.
        """
        claimed = np.zeros(self.size)
        for other, there in enumerate(self.lies):
            if other != unit:
                self._claim(claimed, self.draw(other, there.stamp), there, weights[other])
        spectrum = np.fft.rfft2(claimed)
        self.meter.steps += 20 * len(self.lies) + claimed.size * 0.01
        best: tuple[int, float, Lie] | None = None
        for number in tried:
            rows, columns = self._allowed(unit, number)
            if not len(rows):
                continue
            mask = self.draw(unit, number).mask
            # A correlation by Fourier transforms; the sums are whole numbers, so rounding gives
            # the same on every machine.
            wave = np.conj(np.fft.rfft2(mask, s=self.size))
            sums = np.fft.irfft2(spectrum * wave, s=self.size)
            costs = np.rint(sums[rows, columns])
            self.meter.steps += 60 + claimed.size * 0.02 + len(rows) * 0.02
            least = int(costs.min())
            chance = rng.random()
            if best is None or (least, chance) < best[:2]:
                places = np.flatnonzero(costs == least)
                place = int(places[rng.randrange(len(places))])
                row, column = int(rows[place]), int(columns[place])
                lie = Lie(number, row + self.origin[0], column + self.origin[1])
                best = least, chance, lie
        if best is None:
            return False
        self.lies[unit] = best[2]
        return True

    def _claim(self, claimed: Floats, stamp: Stamp, lie: Lie, weight: float) -> None:
        spans, own = [], []
        for axis, start in enumerate((lie.row, lie.column)):
            first = start - self.origin[axis]
            low = max(first, 0)
            high = min(first + stamp.mask.shape[axis], self.size[axis])
            if low >= high:
                return
            spans.append(slice(low, high))
            own.append(slice(low - first, high - first))
        claimed[spans[0], spans[1]] += weight * stamp.mask[own[0], own[1]]

    def _allowed(self, unit: int, number: int) -> tuple[Ints, Ints]:
        """Rows and columns on the floor from which a stamp inks allowed cells only."""
        if (unit, number) not in self._places:
            stamp, lattice = self.draw(unit, number), self.lattice
            up, across = stamp.cells
            high, wide = self.cells
            barred = np.ones((high + up - 1, wide + across - 1), dtype=np.float32)
            barred[:high, :wide] = self.barred
            under = sliding_window_view(barred, stamp.cells).reshape(-1, up * across)
            fits = under @ stamp.patterns.T + stamp.ban < 0.5
            self.meter.steps += 40
            if not fits.any():
                self._places[unit, number] = _NOWHERE
                return _NOWHERE
            good = fits[:, stamp.kinds]
            self.meter.steps += good.size * 0.006
            good = good.reshape(high, wide, lattice.ny, lattice.nx).transpose(0, 2, 1, 3)
            rows, columns = np.nonzero(good.reshape(high * lattice.ny, wide * lattice.nx))
            inside = (rows + stamp.mask.shape[0] <= self.size[0]) & (
                columns + stamp.mask.shape[1] <= self.size[1]
            )
            self._places[unit, number] = rows[inside], columns[inside]
        return self._places[unit, number]


def smooth(least: int) -> int:
    """The next number without prime factors above 5: transforms of that length are fast."""
    number = least
    while True:
        rest = number
        for factor in (2, 3, 5):
            while rest % factor == 0:
                rest //= factor
        if rest == 1:
            return number
        number += 1
