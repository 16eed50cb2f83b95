"""How the pages go together: words, the assembly map, the key of lines, the list of pieces."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from tiler.layout.plan import Plan
from tiler.pattern.model import Pattern
from tiler.pattern.path import Bounds
from tiler.sheets.assembly import draw_map, fit
from tiler.sheets.column import Column
from tiler.sheets.drawing import Item
from tiler.sheets.key import draw_key
from tiler.sheets.lettering import BODY, LARGE
from tiler.sheets.listing import draw_listing
from tiler.sheets.words import say

#: Least height and width that the words, the map, the key and the list can do with, millimetres.
LEAST_HEIGHT = 88.0
LEAST_WIDTH = 100.0
#: Width of the key or the list beside the map, and the room between, millimetres.
SIDE = 60.0
GAP = 6.0


def draw_taping(pattern: Pattern, plan: Plan, frame: Bounds, *, key: bool) -> list[Item]:
    """Everything about taping in a frame; with the key of lines unless it stands elsewhere.

    The map takes the frame's width, with key and list below it, or stands beside them: whichever
    makes it larger.
    """
    column = Column(frame)
    column.add(say("map_title"), LARGE, bold=True, after=2.0)
    joints = len(plan.cells) > 1
    if joints:
        column.add(say("map_1"), BODY, after=0.6)
        column.add(say("map_2"), BODY, after=0.6)
        if len(plan.cells) < plan.grid.rows * plan.grid.columns:
            column.add(say("map_blank"), BODY)
    else:
        column.add(say("map_single"), BODY)
    left, bottom, right, top = column.rest
    rest = Bounds(left, bottom, right, top - 1.5)
    key_height = draw_key(pattern, rest, joints=joints)[1] if key else 0.0
    list_height = draw_listing(plan, rest._replace(right=left + SIDE, bottom=-1e4))[1]
    frames = max(
        _arrangements(plan, rest, key_height, list_height),
        key=lambda f: (f.listing.height >= list_height - 0.01, fit(plan, f.map).a),
    )
    items = column.items + draw_map(plan, frames.map) + draw_listing(plan, frames.listing)[0]
    return items + (draw_key(pattern, frames.key, joints=joints)[0] if key else [])


class _Frames(NamedTuple):
    map: Bounds
    key: Bounds
    listing: Bounds


def _arrangements(
    plan: Plan, rest: Bounds, key_height: float, list_height: float
) -> Iterator[_Frames]:
    """Map above key and list; map beside both; map beside the key with the list under the map."""
    left, bottom, right, top = rest
    gap = 4.0 if key_height else 0.0

    def under(frame: Bounds) -> float:
        return top - plan.grid.bounds.height * fit(plan, frame).a - 5.0

    half = (right - left - GAP) / 2
    above = Bounds(left, min(bottom + max(key_height, list_height) + 5.0, top - 25), right, top)
    yield _Frames(
        above,
        Bounds(left, bottom, left + half, under(above)),
        Bounds(right - half if key_height else left, bottom, right, under(above)),
    )
    column = Bounds(right - SIDE, bottom, right, top)
    beside = Bounds(left, bottom, right - SIDE - GAP, top)
    yield _Frames(beside, column, column._replace(top=top - key_height - gap))
    corner = beside._replace(bottom=min(bottom + list_height + 5.0, top - 25))
    yield _Frames(corner, column, beside._replace(top=under(corner)))
