"""How the pages go together: words, the assembly map, the key of lines, the list of pieces."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from tiler.layout.plan import Plan
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Pattern
from tiler.sheets.assembly import draw_map, fit
from tiler.sheets.column import Column
from tiler.sheets.drawing import Item
from tiler.sheets.key import draw_key
from tiler.sheets.lettering import BODY, LARGE
from tiler.sheets.listing import Entry, draw_listing, listing_height
from tiler.sheets.words import say

#: The map is not made lower than this, millimetres.
LEAST_MAP = 30.0
#: Least side of a page on the map for its name to be read, millimetres.
LEAST_CELL = 6.5
#: Width of the key or the list beside the map, and the room between, millimetres.
SIDE = 64.0
GAP = 6.0


def draw_taping(
    pattern: Pattern,
    plan: Plan,
    frame: Bounds,
    entries: list[Entry],
    *,
    key: bool,
    last: bool = False,
) -> list[Item] | None:
    """Everything about taping in a frame; with the key of lines unless it stands elsewhere.

    The map takes the frame's width, with key and list below it, or stands beside them: whichever
    makes it larger.

    Args:
        pattern: What is published.
        plan: Where it lies.
        frame: Where to draw.
        entries: The list of pieces.
        key: Whether the key of lines is drawn here.
        last: Whether a small map will do, since there is no larger frame.

    Returns:
        The items, or None when the frame is too small for all of it.
    """
    column = _words(plan, frame)
    joints = len(plan.cells) > 1
    rest = column.rest._replace(top=column.top - 1.5)
    side = rest._replace(right=rest.left + SIDE)
    key_height = draw_key(pattern, side, joints=joints)[1] if key else 0.0
    possible = list(_arrangements(plan, rest, key_height, entries))
    if not possible:
        return None
    best = max(possible, key=lambda frames: fit(plan, frames.map).a)
    if not last and not _legible(plan, best.map):
        return None
    items = column.items + draw_map(plan, best.map)
    items += draw_listing(entries, best.listing, best.columns)[0]
    return items + (draw_key(pattern, best.key, joints=joints)[0] if key else [])


def draw_map_alone(plan: Plan, frame: Bounds, *, last: bool = False) -> list[Item] | None:
    """The words about taping and the map; None where the names of its pages cannot be read.

    Args:
        plan: What is drawn.
        frame: Where.
        last: Whether a small map will do, since there is no larger frame.
    """
    column = _words(plan, frame)
    rest = column.rest._replace(top=column.top - 1.5)
    if not last and (rest.height < LEAST_MAP or not _legible(plan, rest)):
        return None
    return column.items + draw_map(plan, rest)


def _legible(plan: Plan, frame: Bounds) -> bool:
    """Whether pages on the map are large enough for their names."""
    return fit(plan, frame).a * min(plan.grid.setup.pitch) >= LEAST_CELL


def draw_list_page(
    pattern: Pattern, plan: Plan, frame: Bounds, entries: list[Entry], *, key: bool
) -> tuple[list[Item], list[Entry]]:
    """The key of lines and as much of the list as fits, and the entries that are left over."""
    items: list[Item] = []
    left, bottom, right, top = frame
    if key:
        narrow = frame._replace(right=left + min(SIDE, right - left))
        items, height = draw_key(pattern, narrow, joints=len(plan.cells) > 1)
        if right - left >= 2 * SIDE + GAP:
            left += SIDE + GAP
        else:
            top -= height + 5.0
    columns = max(1, int((right - left + 5) // 65))
    listed, over = draw_listing(entries, Bounds(left, bottom, right, top), columns)
    # An entry taller than a whole page would never fit: it is cut there and then.
    return items + listed, over if len(over) < len(entries) else over[1:]


def _words(plan: Plan, frame: Bounds) -> Column:
    column = Column(frame)
    column.add(say("map_title"), LARGE, bold=True, after=2.0)
    if len(plan.cells) == 1:
        column.add(say("map_single"), BODY)
        return column
    column.add(say("map_1"), BODY, after=0.6)
    column.add(say("map_2"), BODY, after=0.6)
    if len(plan.cells) < plan.grid.rows * plan.grid.columns:
        column.add(say("map_blank"), BODY)
    return column


class _Frames(NamedTuple):
    map: Bounds
    key: Bounds
    listing: Bounds
    columns: int


def _arrangements(
    plan: Plan, rest: Bounds, key_height: float, entries: list[Entry]
) -> Iterator[_Frames]:
    """Those of these that fit: map above key and list, map beside both, list under the map."""
    for frames in _all_arrangements(plan, rest, key_height, entries):
        need = listing_height(entries, frames.listing.width, frames.columns)
        if (
            frames.map.height >= LEAST_MAP
            and frames.key.height >= key_height - 0.01
            and frames.listing.height >= need - 0.01
        ):
            yield frames


def _all_arrangements(
    plan: Plan, rest: Bounds, key_height: float, entries: list[Entry]
) -> Iterator[_Frames]:
    left, bottom, right, top = rest
    gap = 5.0

    def under(frame: Bounds) -> float:
        return top - plan.grid.bounds.height * fit(plan, frame).a - gap

    # Above: the list beside the key, or alone over the whole width.
    list_left = left + (SIDE + GAP if key_height else 0.0)
    for columns in (1, 2, 3):
        if right - list_left < columns * 50:
            break
        need = max(key_height, listing_height(entries, right - list_left, columns)) + gap
        above = Bounds(left, bottom + need, right, top)
        if above.height < LEAST_MAP:
            continue
        floor = under(above)
        yield _Frames(
            above,
            Bounds(left, bottom, left + SIDE, floor),
            Bounds(list_left, bottom, right, floor),
            columns,
        )
    side = Bounds(right - SIDE, bottom, right, top)
    beside = Bounds(left, bottom, right - SIDE - GAP, top)
    if beside.width < LEAST_MAP:
        return
    below_key = side._replace(top=top - key_height - (gap if key_height else 0.0))
    yield _Frames(beside, side, below_key, 1)
    for columns in (1, 2):
        corner = beside._replace(
            bottom=bottom + listing_height(entries, beside.width, columns) + gap
        )
        if corner.height >= LEAST_MAP:
            yield _Frames(corner, side, beside._replace(top=under(corner)), columns)
