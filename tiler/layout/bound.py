"""How few pages the area of the pieces could fill: what a layout is measured against."""

from __future__ import annotations

import math
from collections.abc import Sequence

import shapely

from tiler.layout.ink import CLOSE
from tiler.layout.tiles import PageSetup
from tiler.pattern.model import Piece

#: A page that is needed for less than this share of its area is put down to rounding.
_ROUNDING = 1e-6


def area_bound(units: Sequence[Sequence[Piece]], setup: PageSetup) -> int:
    """Pages that the bodies of all units fill when no paper lies free between or beside them.

    A page counts with the area of the pitch, across times down: the rest of the paper is margin or
    is covered by its neighbours. Lying and standing paper give the same bound.

    It is a bound for layouts that print every page under a piece. A page in the middle of a big
    piece that no line crosses is not printed, and the outermost pages of a sheet show a strip of
    the pattern beyond the pitch; so a layout may come out under it. No room is counted for gaps.

    Args:
        units: Pieces that keep their places to each other; what lies over one another counts once.
        setup: The paper.

    Returns:
        At least 1.
    """
    across, down = setup.pitch
    pages = sum(body_area(unit) for unit in units) / (across * down)
    return max(1, math.ceil(pages - _ROUNDING))


def body_area(unit: Sequence[Piece]) -> float:
    """Square millimetres of paper within the outlines of a unit, all its styles together."""
    rings = [
        shapely.Polygon(outline.path.flattened(CLOSE))
        for piece in unit
        for outline in piece.outlines
    ]
    # An outline that crosses itself is told elsewhere; its area is still wanted here.
    return float(shapely.union_all([shapely.make_valid(ring) for ring in rings]).area)
