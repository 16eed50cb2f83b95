"""The list of pieces beside the map: number, name, pages, and notes that found no other room."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tiler.layout.ink import chords_of, inked, moved
from tiler.layout.plan import Plan
from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.sheets.assembly import RING, numbered_ring
from tiler.sheets.drawing import Item, Words
from tiler.sheets.lettering import BODY, SMALL, height_of, leading_of, wrapped
from tiler.sheets.words import say

_SIZE = SMALL + 0.5
_INDENT = 2 * RING + 1.6
#: Height of the heading, and room between columns, millimetres.
_HEAD = height_of(BODY) + 2.2
_GUTTER = 5.0

#: What a label had no room for: name of the piece -> the maker's notes.
Notes = Mapping[str, tuple[str, ...]]


@dataclass(frozen=True)
class Entry:
    """One piece in the list.

    Args:
        number: As on the map.
        texts: Name and pages, then notes.
    """

    number: int
    texts: tuple[str, ...]


def entries_of(plan: Plan, notes: Notes) -> list[Entry]:
    """The list of a plan, in the pattern's order."""
    return [
        Entry(number, (f"{name}: {' '.join(pages)}", *notes.get(name, ())))
        for number, (name, pages) in enumerate(pages_of(plan), start=1)
    ]


def pages_of(plan: Plan) -> list[tuple[str, tuple[str, ...]]]:
    """Each piece's name and the names of the pages that it puts ink on, in page order."""
    return [
        (
            placement.piece.name,
            tuple(
                cell.name
                for cell in sorted(
                    inked(plan.grid, moved(chords_of(placement.piece), placement.at)),
                    key=lambda cell: (cell.row, cell.column),
                )
            ),
        )
        for placement in plan.placements
    ]


def draw_listing(
    entries: list[Entry], frame: Bounds, columns: int
) -> tuple[list[Item], list[Entry]]:
    """A heading and as many entries as fit, dealt into columns.

    Returns:
        The items, and the entries that are left over.
    """
    heading = Point(frame.left, frame.top - height_of(BODY))
    items: list[Item] = [Words(say("pieces_title"), heading, BODY, bold=True)]
    width = _column_width(frame.width, columns)
    tall = min(frame.height - _HEAD, _balanced(entries, width, columns))
    left, top, down, column = frame.left, frame.top - _HEAD, 0.0, 1
    for number, entry in enumerate(entries):
        lines = _lines(entry, width)
        height = _height(lines)
        if down and down + height > tall + 0.01 and column < columns:
            left, down, column = left + width + _GUTTER, 0.0, column + 1
        if down + height > frame.height - _HEAD + 0.01:
            return items, entries[number:]
        centre = Point(left + RING, top - down - RING)
        items += numbered_ring(entry.number, centre)
        baseline = centre.y - height_of(_SIZE) / 2
        for line in lines:
            items.append(Words(line, Point(left + _INDENT, baseline), _SIZE))
            baseline -= leading_of(_SIZE)
        down += height
    return items, []


def listing_height(entries: list[Entry], width: float, columns: int) -> float:
    """Millimetres that the heading and all entries take in that many columns."""
    return _HEAD + _balanced(entries, _column_width(width, columns), columns)


def _column_width(width: float, columns: int) -> float:
    return (width - (columns - 1) * _GUTTER) / columns


def _lines(entry: Entry, width: float) -> list[str]:
    return [line for text in entry.texts for line in wrapped(text, _SIZE, width - _INDENT)]


def _height(lines: list[str]) -> float:
    return max(len(lines) * leading_of(_SIZE), 2 * RING) + 0.9


def _balanced(entries: list[Entry], width: float, columns: int) -> float:
    """The least column height at which entries dealt in order need no more columns."""
    heights = [_height(_lines(entry, width)) for entry in entries]
    tall = max(sum(heights) / columns, *heights)
    while True:
        used, down = 1, 0.0
        for height in heights:
            if down and down + height > tall + 0.01:
                used, down = used + 1, 0.0
            down += height
        if used <= columns:
            return tall
        tall += 1.0
