"""How much work it is to tape the sheets, and to cut them where lines run along joints."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from tiler.layout.bridges import joints_of
from tiler.layout.ink import NEAR_JOINT, Floats
from tiler.layout.settle import TABLE
from tiler.layout.tiles import Cell

#: What a joint to tape weighs against millimetres of line along joints.
JOINT = 40.0
#: What it weighs that a unit goes over a joint, against millimetres of line along joints.
CROSSING = 5.0
#: Less line than this along one joint is no trouble, millimetres.
_LEAST = 4.0
#: Sine of 10 degrees: up to this slope against a joint a line runs along it.
_SLOPE = 0.17
#: How much less a line at the far end of what is near counts than one on the joint itself.
_FADE = 0.5
#: Lines are looked at in runs no longer than this, millimetres.
_RUN = 5.0


@dataclass(frozen=True, order=True)
class Burden:
    """What sheets cost, in the order of weight.

    Args:
        pages: Pages to print.
        long: Sheets that are too long for a table.
        work: Millimetres of line along joints, with joints and crossings at `JOINT` and `CROSSING`.
        tape: Millimetres to tape.
    """

    pages: int = 0
    long: int = 0
    work: float = 0.0
    tape: float = 0.0

    def __add__(self, other: Burden) -> Burden:
        return Burden(
            self.pages + other.pages,
            self.long + other.long,
            round(self.work + other.work, 3),
            round(self.tape + other.tape, 3),
        )

    def beats(self, other: Burden) -> bool:
        """Whether it is less by more than rounding can make it."""
        if (self.pages, self.long) != (other.pages, other.long):
            return (self.pages, self.long) < (other.pages, other.long)
        if abs(self.work - other.work) > 1.0:
            return self.work < other.work
        return self.work <= other.work and self.tape < other.tape - 1.0


@dataclass(frozen=True)
class Rails:
    """The parts of a unit's lines that run up (axis 0) or across (axis 1), as short runs.

    Args:
        runs: For each axis the middles of the runs, as distance across the axis and along it, and
            their lengths; shape (n, 3), millimetres.
    """

    runs: tuple[Floats, Floats]

    def along(
        self,
        pitch: tuple[float, float],
        printed: frozenset[Cell],
        shift: tuple[float, float] = (0.0, 0.0),
    ) -> float:
        """Millimetres within 4 mm of a joint between two printed pages, once shifted.

        A line on the joint itself counts in full, one 4 mm from it by half.

        Args:
            pitch: Millimetres from page to page, across and up.
            printed: The pages of the unit's sheet.
            shift: Millimetres by which the unit is shifted.
        """
        total = 0.0
        for axis, runs in enumerate(self.runs):
            level = runs[:, 0] + shift[axis]
            joint = np.round(level / pitch[axis])
            off = np.abs(level - joint * pitch[axis])
            near = np.flatnonzero(off < NEAR_JOINT)
            if not len(near):
                continue
            beside = np.floor((runs[near, 1] + shift[1 - axis]) / pitch[1 - axis])
            sums: dict[tuple[int, int], float] = {}
            lines = joint[near].astype(int).tolist(), beside.astype(int).tolist()
            weight = runs[near, 2] * (1 - _FADE * off[near] / NEAR_JOINT)
            for line, other, length in zip(*lines, weight.tolist(), strict=True):
                sums[line, other] = sums.get((line, other), 0.0) + length
            for (line, other), length in sums.items():
                if axis == 0:
                    sides = Cell(-1 - other, line - 1), Cell(-1 - other, line)
                else:
                    sides = Cell(-line, other), Cell(-1 - line, other)
                if length >= _LEAST and sides[0] in printed and sides[1] in printed:
                    total += length
        return total


def rails_of(chords: Floats) -> Rails:
    """The runs of what is drawn that may come to lie along joints."""
    run = chords[:, 1] - chords[:, 0]
    length = np.hypot(run[:, 0], run[:, 1])
    found = []
    for axis in (0, 1):
        which = np.flatnonzero((np.abs(run[:, axis]) <= _SLOPE * length) & (length > 0))
        steps = np.ceil(length[which] / _RUN).astype(int)
        index = np.repeat(which, steps)
        rank = np.arange(len(index)) - np.repeat(np.cumsum(steps) - steps, steps)
        count = np.repeat(steps, steps)
        middle = chords[index, 0] + run[index] * ((rank + 0.5) / np.maximum(count, 1))[:, None]
        found.append(np.column_stack([middle[:, axis], middle[:, 1 - axis], length[index] / count]))
    return Rails((found[0], found[1]))


def sheet_burden(cells: Iterable[Cell], pitch: tuple[float, float]) -> Burden:
    """What the pages of one sheet cost, without lines along joints and crossings."""
    there = frozenset(cells)
    if not there:
        return Burden()
    across, up = joints_of(there)
    wide = max(c.column for c in there) - min(c.column for c in there) + 1
    high = max(c.row for c in there) - min(c.row for c in there) + 1
    long = max(wide * pitch[0], high * pitch[1]) > TABLE
    tape = across * pitch[1] + up * pitch[0]
    return Burden(len(there), int(long), JOINT * (across + up), tape)


def unit_burden(
    rails: Rails,
    own: frozenset[Cell],
    printed: frozenset[Cell],
    pitch: tuple[float, float],
) -> Burden:
    """What one unit adds to its sheet: lines along joints, and joints it goes over."""
    return Burden(work=rails.along(pitch, printed) + crossing_work(own))


def crossing_work(own: frozenset[Cell]) -> float:
    """What it weighs that a unit on such pages goes over the joints between them."""
    return CROSSING * sum(joints_of(own))


def total(burdens: Sequence[Burden]) -> Burden:
    """All of them together."""
    return sum(burdens, Burden())
