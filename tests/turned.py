"""Plans with pieces at any angle, as a packing may leave them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

import numpy as np

from tests.demos import pattern_of_demo
from tiler.layout.ink import chords_of, moved
from tiler.layout.papers import find_paper
from tiler.layout.plan import Placement, Plan
from tiler.layout.settle import settle
from tiler.layout.tiles import PageSetup
from tiler.layout.units import units_of
from tiler.pattern.affine import Affine
from tiler.pattern.model import Pattern
from tiler.sheets.drawing import Publication
from tiler.sheets.publication import lay_out

#: Rows of pieces are not made longer than this, and pieces keep this far apart, millimetres.
LONGEST, APART = 1400.0, 8.0


def turned_plan(pattern: Pattern, setup: PageSetup, turns: Sequence[float]) -> Plan:
    """Pieces in rows, each turned: the first by the first of the turns, in degrees, and so on."""
    units = units_of(pattern)
    chords = [np.concatenate([chords_of(piece) for piece in unit]) for unit in units]
    at = []
    left = bottom = tallest = 0.0
    for number, lines in enumerate(chords):
        turn = Affine.turn(turns[number % len(turns)])
        low, high = (f(moved(lines, turn), axis=(0, 1)) for f in (np.min, np.max))
        width, height = (high - low).tolist()
        if left and left + width > LONGEST:
            left, bottom, tallest = 0.0, bottom + tallest + APART, 0.0
        at.append(turn.then(Affine.move(left - float(low[0]) + 2, bottom - float(low[1]) + 2)))
        left, tallest = left + width + APART, max(tallest, height)
    settled = settle(setup, chords, at)
    places = {
        piece.name: place for unit, place in zip(units, settled.at, strict=True) for piece in unit
    }
    placements = tuple(Placement(piece, places[piece.name]) for piece in pattern.pieces)
    return Plan(settled.grid, placements, settled.cells)


@cache
def turned_demo(demo: str, paper: str, turns: tuple[float, ...]) -> tuple[Plan, Publication]:
    """A demo pattern laid at those turns, and its pages."""
    pattern = pattern_of_demo(demo)
    plan = turned_plan(pattern, PageSetup(find_paper(paper)), turns)
    return plan, lay_out(pattern, plan)
