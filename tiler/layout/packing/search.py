"""Ruin and recreate: take a few units up, lay them down better, keep what is no worse."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from tiler.layout.packing.insert import Meter, best_spot
from tiler.layout.packing.lattice import Lattice
from tiler.layout.packing.room import Room, Spot, cells_of
from tiler.layout.packing.shape import Shape
from tiler.layout.packing.slide import slid
from tiler.layout.packing.squeeze import Squeeze
from tiler.layout.packing.stamp import Stamp

#: What a cell costs that is to be emptied, in cells.
_SHUNNED = 30.0
#: How much a cell that is full all over is worth against one that is nearly empty, in cells.
_FULLNESS = 0.6
#: What a joint between two pages costs, in cells.
_JOINT = 0.01
#: Shares of its turns in which a unit that is laid down again is tried.
_SHARES = (0.1, 0.25, 0.6)
#: But in as many of them at least.
_LEAST_TRIED = 3
#: Share of the budget for arrangements from nothing.
_STARTS = 0.12
#: Share of the changes in which all units are shifted together.
_SLIDES = 0.1
#: How often the search goes back to the best arrangement.
_HOME = 0.004
#: Share of the budget for pressing units on to fewer pages, and share of the annealing after which
#: that begins; the two then take turns.
_PRESSING, _PRESSED = 0.3, 0.5
#: Steps that drawing a unit with finer pixels takes.
_DRAWING = 6_000
#: Temperature at the start and at the end, in cells.
_HOT, _COLD = 0.35, 0.03

Report = Callable[["Layout | None", float], bool]


@dataclass
class Layout:
    """An arrangement in pixels.

    Args:
        spots: One for each unit.
        pages: Cells with ink.
        score: Pages, and the room that is wasted on them; less is better.
        level: 0 where it is on the search's lattice, 1 on the finer one.
    """

    spots: list[Spot]
    pages: int
    score: float
    level: int = 0


@dataclass
class Search:
    """A search over arrangements.

    Args:
        shapes: The units.
        lattice: The canvas.
        stamps: Each unit in its turns.
        seed: Of the random choices.
        budget: Steps that may be taken; see `Meter`.
        report: Called with each arrangement that is better than all before, and often with None,
            and the share of the budget that is used; tells whether the arrangement holds.
        holding: Steps that it takes to hold an arrangement against millimetres.
        finer: The same canvas with finer pixels, and what draws a unit (first) in one of its turns
            (second) on it; None where units are not to be pressed on to fewer pages.
    """

    shapes: Sequence[Shape]
    lattice: Lattice
    stamps: list[list[Stamp]]
    seed: int
    budget: float
    report: Report
    holding: float
    finer: tuple[Lattice, Callable[[int, int], Stamp]] | None = None
    meter: Meter = field(default_factory=Meter)

    def __post_init__(self) -> None:
        self.rng = random.Random(self.seed)
        #: Steps for annealing in all, and steps that pressing has taken.
        self.annealing, self.pressing = self.budget, 0.0
        self.areas = [float(stamps[0].mask.sum()) for stamps in self.stamps]
        self.mates: list[list[int]] = [
            [
                other.index
                for other in self.shapes
                if shape.group >= 0 and other.group == shape.group
            ]
            or [shape.index]
            for shape in self.shapes
        ]

    def run(self, least: int) -> Layout | None:
        """The best arrangement found; None where not one unit order found room.

        Args:
            least: Pages below which no arrangement can come: the search ends when it is reached.
        """
        best: Layout | None = None
        room: Room | None = None
        while best is None or self.meter.steps < self.budget * _STARTS:
            if best is None and self.meter.steps > self.budget:
                return None
            fresh = Room(self.lattice)
            spots: list[Spot | None] = [None] * len(self.shapes)
            noise, share = (0.0, 1.0) if self.meter.steps == 0 else (0.4, 0.5)
            order = self._order(range(len(self.shapes)), noise)
            self.meter.steps += 300
            if self._fill(fresh, spots, order, None, share):
                layout = self._layout(fresh, spots)
                if (best is None or layout.score < best.score) and self._holds(layout):
                    best, room = layout, fresh
            if best and (best.pages <= least or len(self.shapes) == 1):
                return best
        assert room is not None
        now, best_room = best, room
        squeeze = self._squeeze()
        self.annealing = self.budget * (1 - _PRESSING if squeeze else 1.0)
        while self.meter.steps < self.budget and best.pages > least:
            self.report(None, min(1.0, self.meter.steps / self.budget))
            if squeeze and (best.level or self._presses()):
                before = self.meter.steps
                pressed = self._pressed(squeeze, now if now.pages == best.pages else best)
                self.pressing += self.meter.steps - before
                if pressed:
                    best = pressed
                    squeeze.forget()
                    if not best.level:
                        now = best
                        room = best_room = self._room(best)
                continue
            trial = self._changed(now, room)
            self.meter.steps += 300
            if trial is None:
                continue
            layout, changed = trial
            if layout.score < now.score + self._warmth():
                now, room = layout, changed
                if now.score < best.score - 1e-9 and self._holds(now):
                    best, best_room = now, room
            if self.rng.random() < _HOME:
                now, room = best, best_room
        return best

    def _squeeze(self) -> Squeeze | None:
        # Nothing there keeps mates together.
        if self.finer is None or any(len(mates) > 1 for mates in self.mates):
            return None
        lattice, drawn = self.finer
        known: set[tuple[int, int]] = set()

        def draw(unit: int, number: int, level: int) -> Stamp:
            if not level:
                return self.stamps[unit][number]
            if (unit, number) not in known:
                known.add((unit, number))
                self.meter.steps += _DRAWING
            return drawn(unit, number)

        turns = [len(stamps) for stamps in self.stamps]
        return Squeeze((self.lattice, lattice), turns, draw, self.rng, self.meter)

    def _pressed(self, squeeze: Squeeze, start: Layout) -> Layout | None:
        """An arrangement of fewer pages, where the squeeze comes upon one."""
        found = squeeze.work(start.level, start.spots)
        if found is None:
            return None
        level, spots = found
        layout = Layout(spots, start.pages - 1, start.pages - 1.0, level)
        if not level:
            layout = self._layout(self._room(layout), list(spots))
        return layout if self._holds(layout) else None

    def _room(self, layout: Layout) -> Room:
        room = Room(self.lattice)
        for unit, spot in enumerate(layout.spots):
            room.add(self.stamps[unit][spot.stamp], spot.row, spot.column)
        return room

    def stamp_at(self, layout: Layout, unit: int) -> Stamp:
        """The stamp of a unit in an arrangement."""
        number = layout.spots[unit].stamp
        if layout.level and self.finer:
            return self.finer[1](unit, number)
        return self.stamps[unit][number]

    def _holds(self, layout: Layout) -> bool:
        """Whether an arrangement is one in millimetres, too."""
        self.meter.steps += self.holding
        return self.report(layout, min(1.0, self.meter.steps / self.budget))

    def _annealed(self) -> float:
        """Share of the annealing that is done."""
        return min(1.0, (self.meter.steps - self.pressing) / self.annealing)

    def _presses(self) -> bool:
        """Whether it is time to try for one page fewer."""
        due = max(0.0, self._annealed() - _PRESSED) / (1 - _PRESSED)
        return self.pressing < due * _PRESSING * self.budget

    def _warmth(self) -> float:
        done = self._annealed()
        heat: float = _HOT * (_COLD / _HOT) ** done
        return -heat * math.log(max(1e-12, self.rng.random()))

    def _order(self, units: Sequence[int] | range, noise: float) -> list[int]:
        """Large units first, more or less; mates one after the other."""
        keys = {unit: self.areas[unit] * math.exp(self.rng.gauss(0, 1) * noise) for unit in units}
        done: list[int] = []
        for unit in sorted(keys, key=lambda unit: (-keys[unit], unit)):
            if unit not in done:
                mates = [mate for mate in self.mates[unit] if mate in keys]
                done += sorted(mates, key=lambda mate: (-keys[mate], mate))
        return done

    def _fill(
        self,
        room: Room,
        spots: list[Spot | None],
        order: Sequence[int],
        shunned: npt.NDArray[np.bool_] | None,
        share: float,
    ) -> bool:
        """Lay units down one after the other; False where one finds no room."""
        for unit in order:
            price = (room.inked == 0).astype(np.float32)
            if shunned is not None:
                price[shunned] = _SHUNNED
            near = self._near(unit, spots)
            stamps = self.stamps[unit]
            tried = [k for k in range(len(stamps)) if self.rng.random() < share]
            if len(tried) < _LEAST_TRIED:
                tried = self.rng.sample(range(len(stamps)), min(_LEAST_TRIED, len(stamps)))
            spot = best_spot(room, stamps, tried, price, near, self.rng, self.meter)
            if spot is None and len(tried) < len(stamps):
                every = range(len(stamps))
                spot = best_spot(room, stamps, every, price, near, self.rng, self.meter)
            if spot is None:
                return False
            spots[unit] = spot
            room.add(stamps[spot.stamp], spot.row, spot.column)
            self.meter.steps += 250 + room.taken.size / 200
        return True

    def _near(self, unit: int, spots: list[Spot | None]) -> npt.NDArray[np.bool_] | None:
        """The cells of mates that lie already."""
        near = None
        for mate in self.mates[unit]:
            spot = spots[mate]
            if mate != unit and spot is not None:
                if near is None:
                    near = np.zeros((self.lattice.rows, self.lattice.columns), dtype=bool)
                stamp = self.stamps[mate][spot.stamp]
                for cell in cells_of(stamp, spot.row, spot.column, self.lattice):
                    near[cell] = True
        return near

    def _changed(self, now: Layout, room: Room) -> tuple[Layout, Room] | None:
        """A few units taken up and laid down again, or all shifted against the joints."""
        # A shift may part mates that share a page.
        if self.rng.random() < _SLIDES and all(len(mates) == 1 for mates in self.mates):
            stamps = [self.stamps[u][spot.stamp] for u, spot in enumerate(now.spots)]
            shifted = slid(stamps, now.spots, self.lattice, self.rng)
            self.meter.steps += 1000 + 400 * len(stamps)
            if shifted is None:
                return None
            return self._layout(shifted[0], list(shifted[1])), shifted[0]
        where = [
            set(cells_of(self.stamps[unit][spot.stamp], spot.row, spot.column, self.lattice))
            for unit, spot in enumerate(now.spots)
        ]
        shunned: npt.NDArray[np.bool_] | None = None
        way = self.rng.random()
        if way < 0.6:
            cell = self._weak_cell(room)
            chosen = [unit for unit, cells in enumerate(where) if cell in cells]
            self.rng.shuffle(chosen)
            if self.rng.random() < 0.7:
                shunned = np.zeros_like(room.inked, dtype=bool)
                shunned[cell] = True
            else:
                chosen = chosen[: self.rng.randint(1, 3)]
            if self.rng.random() < 0.4:
                chosen.append(self.rng.randrange(len(where)))
        elif way < 0.9:
            seed = self.rng.randrange(len(where))
            beside = [u for u, cells in enumerate(where) if u != seed and cells & where[seed]]
            self.rng.shuffle(beside)
            chosen = [seed, *beside[: self.rng.randint(1, 3)]]
        else:
            count = min(len(where), self.rng.randint(1, 4))
            chosen = self.rng.sample(range(len(where)), count)
        taken = sorted({mate for unit in chosen for mate in self.mates[unit]})
        spots: list[Spot | None] = list(now.spots)
        changed = room.copy()
        for unit in taken:
            spot = now.spots[unit]
            changed.remove(self.stamps[unit][spot.stamp], spot.row, spot.column)
            spots[unit] = None
        order = self._order(taken, self.rng.choice((0.0, 0.5, 2.0)))
        if not self._fill(changed, spots, order, shunned, self.rng.choice(_SHARES)):
            return None
        return self._layout(changed, spots), changed

    def _weak_cell(self, room: Room) -> tuple[int, int]:
        """A cell with ink, the emptier the likelier."""
        full = self._fullness(room) / (self.lattice.nx * self.lattice.ny)
        rows, columns = np.nonzero(room.inked > 0)
        weights = [(1.02 - float(full[r, c])) ** 3 for r, c in zip(rows, columns, strict=True)]
        number = self.rng.choices(range(len(rows)), weights)[0]
        return int(rows[number]), int(columns[number])

    def _fullness(self, room: Room) -> npt.NDArray[np.int64]:
        """Pixels of each cell that are taken."""
        lattice = self.lattice
        high, wide = lattice.rows * lattice.ny, lattice.columns * lattice.nx
        inner = room.taken[lattice.rim : lattice.rim + high, lattice.rim : lattice.rim + wide]
        tiles = inner.reshape(lattice.rows, lattice.ny, lattice.columns, lattice.nx)
        return np.asarray(tiles.sum(axis=(1, 3), dtype=np.int64))

    def _layout(self, room: Room, spots: list[Spot | None]) -> Layout:
        inked = room.inked > 0
        pages = int(inked.sum())
        joints = int((inked[1:] & inked[:-1]).sum() + (inked[:, 1:] & inked[:, :-1]).sum())
        # Whole numbers up to the last step: the same on every machine.
        squares = int((self._fullness(room)[inked] ** 2).sum())
        whole = (self.lattice.nx * self.lattice.ny) ** 2
        score = pages - _FULLNESS * (squares / whole) + _JOINT * joints
        return Layout([spot for spot in spots if spot is not None], pages, score)
