"""Pages of one piece hang together edge to edge; blank ones are added where they would not."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable

from tiler.layout.tiles import Cell


def linked(cells: Iterable[Cell], free: Iterable[Cell] = ()) -> frozenset[Cell]:
    """The cells, with the fewest further ones that make all of them hang together.

    A mark in the middle of a large piece may stand on a page that touches none of the pages round
    it: taped to nothing, nobody could tell where it belongs.

    Args:
        cells: What has ink of the piece.
        free: Pages that are printed anyway, which cost nothing to go over.
    """
    joined = set(cells)
    anyway = set(free)
    while True:
        parts = groups_of(joined)
        if len(parts) < 2:
            return frozenset(joined)
        joined |= _way(parts[0], joined - parts[0], anyway)


def groups_of(cells: Iterable[Cell]) -> list[frozenset[Cell]]:
    """The cells in groups that hang together, the first cell's group first."""
    left = dict.fromkeys(sorted(cells, key=lambda cell: (cell.row, cell.column)))
    found = []
    while left:
        first = next(iter(left))
        del left[first]
        group, waiting = {first}, deque([first])
        while waiting:
            for cell in beside(waiting.popleft()):
                if cell in left:
                    del left[cell]
                    group.add(cell)
                    waiting.append(cell)
        found.append(frozenset(group))
    return found


def beside(cell: Cell) -> tuple[Cell, Cell, Cell, Cell]:
    """The four neighbours of a cell."""
    row, column = cell.row, cell.column
    return (
        Cell(row, column + 1),
        Cell(row + 1, column),
        Cell(row, column - 1),
        Cell(row - 1, column),
    )


def joints_of(cells: Iterable[Cell]) -> tuple[int, int]:
    """Pairs of cells side by side, and pairs one above the other."""
    there = {(cell.row, cell.column) for cell in cells}
    return (
        sum((row, column + 1) in there for row, column in there),
        sum((row + 1, column) in there for row, column in there),
    )


def _way(start: frozenset[Cell], goals: set[Cell], free: set[Cell]) -> set[Cell]:
    """The cells between a group and the nearest other one; free cells cost nothing."""
    came: dict[Cell, Cell | None] = dict.fromkeys(
        sorted(start, key=lambda cell: (cell.row, cell.column))
    )
    waiting = deque(came)
    # Steps on to free cells cost nothing: they go to the front of the queue.
    while waiting:
        here = waiting.popleft()
        if here in goals:
            way: set[Cell] = set()
            step = came[here]
            while step is not None and step not in start:
                way.add(step)
                step = came[step]
            return way
        for cell in beside(here):
            if cell not in came:
                came[cell] = here
                if cell in free or cell in goals:
                    waiting.appendleft(cell)
                else:
                    waiting.append(cell)
    raise AssertionError("cells of one grid can always be linked")
