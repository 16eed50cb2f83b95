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
from tiler.sheets.listing import Notes, draw_listing
from tiler.sheets.words import say

#: Least height and width that the words, the map, the key and the list can do with, millimetres.
LEAST_HEIGHT = 88.0
LEAST_WIDTH = 100.0
#: The map is not made lower than this, millimetres.
LEAST_MAP = 30.0
#: Width of the key or the list beside the map, and the room between, millimetres.
SIDE = 60.0
GAP = 6.0


def draw_taping(
    pattern: Pattern, plan: Plan, frame: Bounds, notes: Notes, *, key: bool
) -> tuple[list[Item], bool]:
    """Everything about taping in a frame; with the key of lines unless it stands elsewhere.

    The map takes the frame's width, with key and list below it, or stands beside them: whichever
    makes it larger.

    Returns:
        The items, and whether all of it fits the frame.
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
    best = max(
        _arrangements(plan, rest, key_height, notes),
        key=lambda frames: (frames.fits, fit(plan, frames.map).a),
    )
    listing, _ = draw_listing(plan, best.listing, notes, best.columns)
    items = column.items + draw_map(plan, best.map) + listing
    if key:
        items += draw_key(pattern, best.key, joints=joints)[0]
    return items, best.fits


class _Frames(NamedTuple):
    map: Bounds
    key: Bounds
    listing: Bounds
    columns: int
    fits: bool


def _arrangements(plan: Plan, rest: Bounds, key_height: float, notes: Notes) -> Iterator[_Frames]:
    """Map above key and list; map beside both; map beside the key with the list under the map."""
    left, bottom, right, top = rest
    gap = 5.0

    def height(width: float, columns: int) -> float:
        return draw_listing(plan, Bounds(0, 0, width, 0), notes, columns)[1]

    def under(frame: Bounds) -> float:
        return top - plan.grid.bounds.height * fit(plan, frame).a - gap

    def framed(map_frame: Bounds, key: Bounds, listing: Bounds, columns: int) -> _Frames:
        fits = (
            map_frame.height >= LEAST_MAP
            and key.height >= key_height - 0.01
            and listing.height >= height(listing.width, columns) - 0.01
        )
        return _Frames(map_frame, key, listing, columns, fits)

    # Above: the list beside the key, or alone over the whole width.
    list_left = left + (SIDE + GAP if key_height else 0.0)
    for columns in (1, 2, 3):
        if right - list_left < columns * 50:
            break
        need = max(key_height, height(right - list_left, columns)) + gap
        above = Bounds(left, min(bottom + need, top - LEAST_MAP), right, top)
        floor = under(above)
        yield framed(
            above,
            Bounds(left, bottom, left + SIDE, floor),
            Bounds(list_left, bottom, right, floor),
            columns,
        )
    side = Bounds(right - SIDE, bottom, right, top)
    beside = Bounds(left, bottom, right - SIDE - GAP, top)
    below_key = side._replace(top=top - key_height - (gap if key_height else 0.0))
    yield framed(beside, side, below_key, 1)
    for columns in (1, 2):
        need = height(beside.width, columns) + gap
        corner = beside._replace(bottom=min(bottom + need, top - LEAST_MAP))
        yield framed(corner, side, beside._replace(top=under(corner)), columns)
