"""The best place for one more unit."""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
from numpy.lib.stride_tricks import sliding_window_view

from tiler.layout.packing.room import Room, Spot
from tiler.layout.packing.stamp import NEVER, Stamp

Cells = npt.NDArray[np.float32]
Parts = npt.NDArray[np.uint16]
Numbers = npt.NDArray[np.int64]
#: Places of one stamp among which snugness decides.
_SAMPLES = 10
#: Turns with an equally cheap place among which snugness decides; later ones must be cheaper.
_EQUALS = 4
#: Prices are compared in parts of a cell.
_PARTS = 4
#: The price of a place where something lies, in those parts.
_SHUT = np.uint16(_PARTS * NEVER)


@dataclass
class Meter:
    """Work done, in steps that take about a microsecond each on a common computer."""

    steps: float = 0.0


def best_spot(
    room: Room,
    stamps: Sequence[Stamp],
    tried: Iterable[int],
    price: Cells,
    near: npt.NDArray[np.bool_] | None,
    rng: random.Random,
    meter: Meter,
) -> Spot | None:
    """The place that inks the fewest new cells, and among those the snuggest that is found.

    Args:
        room: What is there.
        stamps: The unit in its turns.
        tried: Which of the stamps are tried.
        price: What each cell costs when the unit inks it: 0 for one that is inked in any case.
        near: Cells of which the unit must ink at least one; None where it is free.
        rng: Decides among equals.
        meter: Where the work is noted.
    """
    entries = []
    asked = _Prices(price, near)
    for number in tried:
        prices = asked.of(stamps[number])
        entries.append((int(prices.min()), rng.random(), number, prices))
        meter.steps += 20 + prices.size * stamps[number].patterns.shape[1] / 1500
    entries.sort(key=lambda entry: entry[:2])
    best_cost, best_snug, best, equals = int(_SHUT) - 1, -1.0, None, 0
    wall = _Walls(room, price)
    for least, _, number, prices in entries:
        most = best_cost if equals < _EQUALS else best_cost - 1
        if least > most:
            break
        stamp = stamps[number]
        found = _free_places(room, stamp, prices, most, meter)
        if found is None:
            continue
        cost, rows, columns = found
        if len(rows) > _SAMPLES:
            picks = _picked(rows, columns, rng)
            rows, columns = rows[picks], columns[picks]
        snug = wall.snugness(stamp, rows, columns)
        meter.steps += 40 + len(rows) * len(stamp.edge[0]) * 0.02
        place = int(snug.argmax())
        equals = equals + 1 if cost == best_cost else 1
        if cost < best_cost or snug[place] > best_snug:
            best_cost, best_snug = cost, float(snug[place])
            best = Spot(number, int(rows[place]), int(columns[place]))
    return best


class _Prices:
    """What a stamp's patterns cost at each cell, in parts of a cell."""

    def __init__(self, price: Cells, near: npt.NDArray[np.bool_] | None) -> None:
        self.price, self.near = price, near
        self._windows: dict[tuple[int, int], tuple[Cells, Cells | None]] = {}

    def of(self, stamp: Stamp) -> Parts:
        """Shape (cells, row by row; patterns)."""
        if stamp.cells not in self._windows:
            near = None if self.near is None else _windows(self.near.astype(np.float32), stamp)
            self._windows[stamp.cells] = _windows(self.price, stamp), near
        prices, close = self._windows[stamp.cells]
        costs = prices @ (stamp.patterns.T * _PARTS)
        costs += stamp.ban
        if close is not None:
            costs[close @ stamp.patterns.T < 0.5] = _SHUT
        return np.asarray(np.minimum(costs, _SHUT), dtype=np.uint16)


def _windows(weights: Cells, stamp: Stamp) -> Cells:
    """The weights under a pattern's cells (second) at each cell (first)."""
    up, across = stamp.cells
    rows, columns = weights.shape
    wide = np.zeros((rows + up - 1, columns + across - 1), dtype=np.float32)
    wide[:rows, :columns] = weights
    return sliding_window_view(wide, stamp.cells).reshape(-1, up * across)


