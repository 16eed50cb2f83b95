"""What a pattern would take without any packing: the number that ours is compared with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from tiler.layout.ink import Floats, bounds_of_chords, chords_of, inked, moved
from tiler.layout.packing.options import GAP
from tiler.layout.settle import RIM, TABLE
from tiler.layout.tiles import Grid, PageSetup
from tiler.pattern.affine import Affine
from tiler.pattern.model import Piece


def naive_pages(units: Sequence[Sequence[Piece]], setup: PageSetup) -> int:
    """Pages with ink when the pieces are laid out as drawn, one after the other.

    The pieces stand unturned in the pattern's order, from left to right with a gap between their
    bounding boxes, tops level. A row ends where the next piece would make it longer than 1.8 m; the
    next row begins a gap below the lowest piece. All of it is one sheet, cut into pages from its
    upper left corner, 1 mm from the edge; pages without ink are not counted. Paper standing or
    lying, whichever takes fewer.

    Args:
        units: Pieces that keep their places to each other.
        setup: The paper; whether it is standing or lying does not matter.
    """
    chords = [np.concatenate([chords_of(piece) for piece in unit]) for unit in units]
    laid, width, height = _in_rows(chords)
    return min(
        _count(replace(setup, landscape=landscape), laid, width, height)
        for landscape in (False, True)
    )


def _in_rows(chords: Sequence[Floats]) -> tuple[list[Floats], float, float]:
    """The chords laid in rows from the origin to the right and downwards; width and height."""
    laid: list[Floats] = []
    x, top, lowest, widest = 0.0, 0.0, 0.0, 0.0
    for lines in chords:
        box = bounds_of_chords(lines)
        if x and x + box.width > TABLE + 1e-9:
            x, top = 0.0, lowest - GAP
        laid.append(moved(lines, Affine.move(x - box.left, top - box.top)))
        widest, lowest = max(widest, x + box.width), min(lowest, top - box.height)
        x += box.width + GAP
    return laid, widest, -lowest


def _count(setup: PageSetup, laid: Sequence[Floats], width: float, height: float) -> int:
    grid = Grid.smallest(setup, width + 2 * RIM, height + 2 * RIM)
    corner = Affine.move(RIM, grid.bounds.height - RIM)
    return len(frozenset().union(*(inked(grid, moved(lines, corner)) for lines in laid)))
