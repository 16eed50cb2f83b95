"""One page fewer: units are pressed on to given cells, lying over one another, and worked apart.

The other search never lets units lie over one another, so in a tight layout none can pass another.
Here the pages are fixed, and what is made less is the paper that two units claim both: the unit
that is in the way goes where it overlaps least, and pairs that stay in conflict weigh more and
more until they part (guided local search, Voudouris and Tsang 1999; its use for laying irregular
shapes is described by Egeblad, Nielsen and Odgaard 2007).
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np

from tiler.layout.packing.insert import Meter
from tiler.layout.packing.lattice import Lattice
from tiler.layout.packing.press import PART, Floats, Floor, Lie
from tiler.layout.packing.raster import Bits
from tiler.layout.packing.room import Spot, cells_of
from tiler.layout.packing.stamp import Stamp

Cells = frozenset[tuple[int, int]]
#: Draws a unit (first) in a turn (second) on a lattice (third): 0 as the stamps are, 1 finer.
Draw = Callable[[int, int, int], Stamp]

#: Shares of its turns in which a unit is tried.
_SHARES = (0.15, 0.3, 0.6)
#: What a pair's weight grows by where they overlap, at least and at most, and fades by elsewhere.
_GROW, _MORE, _FADE = 1.2, 0.8, 0.95
#: Weights are between these.
_WEIGHTS = (1.0, 500.0)
#: How many pages are exchanged for others beside, each as likely as it stands here.
_EXCHANGES = (0, 0, 0, 1, 1, 2)
#: Moves for each unit before another attempt may be more promising, at first and later.
_MOVES = 3, 8
#: Share of the rounds that begin a new attempt.
_FRESH = 0.3
#: Overlap below which an attempt goes on with finer pixels, square millimetres.
_NEARLY = 900.0
#: How much less hope there is in an attempt after each further round.
_TIRED = 0.25
#: Pixels of the largest part of the canvas that is worked at, on each lattice.
_MOST = 40_000, 125_000
#: Overlap so slight that pushing the units apart may end it, square millimetres.
_SLIGHT = 120.0
#: Attempts that are remembered.
_KEPT = 40


@dataclass
class Press:
    """An attempt to lay all units on certain cells.

    Args:
        allowed: The cells that units that move may ink.
        level: 0 on the search's own lattice, 1 on the finer one.
        lies: Where each unit lies; row and column from the first pixel of the lattice's cells.
        free: Which units may move; the others stay as they are.
        weights: What the overlap of each pair counts.
        worst: The least overlap in all that there was, square millimetres.
        rounds: How often it has been worked at.
        told: The overlap of the arrangement that was told last, square millimetres.
    """

    allowed: Cells
    level: int
    lies: list[Lie]
    free: list[int]
    weights: Floats
    worst: float = math.inf
    rounds: int = 0
    told: float = math.inf


@dataclass
class Squeeze:
    """Looks for arrangements with one page less than there are.

    Args:
        lattices: The search's own and the finer one, with a whole number of pixels in each of its.
        turns: For each unit how many stamps it has.
        draw: Draws one of them.
        rng: Random choices.
        meter: Where the work is noted.
    """

    lattices: tuple[Lattice, Lattice]
    turns: Sequence[int]
    draw: Draw
    rng: random.Random
    meter: Meter
    presses: list[Press] = field(default_factory=list)
    hopeless: set[tuple[Cells, tuple[int, ...]]] = field(default_factory=set)

    def forget(self) -> None:
        """Begin anew: the best arrangement has another number of pages now."""
        self.presses.clear()
        self.hopeless.clear()

    def work(self, level: int, spots: Sequence[Spot]) -> tuple[int, list[Spot]] | None:
        """Go on for a while; an arrangement of fewer pages (its lattice first) or None.

        Args:
            level: A lattice.
            spots: An arrangement on it, of as many pages as the best one has.
        """
        self.meter.steps += 500
        if not self.presses or self.rng.random() < _FRESH:
            press = self._begun(level, spots)
            self.meter.steps += 1500
            if press is None:
                return None
            self.presses.append(press)
        else:
            press = min(self.presses, key=_hope)
        found = self._round(press)
        if found is None and press.level == 0 and press.worst < _NEARLY:
            self._finer(press)
            found = self._round(press)
        self.presses = [press for press in self.presses if press.worst < math.inf]
        self.presses.sort(key=_hope)
        del self.presses[_KEPT:]
        if found is None:
            return None
        return press.level, [Spot(lie.stamp, lie.row, lie.column) for lie in found]

    def _begun(self, level: int, spots: Sequence[Spot]) -> Press | None:
        """Take a page away that has little on it, and exchange others for some beside."""
        lattice, rng = self.lattices[level], self.rng
        stamps = [self.draw(unit, spot.stamp, level) for unit, spot in enumerate(spots)]
        where = [
            frozenset(cells_of(stamp, spot.row, spot.column, lattice))
            for stamp, spot in zip(stamps, spots, strict=True)
        ]
        full = fullness(stamps, spots, lattice)
        inked = sorted(frozenset().union(*where))
        gone = self._weak(inked, full)
        allowed = set(inked) - {gone}
        for _ in range(rng.choice(_EXCHANGES)):
            beside = sorted(
                {
                    (row + up, column + across)
                    for row, column in allowed
                    for up, across in ((0, 1), (1, 0), (0, -1), (-1, 0))
                    if 0 <= row + up < lattice.rows and 0 <= column + across < lattice.columns
                }
                - set(inked)
                - allowed
            )
            if beside and len(allowed) > 1:
                other = self._weak(sorted(allowed), full)
                allowed = (allowed - {other}) | {rng.choice(beside)}
        window = self._window(gone, lattice, _MOST[level])
        free = [unit for unit, cells in enumerate(where) if cells <= window]
        stay = frozenset().union(*(where[unit] for unit in range(len(where)) if unit not in free))
        room = frozenset(allowed & window)
        if not free or not room or not stay <= allowed or (room, tuple(free)) in self.hopeless:
            return None
        lies = [Lie(spot.stamp, spot.row, spot.column) for spot in spots]
        count = len(spots)
        return Press(room, level, lies, free, np.ones((count, count)))

    def _window(self, middle: tuple[int, int], lattice: Lattice, most: int) -> Cells:
        """Cells round one, as many as may be worked at together."""
        low, high = list(middle), list(middle)
        size = lattice.rows, lattice.columns
        grown = True
        while grown:
            grown = False
            for axis in (0, 1):
                for side in (-1, 1):
                    end = (low if side < 0 else high)[axis] + side
                    rows, columns = (high[k] - low[k] + 1 + (k == axis) for k in (0, 1))
                    pixels = rows * columns * lattice.nx * lattice.ny
                    if 0 <= end < size[axis] and pixels <= most:
                        (low if side < 0 else high)[axis] = end
                        grown = True
        return frozenset(
            (row, column)
            for row in range(low[0], high[0] + 1)
            for column in range(low[1], high[1] + 1)
        )

    def _weak(self, cells: Sequence[tuple[int, int]], full: Floats) -> tuple[int, int]:
        weights = [(1.02 - float(full[cell])) ** 2 for cell in cells]
        return self.rng.choices(list(cells), weights)[0]

    def _finer(self, press: Press) -> None:
        """Go on with finer pixels."""
        coarse, fine = self.lattices
        up, across = fine.ny // coarse.ny, fine.nx // coarse.nx
        press.lies = [Lie(lie.stamp, lie.row * up, lie.column * across) for lie in press.lies]
        press.level, press.worst, press.rounds = 1, math.inf, 0

    def _round(self, press: Press) -> list[Lie] | None:
        """Move units that are in conflict; where all lie when next to nothing is, told once."""
        lattice, level = self.lattices[press.level], press.level

        def draw(unit: int, number: int) -> Stamp:
            return self.draw(unit, number, level)

        floor = Floor(lattice, press.allowed, press.lies, press.free, draw, self.meter)
        press.rounds += 1
        if not floor.settle_in(self.turns, self.rng):
            press.worst = math.inf
            self.hopeless.add((press.allowed, tuple(press.free)))
            return None
        pixel = lattice.pixel[0] * lattice.pixel[1]
        conflicts = floor.conflicts()
        moves, most = 0, _MOVES[press.rounds > 1] * len(press.free)
        while True:
            total = int(conflicts.sum()) // 2 * pixel
            press.worst = min(press.worst, total)
            if total < press.told and total <= (_SLIGHT if level else 0):
                press.told, press.lies = total, floor.lies
                return list(floor.lies)
            if not total or moves >= most:
                press.lies = floor.lies
                return None
            grown = press.weights * (_GROW + _MORE * conflicts / conflicts.max())
            press.weights = np.clip(
                np.where(conflicts > 0, grown, press.weights * _FADE), *_WEIGHTS
            )
            weights = np.rint(press.weights * PART)
            units = [unit for unit in press.free if conflicts[unit].any()]
            if not units:
                press.worst = math.inf
                return None
            self.rng.shuffle(units)
            for unit in units:
                if conflicts[unit].any():
                    share = self.rng.choice(_SHARES)
                    now = floor.lies[unit].stamp
                    tried = [
                        number
                        for number in range(self.turns[unit])
                        if self.rng.random() < share or number == now
                    ]
                    floor.move(unit, weights[unit], tried, self.rng)
                    floor.count(unit, conflicts)
                    moves += 1


def _hope(press: Press) -> float:
    return press.worst * (1 + _TIRED * press.rounds)


def fullness(stamps: Sequence[Stamp], spots: Sequence[Spot], lattice: Lattice) -> Floats:
    """Share of each cell that is taken."""
    taken: Bits = np.zeros((lattice.height, lattice.width), dtype=bool)
    for stamp, spot in zip(stamps, spots, strict=True):
        rows, columns = stamp.mask.shape
        taken[spot.row : spot.row + rows, spot.column : spot.column + columns] |= stamp.mask
    high, wide = lattice.rows * lattice.ny, lattice.columns * lattice.nx
    inner = taken[lattice.rim : lattice.rim + high, lattice.rim : lattice.rim + wide]
    tiles = inner.reshape(lattice.rows, lattice.ny, lattice.columns, lattice.nx)
    return np.asarray(tiles.sum(axis=(1, 3)) / (lattice.nx * lattice.ny))
