"""All units where they lie, their sheets and what those cost, and whether a move pays."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import shapely

from tiler.layout.ink import Floats
from tiler.layout.packing.burden import (
    Burden,
    sheet_burden,
    total,
    unit_burden,
)
from tiler.layout.packing.exact import TOLERANCE
from tiler.layout.packing.lying import Lying
from tiler.layout.pages import Sheet, sheets_of
from tiler.layout.tiles import Cell

#: So many corners of a unit are looked at first.
_CORNERS = 16


def together(cells: Sequence[frozenset[Cell]]) -> list[tuple[int, ...]]:
    """Numbers of sets of cells in groups that share cells, directly or through others."""
    groups: list[tuple[tuple[int, ...], frozenset[Cell]]] = []
    for number, own in enumerate(cells):
        members: tuple[int, ...] = (number,)
        shared = own
        apart = []
        for group in groups:
            if group[1] & own:
                members, shared = (*group[0], *members), shared | group[1]
            else:
                apart.append(group)
        groups = [*apart, (members, shared)]
    return [members for members, _ in groups]


class Spread:
    """Units on the canvas.

    Args:
        lying: The units.
        pitch: Millimetres from page to page, across and up.
        past: Millimetres that pages show beyond their cells, each side.
        gap: Least free paper between two units of a sheet, millimetres.
    """

    def __init__(
        self,
        lying: Sequence[Lying],
        pitch: tuple[float, float],
        past: tuple[float, float],
        gap: float,
    ) -> None:
        self.lying, self.pitch, self.past = list(lying), pitch, past
        self.least = max(0.0, gap - TOLERANCE / 2)
        #: Steps of about a microsecond that were taken.
        self.steps = 0.0
        self._tree: shapely.STRtree | None = None
        #: How many moves were made.
        self.moves = 0
        self.sheets = self._sheets(range(len(lying)))
        self._count()

    def _sheets(self, units: Sequence[int], to: Mapping[int, Lying] | None = None) -> list[Sheet]:
        """The sheets of some of the units, with their own numbers, some of them moved."""
        lying = [(to or {}).get(k, self.lying[k]) for k in units]
        # Measured: about half a millisecond for each page of a unit.
        self.steps += sum(700.0 * (1 + len(unit.touches(self.pitch))) for unit in lying)
        found = sheets_of([unit.chords for unit in lying], self.pitch, self.past)
        return [Sheet(tuple(units[k] for k in each.members), each.cells) for each in found]

    def _count(self) -> None:
        self.sheet_of = {k: n for n, each in enumerate(self.sheets) for k in each.members}
        self.cells = {
            k: cells
            for each in self.sheets
            for k, cells in zip(each.members, each.cells, strict=True)
        }
        self.burdens = [self._burden(each, {}) for each in self.sheets]
        self.burden = total(self.burdens)
        self.own_burden = {
            k: unit_burden(unit.rails, self.cells[k], self._printed_with(k), self.pitch)
            for k, unit in enumerate(self.lying)
        }

    def _printed_with(self, unit: int) -> frozenset[Cell]:
        return self.sheets[self.sheet_of[unit]].printed

    def _burden(self, sheet: Sheet, to: Mapping[int, Lying]) -> Burden:
        printed = sheet.printed
        own = [
            unit_burden(to.get(k, self.lying[k]).rails, cells, printed, self.pitch)
            for k, cells in zip(sheet.members, sheet.cells, strict=True)
        ]
        return total([sheet_burden(printed, self.pitch), *own])

    def free_places(self, unit: int, lying: Lying, shifts: Floats) -> Floats:
        """The shifts of a unit after which no corner of it is too near to another unit."""
        if self._tree is None:
            self._tree = shapely.STRtree([each.body for each in self.lying])
        corners = shapely.get_coordinates(lying.body)
        corners = corners[:: max(1, len(corners) // _CORNERS)]
        for point in (*lying.body.representative_point().coords, *corners):
            if not len(shifts):
                break
            self.steps += 50.0 + len(shifts)
            places = shapely.points(shifts + np.array(point))
            hit, whom = self._tree.query(places, predicate="dwithin", distance=self.least)
            free = np.ones(len(shifts), dtype=bool)
            free[hit[whom != unit]] = False
            shifts = shifts[free]
        return shifts

    def hit_by(self, unit: Lying, others: Sequence[int]) -> list[int]:
        """Which of the other units a unit would come too near to."""
        if not others:
            return []
        self.steps += 10.0 + 8.0 * len(others)
        bodies = np.array([self.lying[k].body for k in others], dtype=object)
        close = shapely.dwithin(bodies, unit.body, self.least)
        return [k for k, bad in zip(others, close.tolist(), strict=True) if bad]

    def try_move(self, to: Mapping[int, Lying], rigid: bool = False) -> bool:
        """Move units if that is allowed and makes things better in truth; whether it did.

        Args:
            to: Where the units would lie.
            rigid: Whether these keep their places to each other.
        """
        for k, unit in to.items():
            if len(self.cells[k]) == 1 and len(unit.touches(self.pitch)) > max(
                1, len(self.lying[k].touches(self.pitch))
            ):
                return False
        if not self._rough(to).beats(self.burden):
            return False
        reached = frozenset().union(*(unit.touches(self.pitch) for unit in to.values()))
        concerned = {self.sheet_of[k] for k in to}
        concerned |= {n for n, each in enumerate(self.sheets) if each.printed & reached}
        units = sorted(k for n in concerned for k in self.sheets[n].members)
        sheets = self._sheets(units, to)
        others = [each for n, each in enumerate(self.sheets) if n not in concerned]
        taken = frozenset().union(*(each.printed for each in others))
        if any(each.printed & taken for each in sheets):
            return False
        before = total([self.burdens[n] for n in sorted(concerned)])
        after = total([self._burden(each, to) for each in sheets])
        if not after.beats(before) or not self._groups_hold(sheets, to):
            return False
        if not all(self._apart(each, to, rigid) for each in sheets):
            return False
        for k, unit in to.items():
            self.lying[k] = unit
        self.moves += 1
        self._tree = None
        self.sheets = sorted([*others, *sheets], key=lambda each: each.members)
        self._count()
        return True

    def _rough(self, to: Mapping[int, Lying]) -> Burden:
        """About what all sheets would cost: a quick count before the true one."""
        self.steps += 200.0 * len(to) + 60.0 * len(self.lying)
        still = np.zeros((1, 2))
        need, touch = dict(self.cells), dict(self.cells)
        for k, unit in to.items():
            ((need[k], touch[k]),) = unit.rough_cells(still, self.pitch, self.past)
        burdens = []
        for members in together([need[k] for k in range(len(self.lying))]):
            printed = frozenset().union(*(need[k] for k in members))
            burdens.append(sheet_burden(printed, self.pitch))
            for k in members:
                own = need[k] | (touch[k] & printed)
                rails = to.get(k, self.lying[k]).rails
                burdens.append(unit_burden(rails, own, printed, self.pitch))
        return total(burdens)

    def _apart(self, sheet: Sheet, to: Mapping[int, Lying], rigid: bool) -> bool:
        """Whether no pair of a sheet that was not there before is too near."""
        for number, k in enumerate(sheet.members):
            for other in sheet.members[:number]:
                known = self.sheet_of[k] == self.sheet_of[other]
                if known and (k in to) == (other in to) and (k not in to or rigid):
                    continue
                one, two = (to.get(n, self.lying[n]).body for n in (k, other))
                self.steps += 10.0
                if shapely.dwithin(one, two, self.least):
                    return False
        return True

    def _groups_hold(self, sheets: Sequence[Sheet], to: Mapping[int, Lying]) -> bool:
        """Whether units that are kept together still share pages, if any of them moves."""
        moved = {unit.shape.group for unit in to.values()} - {-1}
        if not moved:
            return True
        cells = {
            k: own & to.get(k, self.lying[k]).touches(self.pitch)
            for each in sheets
            for k, own in zip(each.members, each.cells, strict=True)
        }
        for group in moved:
            members = [k for k, unit in enumerate(self.lying) if unit.shape.group == group]
            if not all(k in cells for k in members):
                return False
            reached, left = set(cells[members[0]]), members[1:]
            while left:
                near = [k for k in left if cells[k] & reached]
                if not near:
                    return False
                reached = reached.union(*(cells[k] for k in near))
                left = [k for k in left if k not in near]
        return True
