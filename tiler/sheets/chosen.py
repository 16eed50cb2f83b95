"""Some pieces of a pattern, printed as they lie on the sheets of the whole."""

from __future__ import annotations

from collections import deque
from collections.abc import Sequence
from dataclasses import replace

from tiler.layout.bridges import beside, groups_of
from tiler.layout.plan import Plan
from tiler.layout.tiles import Cell


def chosen_plan(plan: Plan, pieces: Sequence[str], inked: Sequence[frozenset[Cell]]) -> Plan:
    """The part of a plan that some pieces need: their pages, under their names, and no others.

    Where the pages of a piece do not hang together, pages of the plan that join them are kept too.

    Args:
        plan: Of the whole pattern.
        pieces: Names; empty for the whole plan.
        inked: The pages that carry each placement's lines.
    """
    if not pieces:
        return plan
    kept: set[Cell] = set()
    placements = []
    for placement, own in zip(plan.placements, inked, strict=True):
        if placement.piece.name in pieces:
            placements.append(placement)
            kept |= _joined(own, plan)
    cells = tuple(cell for cell in plan.cells if cell in kept)
    return replace(plan, placements=tuple(placements), cells=cells)


def _joined(cells: frozenset[Cell], plan: Plan) -> frozenset[Cell]:
    """The cells with the fewest printed ones that lie between their groups."""
    there = set(plan.cells)
    groups = groups_of(cells)
    while len(groups) > 1:
        way = _between(groups[0], cells - groups[0], there)
        if not way:
            # Nothing printed lies between them: they are apart in the whole, too.
            break
        cells |= way
        groups = groups_of(cells)
    return cells


def _between(start: frozenset[Cell], goals: frozenset[Cell], there: set[Cell]) -> frozenset[Cell]:
    came: dict[Cell, Cell | None] = dict.fromkeys(sorted(start, key=lambda c: (c.row, c.column)))
    waiting = deque(came)
    while waiting:
        here = waiting.popleft()
        for cell in beside(here):
            if cell in came or cell not in there:
                continue
            came[cell] = here
            if cell in goals:
                way = {cell}
                step: Cell | None = here
                while step is not None and step not in start:
                    way.add(step)
                    step = came[step]
                return frozenset(way)
            waiting.append(cell)
    return frozenset()
