"""Which pages lie side by side on one sheet, told by where the record says that they lie."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from tiler.proof.geometry import Bools, Floats, Ints
from tiler.proof.record import Record
from tiler.proof.verdict import Fault

#: Origins that are meant to be equal, or one pitch apart, differ by rounding alone, mm.
_EXACT = 1e-6

Pair = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Neighbours:
    """Pages of the record that are one pitch apart in one direction and level in the other.

    Args:
        pairs: Indices of pages, the smaller one first, in order.
    """

    pairs: tuple[Pair, ...]

    def groups(self, tied: Iterable[Pair], present: Sequence[bool]) -> Ints:
        """For each page, the smallest index of the pages that it hangs together with.

        Args:
            tied: Pages that share a cross, once for each cross; two crosses tie.
            present: For each page, whether the file has it. One that is missing is a fault of its
                own, and taken to hang together with its neighbours.
        """
        crosses = Counter(tied)
        held = [
            pair
            for pair in self.pairs
            if crosses[pair] >= 2 or not (present[pair[0]] and present[pair[1]])
        ]
        ends = np.array(held, dtype=np.int64).reshape(-1, 2)
        return grouped(len(present), ends[:, 0], ends[:, 1])


def find_neighbours(record: Record) -> tuple[Neighbours, list[Fault]]:
    """The neighbours, and pages that lie where no page of a sheet could.

    Two pages whose windows lie over each other are neighbours, or meet at a corner of a sheet;
    anything else would print the same part of the sheet on pages that cannot be taped together.
    """
    origins = np.array([page.origin for page in record.pages], dtype=float)
    window, pitch = record.window, np.array(record.pitch)
    size = np.array([window.width, window.height])
    pairs: list[Pair] = []
    faults: list[Fault] = []
    for here in range(len(origins) - 1):
        apart = origins[here + 1 :] - origins[here]
        level, along = _near(apart, 0.0), _near(np.abs(apart), pitch)
        beside = (level[:, 0] & along[:, 1]) | (level[:, 1] & along[:, 0])
        over = np.all(np.abs(apart) < size - _EXACT, axis=1) & ~beside & ~np.all(along, axis=1)
        for there in (here + 1 + np.flatnonzero(beside)).tolist():
            pairs.append((here, there))
            if not _agrees(record, here, there):
                text = "they lie side by side, but not by their rows and columns"
                faults.append(Fault("joint", _names(record, here, there), text))
        if over.any():
            there = here + 1 + int(np.argmax(over))
            text = "their windows lie over each other, and they are no neighbours"
            faults.append(Fault("overlap", _names(record, here, there), text))
    return Neighbours(tuple(pairs)), faults


def grouped(count: int, first: Ints, second: Ints) -> Ints:
    """The smallest index of a page that each page is joined to, by way of others.

    Args:
        count: How many pages there are.
        first: One page of each joined pair.
        second: The other.
    """
    group = np.arange(count)
    while True:
        low = np.minimum(group[first], group[second])
        after = group.copy()
        np.minimum.at(after, first, low)
        np.minimum.at(after, second, low)
        after = np.minimum(after, after[after])
        if np.array_equal(after, group):
            return after
        group = after


def _near(lengths: Floats, wanted: Floats | float) -> Bools:
    near: Bools = np.abs(lengths - wanted) <= _EXACT
    return near


def _agrees(record: Record, here: int, there: int) -> bool:
    one, other = record.pages[here], record.pages[there]
    across = round((other.origin.x - one.origin.x) / record.pitch.x)
    down = -round((other.origin.y - one.origin.y) / record.pitch.y)
    return (other.column - one.column, other.row - one.row) == (across, down)


def _names(record: Record, here: int, there: int) -> str:
    return f"{record.pages[here].name} and {record.pages[there].name}"
