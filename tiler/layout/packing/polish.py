"""The last step of the packing: units off the joints, and as little to tape as can be.

A line that lies on a trim line is cut away with it, and one beside it is taken for it. A unit that
lies a few millimetres over a joint makes a sheet hang together that need not.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from tiler.layout.packing.burden import crossing_work
from tiler.layout.packing.guess import Guess, guesses, sheet_shifts
from tiler.layout.packing.lying import Lying
from tiler.layout.packing.moves import (
    places_of,
    shifts_of,
    small_turns,
    upright_turns,
)
from tiler.layout.packing.options import Packing
from tiler.layout.packing.shape import Shape
from tiler.layout.packing.spread import Spread
from tiler.pattern.affine import Affine

#: Steps (of about a microsecond) in all, and further ones for each unit.
_BUDGET = {"quick": (0.45e6, 0.0), "normal": (0.8e6, 0.11e6), "long": (2.0e6, 0.3e6)}
#: How finely the rounds through all units go, from 0 to 2.
_ROUNDS = {"quick": (1,), "normal": (1, 1, 2, 2, 2), "long": (1, 1, 2, 2, 2, 2, 2, 2)}
#: How many of the best guesses for one unit are looked at closely, in coarse and fine rounds.
_CLOSE = (12, 12, 60)
#: How many of the best guesses for a whole sheet are.
_SHEETS = 4
#: How many units may be pushed along with one.
_TRAIN = 3


def polished(
    shapes: Sequence[Shape],
    at: Sequence[Affine],
    pitch: tuple[float, float],
    past: tuple[float, float],
    packing: Packing,
) -> tuple[Affine, ...]:
    """The units, moved a little or laid elsewhere where that makes less work.

    In order of weight: pages, sheets too long for a table, lines along joints together with joints
    and crossings of units with joints (see `Burden`), tape. Where nothing is gained, nothing moves.
    Units on one page stay on one, groups stay together, distances of a sheet are kept.

    Args:
        shapes: The units.
        at: Unit -> canvas, millimetres.
        pitch: Millimetres from page to page, across and up.
        past: Millimetres that the outermost pages of a sheet show beyond their cells, each side.
        packing: What is asked: effort, gap, and whether units may turn.
    """
    start = [Lying(shape, place) for shape, place in zip(shapes, at, strict=True)]
    spread = Spread(start, pitch, past, packing.gap)
    before = spread.burden
    polish = _Polish(spread, packing)
    stuck = -1
    for fine in _ROUNDS[packing.effort]:
        if fine != stuck and not polish.round(fine):
            stuck = fine
    found = tuple(unit.at for unit in spread.lying)
    # The moves were weighed by the sheets that they concern: this counts all anew.
    after = Spread(spread.lying, pitch, past, packing.gap).burden
    return found if after.beats(before) else tuple(at)


class _Polish:
    """Tries moves until its steps are used up."""

    def __init__(self, spread: Spread, packing: Packing) -> None:
        self.spread, self.turn = spread, packing.turn
        self.fine, self.close = 0, 0
        #: Which tries failed, and how many moves had been made then: they would fail again.
        self.failed: dict[tuple[str, int, int], int] = {}
        base, each = _BUDGET[packing.effort]
        self.budget = base + each * len(spread.lying)

    def round(self, fine: int) -> bool:
        """Go through all sheets and all units once; whether anything moved.

        Args:
            fine: From 0 for few shifts to 2 for many.
        """
        self.fine, self.close = fine, _CLOSE[fine]
        before = self.spread.moves
        # What is cheap to try and gains most comes first.
        for way, depth in (
            (self._lay, 0),
            (self._nudge, fine),
            (self._sheet, fine),
            (self._turn, 0),
        ):
            for unit in self._leaders() if way == self._sheet else self._heaviest_first():
                self._while_better(way, unit, depth)
        return self.spread.moves > before

    def _over(self) -> bool:
        return self.spread.steps > self.budget

    def _leaders(self) -> list[int]:
        return [sheet.members[0] for sheet in self.spread.sheets if len(sheet.printed) > 1]

    def _heaviest_first(self) -> list[int]:
        work = {k: burden.work for k, burden in self.spread.own_burden.items()}
        return sorted((k for k in work if work[k] > 0), key=lambda k: (-work[k], k))

    def _while_better(self, way: Callable[[int], bool], unit: int, fine: int) -> None:
        key = way.__name__, unit, fine
        while not self._over() and self.failed.get(key) != self.spread.moves:
            if not way(unit) and not self._over():
                self.failed[key] = self.spread.moves

    def _sheet(self, leader: int) -> bool:
        """Shift a whole sheet against the joints."""
        spread = self.spread
        number = spread.sheet_of[leader]
        members = spread.sheets[number].members
        lying = [spread.lying[k] for k in members]
        shifts = shifts_of(lying, spread.pitch, spread.past, fine=0)
        for x, y in sheet_shifts(spread, number, shifts[: 2 * self.close])[:_SHEETS]:
            to = {k: unit.shifted(x, y) for k, unit in zip(members, lying, strict=True)}
            if spread.try_move(to, rigid=True):
                return True
        return False

    def _nudge(self, unit: int) -> bool:
        """Shift a unit, and those that are in its way with it."""
        lying = self.spread.lying[unit]
        shifts = shifts_of([lying], self.spread.pitch, self.spread.past, self.fine)
        return self._best(unit, lying, guesses(self.spread, unit, lying, shifts), push=True)

    def _turn(self, unit: int) -> bool:
        """Turn a unit by a few degrees."""
        heavy = self.spread.own_burden[unit].work - crossing_work(self.spread.cells[unit]) > 1
        if not self.turn or not heavy:
            return False
        for lying in small_turns(self.spread.lying[unit]):
            shifts = shifts_of([lying], self.spread.pitch, self.spread.past, fine=0)
            shifts = np.concatenate([np.zeros((1, 2)), shifts])
            best = guesses(self.spread, unit, lying, shifts)
            if self._over():
                return False
            if self._best(unit, lying, best[: max(4, self.close // 6)]):
                return True
        return False

    def _lay(self, unit: int) -> bool:
        """Lay a unit that fits a page on a page that is printed anyway."""
        spread = self.spread
        pages = frozenset().union(*(sheet.printed for sheet in spread.sheets))
        found: list[tuple[Guess, int, Lying]] = []
        for number, lying in enumerate(upright_turns(spread.lying[unit], self.turn)):
            shifts = places_of(lying, pages, spread.pitch, spread.past)
            shifts = spread.free_places(unit, lying, shifts)
            best = guesses(spread, unit, lying, shifts)[: 10 * self.close]
            found += [(guess, number, lying) for guess in best]
        found.sort(key=lambda entry: (entry[0].burden, entry[1], entry[0].far, entry[0].shift))
        tried = 0
        for guess, _, lying in found:
            to = lying.shifted(*guess.shift)
            if spread.hit_by(to, [k for k in guess.near if k != unit]):
                continue
            tried += 1
            if spread.try_move({unit: to}):
                return True
            if self._over() or tried >= max(4, self.close // 6):
                return False
        return False

    def _best(self, unit: int, lying: Lying, best: list[Guess], push: bool = False) -> bool:
        """Take the first guess that holds."""
        for guess in best[: self.close]:
            if self._over():
                return False
            to = {unit: lying.shifted(*guess.shift)}
            hit = self._train(to, guess, unit, push)
            if hit and self.spread.try_move(to, rigid=True):
                return True
        return False

    def _train(self, to: dict[int, Lying], guess: Guess, unit: int, push: bool) -> bool:
        """Add the units that have to go along; False when they would be too many."""
        waiting = [unit]
        while waiting:
            k = waiting.pop()
            for other in self.spread.hit_by(to[k], [n for n in guess.near if n not in to]):
                if not push or len(to) > _TRAIN:
                    return False
                to[other] = self.spread.lying[other].shifted(*guess.shift)
                waiting.append(other)
        return True
