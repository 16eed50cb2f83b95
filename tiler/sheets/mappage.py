"""The page of the map: where every page goes, in what order to tape, and whose pages they are."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from tiler.layout.plan import Plan
from tiler.layout.tiles import Cell
from tiler.pattern.bounds import Bounds
from tiler.sheets.assembly import DrawnMap, draw_map
from tiler.sheets.column import Column
from tiler.sheets.drawing import Item
from tiler.sheets.lettering import BODY, LARGE, leading_of, wrapped
from tiler.sheets.listing import Entry, draw_listing, listing_height
from tiler.sheets.mapfit import fit, taped
from tiler.sheets.maplabels import Numbers
from tiler.sheets.words import say

#: The map is not made lower than this, millimetres.
LEAST_MAP = 30.0
#: Least side of a page on the map for its name to be read, millimetres: at all, and well.
LEAST_CELL = 8.0
GOOD_CELL = 11.0
#: Width of the list beside the map, of a column of the list below it, and the room between, mm.
SIDE = 62.0
_COLUMN = 50.0
GAP = 6.0
#: Type size of the words about what the map shows; the paper over and under them, millimetres.
_NOTES = 8.0
_OVER, _UNDER = 2.5, 2.5


def draw_map_section(
    plan: Plan,
    frame: Bounds,
    entries: list[Entry],
    numbers: Numbers,
    least: float,
    title: str = "map_title",
) -> tuple[list[Item], float] | None:
    """Order of taping, map and list of pieces in a frame.

    The map takes the frame's width, with the list below it in columns, or has it beside it:
    whichever makes the map larger.

    Args:
        plan: Where everything lies.
        frame: Where to draw.
        entries: The list of pieces; empty to draw the map alone.
        numbers: Of joints and pieces, as on the pages.
        least: Least side of a page on the map, millimetres.
        title: Key of the words over it.

    Returns:
        The items and where they end, or None when the frame is too small.
    """
    column = draw_map_words(plan, frame, title)
    possible = list(_arrangements(plan, column.rest, entries))
    if not possible:
        return None
    best = max(possible, key=lambda frames: round(fit(plan, frames.map).factor, 6))
    if fit(plan, best.map).factor * min(plan.grid.setup.pitch) < least:
        return None
    drawn = draw_map(plan, best.map, numbers)
    items = [*column.items, *drawn.items]
    notes = Column(best.map._replace(top=drawn.extent.bottom - _OVER))
    notes.add(notes_of(drawn, plan), _NOTES, after=_UNDER, grey=0.1)
    items += notes.items
    if entries:
        listing = best.listing._replace(top=notes.top) if best.below else best.listing
        items += draw_listing(entries, listing, best.columns)[0]
        height = listing_height(entries, listing.width, best.columns)
        return items, min(notes.top, listing.top - height)
    return items, notes.top


def draw_map_words(plan: Plan, frame: Bounds, title: str) -> Column:
    """The heading of the map, and the order in which its pages are printed and taped."""
    column = Column(frame)
    if not plan.joints:
        column.add(say("map_title_alone"), LARGE, bold=True, after=2.0)
        return column
    column.add(say(title), LARGE, bold=True, after=2.0)
    column.add(say("map_print"), BODY, bold=True, after=0.6)
    column.add(" ".join((say("map_steps"), begin_words(plan))), BODY, after=2.0)
    return column


def begin_words(plan: Plan) -> str:
    """What to tape first: the first row, or the first two, of the first sheet that is taped."""
    rows = [row for row in _rows(taped(plan)[0]) if len(row) > 1]
    if not rows:
        first, second, *_ = taped(plan)[0]
        return say("map_begin_row", first=say("map_pair", first=first.name, last=second.name))
    names = [
        say("map_row" if len(row) > 2 else "map_pair", first=row[0].name, last=row[-1].name)
        for row in rows
    ]
    if len(rows) > 1 and rows[1][0].row == rows[0][0].row + 1:
        return say("map_begin_rows", first=names[0], second=names[1])
    return say("map_begin_row", first=names[0])


def _rows(cells: tuple[Cell, ...]) -> list[list[Cell]]:
    """Pages that are neighbours in a row, row by row."""
    rows: list[list[Cell]] = []
    for cell in cells:
        if rows and (cell.row, cell.column) == (rows[-1][-1].row, rows[-1][-1].column + 1):
            rows[-1].append(cell)
        else:
            rows.append([cell])
    return rows


def notes_of(drawn: DrawnMap, plan: Plan) -> str:
    """What the signs on the map mean, as far as it has them."""
    keys = [
        ("map_grain", any(placement.piece.grain for placement in plan.placements)),
        ("map_joints", drawn.joints),
        ("map_rings", drawn.ringed),
        ("map_blank", drawn.blank),
    ]
    return " ".join(say(key) for key, there in keys if there)


def _notes_height(width: float) -> float:
    """The most that they take under a map of that width."""
    words = " ".join(say(key) for key in ("map_grain", "map_joints", "map_rings", "map_blank"))
    return _OVER + leading_of(_NOTES) * len(wrapped(words, _NOTES, width)) + _UNDER


class _Frames(NamedTuple):
    map: Bounds
    listing: Bounds
    columns: int
    below: bool


def _arrangements(plan: Plan, rest: Bounds, entries: list[Entry]) -> Iterator[_Frames]:
    left, bottom, right, top = rest
    notes = _notes_height(rest.width)
    if not entries:
        above = rest._replace(bottom=bottom + notes)
        if above.height >= LEAST_MAP:
            yield _Frames(above, rest, 1, below=True)
        return
    for columns in (1, 2, 3, 4):
        if columns > 1 and rest.width < columns * _COLUMN:
            break
        need = listing_height(entries, rest.width, columns)
        above = rest._replace(bottom=bottom + need + notes)
        if above.height >= LEAST_MAP:
            yield _Frames(above, rest, columns, below=True)
    side = Bounds(right - SIDE, bottom, right, top)
    beside = Bounds(left, bottom, right - SIDE - GAP, top)
    if beside.width < LEAST_MAP or listing_height(entries, SIDE, 1) > side.height:
        return
    beside = beside._replace(bottom=bottom + _notes_height(beside.width))
    if beside.height >= LEAST_MAP:
        yield _Frames(beside, side, 1, below=False)


def draw_list_page(frame: Bounds, entries: list[Entry]) -> tuple[list[Item], list[Entry]]:
    """As much of the list as fits, and the entries that are left over."""
    columns = max(1, int((frame.width + 5) // 65))
    listed, over = draw_listing(entries, frame, columns)
    # An entry taller than a whole page would never fit: it is cut there and then.
    return listed, over if len(over) < len(entries) else over[1:]
