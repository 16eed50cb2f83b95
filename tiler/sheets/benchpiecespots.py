"""What the bench check found on one piece, to lie over its drawing."""

from __future__ import annotations

from collections.abc import Iterable

from tiler.drafting.checks.fault import Spot
from tiler.pattern.model import Piece
from tiler.sheets.drawing import Drawing, Group, Item, Pen, Stroke, Words
from tiler.sheets.lettering import BODY

#: Lines that are meant, heavier than any line of a piece.
_HEAVY = Pen(1.3)


def draw_spots(piece: Piece, spots: Iterable[tuple[int, Spot]]) -> Drawing:
    """Every place in a layer `spot:3`, 3 being the number of what was found there.

    Lines are heavy; where there is a point, or else at the middle of the first line, stands the
    number.

    Args:
        piece: Drafted.
        spots: Number and place; those on other pieces are left out.
    """
    items: list[Item] = []
    for number, spot in spots:
        if spot.piece != piece.name:
            continue
        points = list(spot.points) or [p.point_at(p.length / 2)[0] for p in spot.paths[:1]]
        drawn: list[Item] = [Stroke((path,), _HEAVY) for path in spot.paths]
        drawn += [Words(str(number), point, BODY, anchor="middle") for point in points]
        if drawn:
            items.append(Group(tuple(drawn), layers=(f"spot:{number}",)))
    return Drawing(piece.bounds, tuple(items))