def _free_places(
    room: Room, stamp: Stamp, prices: Parts, most: int, meter: Meter
) -> tuple[int, Numbers, Numbers] | None:
    """The cheapest free places, none dearer than `most`: their price, rows and columns."""
    lattice = room.lattice
    nx, ny, width = lattice.nx, lattice.ny, lattice.width
    rows, columns = stamp.mask.shape
    high = min(lattice.height - rows + 1, lattice.rows * ny)
    wide = min(lattice.columns * nx + 2 * lattice.rim - columns + 1, lattice.columns * nx)
    if high < 1 or wide < 1:
        return None
    cheapest = prices.min(axis=1).reshape(lattice.rows, lattice.columns)
    live = cheapest <= most
    # Bits of places: 1 where something lies or where the unit would leave the canvas.
    hits = np.zeros((lattice.rows * ny, width // 8), dtype=np.uint8)
    hits[:] = np.packbits(np.arange(width) >= wide, bitorder="little")
    hits[high:] = 255
    starts = np.arange(lattice.rows) * ny
    done, tables, join = 0, room.tables, np.bitwise_or
    for upto in (10, 40, 120, len(stamp.probes)):
        alive = np.flatnonzero(live.any(axis=1))
        if not len(alive):
            return None
        first, last = int(alive[0]) * ny, min((int(alive[-1]) + 1) * ny, high)
        part = hits[first:last].ravel()
        size, begin = part.size, first * width // 8
        for table, byte in stamp.probes[done:upto]:
            start = byte + begin
            join(part, tables[table][start : start + size], part)
        meter.steps += 12 + len(stamp.probes[done:upto]) * (0.75 + size / 45_000)
        done = upto
        shut = np.bitwise_and.reduceat(hits, starts, axis=0)
        bits = np.unpackbits(shut, axis=1, bitorder="little")[:, : lattice.columns * nx]
        live &= ~bits.reshape(lattice.rows, lattice.columns, nx).all(axis=2)
        if done >= len(stamp.probes):
            break
    at_row, at_column = np.nonzero(live)
    if not len(at_row):
        return None
    free = np.unpackbits(hits, axis=1, bitorder="little")[:, : lattice.columns * nx]
    tiles = free.reshape(lattice.rows, ny, lattice.columns, nx)
    cells = at_row * lattice.columns + at_column
    meter.steps += 25 + free.size / 9000
    best: int = most
    chosen: list[tuple[Numbers, Numbers, Numbers]] = []
    levels = cheapest[at_row, at_column]
    for level in sorted(set(levels.tolist())):
        if level > best:
            break
        some = np.flatnonzero(levels == level)
        total = prices[cells[some]][:, stamp.kinds]
        total[tiles[at_row[some], :, at_column[some], :] != 0] = _SHUT
        meter.steps += 8 + total.size / 500
        least = int(total.min())
        if least > best or least >= _SHUT:
            continue
        if least < best:
            chosen, best = [], least
        tile, down, over = np.nonzero(total == least)
        chosen.append((some[tile], down, over))
    if not chosen:
        return None
    which, down, over = (np.concatenate([entry[k] for entry in chosen]) for k in (0, 1, 2))
    return best, at_row[which] * ny + down, at_column[which] * nx + over


def _picked(
    rows: npt.NDArray[np.int64], columns: npt.NDArray[np.int64], rng: random.Random
) -> npt.NDArray[np.int64]:
    """Some of many places: the outermost ones in four slanting directions, the others at random."""
    picks = [rng.randrange(len(rows)) for _ in range(_SAMPLES - 4)]
    for side in (1, -1):
        for other in (1, -1):
            lean = rng.uniform(0.2, 5.0)
            picks.append(int(np.argmax(rows * side + columns * (other * lean))))
    return np.array(picks)


class _Walls:
    """What a unit can lie snugly against: other units, and pages that are not used."""

    def __init__(self, room: Room, price: Cells) -> None:
        lattice = room.lattice
        self.rim, self.nx, self.ny = lattice.rim, lattice.nx, lattice.ny
        high, wide = room.taken.shape
        self.taken = np.ones((high + 2, wide + 2), dtype=room.taken.dtype)
        self.taken[1:-1, 1:-1] = room.taken
        rows, columns = room.inked.shape
        self.empty = np.ones((rows + 2, columns + 3), dtype=bool)
        self.empty[1:-1, 1:-2] = room.inked == 0
        self.price = price

    def snugness(
        self, stamp: Stamp, rows: npt.NDArray[np.int64], columns: npt.NDArray[np.int64]
    ) -> npt.NDArray[np.float64]:
        """Share of the pixels round a unit that are no loss, for each place."""
        down = rows[:, None] + stamp.edge[0][None]
        over = columns[:, None] + stamp.edge[1][None]
        close = self.taken[down + 1, over + 1] != 0
        cell_row = (down - self.rim) // self.ny
        cell_column = (over - self.rim) // self.nx
        empty = self.empty[cell_row + 1, cell_column + 1].copy()
        # The cells that the unit itself inks are no longer empty.
        up, across = stamp.cells
        local_row = cell_row - (rows // self.ny)[:, None]
        local_column = cell_column - (columns // self.nx)[:, None]
        inside = (local_row >= 0) & (local_row < up) & (local_column >= 0) & (local_column < across)
        kinds = stamp.kinds[rows % self.ny, columns % self.nx]
        number = np.where(inside, local_row * across + local_column, 0)
        own = np.take_along_axis(stamp.patterns[kinds], number, axis=1) > 0
        empty &= ~(inside & own)
        return np.asarray((close | empty).mean(axis=1))
