"""Which pages units need on an endless grid, and which units are one sheet.

Joints are at whole multiples of the pitch, y up; rows count downwards from -1 above the origin.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from tiler.layout.bridges import linked
from tiler.layout.ink import Floats, clipped, meets
from tiler.layout.tiles import Cell

Corners = tuple[float, float, float, float]


@dataclass(frozen=True)
class Sheet:
    """Units that share pages, directly or through others.

    Args:
        members: Their numbers, in order.
        cells: The pages of each, those included that only make them hang together.
    """

    members: tuple[int, ...]
    cells: tuple[frozenset[Cell], ...]

    @property
    def printed(self) -> frozenset[Cell]:
        """All of its pages."""
        return frozenset().union(*self.cells)


def sheets_of(
    lying: Sequence[Floats], pitch: tuple[float, float], past: tuple[float, float]
) -> list[Sheet]:
    """The sheets that units make, in the order of their first units.

    A page shows a little more than its own cell. What only overhangs by that much needs no page
    of its own, where a page that shows it is printed anyway for the same sheet.

    Args:
        lying: What is drawn for each unit, where it lies.
        pitch: Millimetres from page to page, across and down.
        past: Millimetres that a page shows beyond its cell on each side, across and down.
    """
    found = [_deep(lines, pitch, past) for lines in lying]
    groups: list[tuple[int, ...]] = []
    while True:
        for number, own in enumerate(found):
            found[number] = own or _first(lying[number], pitch)
        joined = _together(found)
        if joined == groups:
            return [Sheet(members, tuple(found[k] for k in members)) for members in groups]
        groups = joined
        for members in groups:
            printed = set().union(*(found[k] for k in members))
            for k in members:
                shown = _shown(lying[k], found[k], printed, pitch, past)
                found[k] = linked(shown, printed)
                printed |= found[k]


def _deep(lines: Floats, pitch: tuple[float, float], past: tuple[float, float]) -> frozenset[Cell]:
    """The cells that lines enter by more than pages show beyond their own cells."""
    across, down = past[0] + 1e-6, past[1] + 1e-6
    return frozenset(
        cell
        for cell, (left, bottom, right, top), inside in _cells(lines, pitch)
        if meets(clipped(inside, 0, left + across, right - across), 1, bottom + down, top - down)
    )


def _first(lines: Floats, pitch: tuple[float, float]) -> frozenset[Cell]:
    """The cell of some point of lines that lie along joints and nowhere else."""
    x, y = lines.reshape(-1, 2).mean(axis=0)
    return frozenset({Cell(-1 - math.floor(y / pitch[1]), math.floor(x / pitch[0]))})


def _shown(
    lines: Floats,
    own: frozenset[Cell],
    printed: set[Cell],
    pitch: tuple[float, float],
    past: tuple[float, float],
) -> frozenset[Cell]:
    """The unit's pages, with those for what lies along a joint and no printed page shows."""
    found = set(own)
    there = set(printed)
    middle = (lines.min(axis=(0, 1)) + lines.max(axis=(0, 1))) / 2

    def far(cell: Cell) -> tuple[float, int, int]:
        off_x = (cell.column + 0.5) * pitch[0] - middle[0]
        off_y = (-0.5 - cell.row) * pitch[1] - middle[1]
        return round(float(off_x**2 + off_y**2), 3), cell.row, cell.column

    for cell, corners, inside in sorted(_cells(lines, pitch), key=lambda entry: far(entry[0])):
        if cell in there:
            found.add(cell)
            continue
        for showing in _showing(cell, corners, inside, past):
            if not showing & there:
                # A line on a joint is given to the page that has more of the unit.
                best = min(showing, key=far)
                found.add(best)
                there.add(best)
    return frozenset(found)


def _showing(
    cell: Cell, corners: Corners, inside: Floats, past: tuple[float, float]
) -> Iterator[set[Cell]]:
    """For everything that lies in a cell, the pages that can show it.

    The cell is cut into nine: what each neighbour shows of it, and the middle.
    """
    left, bottom, right, top = corners
    levels_x = left, left + past[0], right - past[0], right
    levels_y = bottom, bottom + past[1], top - past[1], top
    for across in (-1, 0, 1):
        strip = clipped(inside, 0, *_between(levels_x, across))
        if not len(strip):
            continue
        for up in (-1, 0, 1):
            if meets(strip, 1, *_between(levels_y, up)):
                # The page across shows the corners too, and so does the one above.
                yield {
                    Cell(cell.row - step_up, cell.column + step)
                    for step in {0, across}
                    for step_up in {0, up}
                }


def _between(levels: Corners, step: int) -> tuple[float, float]:
    """One of the three parts of a cell; the middle one is a hair smaller than it is.

    The outer ones are a hair larger, so that no line lies between two parts.
    """
    low, high = levels[step + 1], levels[step + 2]
    return (low + 1e-6, high - 1e-6) if step == 0 else (low - 1e-6, high + 1e-6)


def _cells(lines: Floats, pitch: tuple[float, float]) -> Iterator[tuple[Cell, Corners, Floats]]:
    """Every cell that lines enter, its corners, and what lies in it; row by row from below."""
    across, down = pitch
    low, high = lines.min(axis=(0, 1)), lines.max(axis=(0, 1))
    for step in range(math.floor(low[1] / down), math.floor(high[1] / down) + 1):
        strip = clipped(lines, 1, step * down, (step + 1) * down)
        if not len(strip):
            continue
        for column in range(math.floor(low[0] / across), math.floor(high[0] / across) + 1):
            inside = clipped(strip, 0, column * across, (column + 1) * across)
            if len(inside):
                corners = column * across, step * down, (column + 1) * across, (step + 1) * down
                yield Cell(-1 - step, column), corners, inside


def _together(cells: Sequence[frozenset[Cell]]) -> list[tuple[int, ...]]:
    """Units in groups that share pages, in the order of their first unit."""
    groups: list[tuple[set[int], set[Cell]]] = []
    for number, own in enumerate(cells):
        members, shared = {number}, set(own)
        apart = []
        for group in groups:
            if group[1] & own:
                members |= group[0]
                shared |= group[1]
            else:
                apart.append(group)
        groups = [*apart, (members, shared)]
    return sorted(tuple(sorted(members)) for members, _ in groups)
