"""The list of pieces beside the map: number, name, pages, and notes that found no other room."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tiler.layout.ink import chords_of, moved, shown
from tiler.layout.plan import Placement, Plan
from tiler.layout.tiles import Cell
from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.sheets.drawing import Item, Words
from tiler.sheets.lettering import BODY, height_of, leading_of, wrapped
from tiler.sheets.maplabels import RING, Numbers, numbered_ring
from tiler.sheets.words import say

_SIZE = 8.0
_HEAD_SIZE = BODY + 1
_INDENT = 2 * RING + 1.6
#: Height of the heading, room between columns and after an entry, millimetres.
_HEAD = height_of(_HEAD_SIZE) + 2.6
_GUTTER = 5.0
_AFTER = 1.3
#: That many or more neighbours are told by the first and the last of them.
_RUN = 3

#: What a label had no room for: name of the piece -> the maker's notes.
Notes = Mapping[str, tuple[str, ...]]


@dataclass(frozen=True)
class Entry:
    """One piece in the list.

    Args:
        number: As on the map.
        name: Of the piece.
        texts: Its pages, then notes.
    """

    number: int
    name: str
    texts: tuple[str, ...]


def entries_of(
    plan: Plan,
    notes: Notes,
    before: int | None,
    numbers: Numbers,
    pages: Sequence[list[Cell]] | None = None,
) -> list[Entry]:
    """The list of a plan, in the pattern's order.

    Args:
        plan: Where the pieces lie.
        notes: What the labels had no room for.
        before: How many pages of the file come before those of the pattern; None to leave the
            pages' numbers in the file out.
        numbers: Of the pieces, as on their labels.
        pages: Those of each placement, if they are known already.
    """
    entries = []
    found = pages or [pages_of(plan, placement) for placement in plan.placements]
    for placement, cells in zip(plan.placements, found, strict=True):
        text = " ".join(names_in_runs(cells))
        if before is not None:
            place = {cell: before + n for n, cell in enumerate(plan.cells, start=1)}
            places = numbers_in_runs([place[cell] for cell in cells])
            key = "pieces_pages" if len(cells) > 1 else "pieces_page"
            text = say(key, names=text, numbers=", ".join(places))
        name = placement.piece.name
        entries.append(Entry(numbers.pieces[name], name, (text, *notes.get(name, ()))))
    return entries


def pages_of(plan: Plan, placement: Placement) -> list[Cell]:
    """The pages that a piece puts ink on, in the order in which they are printed."""
    lines = moved(chords_of(placement.piece), placement.at)
    return list(shown(plan.grid, plan.cells, lines))


def names_in_runs(cells: Sequence[Cell]) -> list[str]:
    """Names of pages, three or more neighbours in a row as ``A1–A3``."""
    runs: list[list[Cell]] = []
    for cell in cells:
        if runs and (cell.row, cell.column) == (runs[-1][-1].row, runs[-1][-1].column + 1):
            runs[-1].append(cell)
        else:
            runs.append([cell])
    return [part for run in runs for part in _shortened([cell.name for cell in run])]


def numbers_in_runs(numbers: Sequence[int]) -> list[str]:
    """Numbers in rising order, three or more that follow each other as ``3–6``."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return [part for run in runs for part in _shortened([str(n) for n in run])]


def _shortened(names: list[str]) -> list[str]:
    return [f"{names[0]}–{names[-1]}"] if len(names) >= _RUN else names


def draw_listing(
    entries: list[Entry], frame: Bounds, columns: int
) -> tuple[list[Item], list[Entry]]:
    """A heading, a hint, and as many entries as fit, dealt into columns.

    Returns:
        The items, and the entries that are left over.
    """
    heading = Point(frame.left, frame.top - height_of(_HEAD_SIZE))
    items: list[Item] = [Words(say("pieces_title"), heading, _HEAD_SIZE, bold=True)]
    head = _HEAD
    for line in _hint(entries, frame.width):
        base = frame.top - head - height_of(_SIZE)
        items.append(Words(line, Point(frame.left, base), _SIZE, grey=0.1))
        head += leading_of(_SIZE)
    head = _head_height(entries, frame.width)
    width = _column_width(frame.width, columns)
    tall = min(frame.height - head, _balanced(entries, width, columns))
    left, top, down, column = frame.left, frame.top - head, 0.0, 1
    for number, entry in enumerate(entries):
        names, lines = _lines(entry, width)
        height = _height(names, lines)
        if down and down + height > tall + 0.01 and column < columns:
            left, down, column = left + width + _GUTTER, 0.0, column + 1
        if down + height > frame.height - head + 0.01:
            return items, entries[number:]
        centre = Point(left + RING, top - down - RING)
        items += numbered_ring(entry.number, centre)
        baseline = centre.y - height_of(BODY) / 2
        for size, bold, texts in ((BODY, True, names), (_SIZE, False, lines)):
            for line in texts:
                items.append(Words(line, Point(left + _INDENT, baseline), size, bold=bold))
                baseline -= leading_of(_SIZE)
        down += height
    return items, []


def listing_height(entries: list[Entry], width: float, columns: int) -> float:
    """Millimetres that the heading and all entries take in that many columns."""
    return _head_height(entries, width) + _balanced(entries, _column_width(width, columns), columns)


def _head_height(entries: list[Entry], width: float) -> float:
    lines = _hint(entries, width)
    return _HEAD + (len(lines) * leading_of(_SIZE) + 1.4 if lines else 0.0)


def _hint(entries: list[Entry], width: float) -> list[str]:
    """How to print one piece alone, where there are several."""
    return wrapped(say("pieces_alone"), _SIZE, width) if len(entries) > 1 else []


def _column_width(width: float, columns: int) -> float:
    return (width - (columns - 1) * _GUTTER) / columns


def _lines(entry: Entry, width: float) -> tuple[list[str], list[str]]:
    names = wrapped(entry.name, BODY, width - _INDENT, bold=True)
    return names, [line for text in entry.texts for line in wrapped(text, _SIZE, width - _INDENT)]


def _height(names: list[str], lines: list[str]) -> float:
    return max((len(names) + len(lines)) * leading_of(_SIZE), 2 * RING) + _AFTER


def _balanced(entries: list[Entry], width: float, columns: int) -> float:
    """The least column height at which entries dealt in order need no more columns."""
    heights = [_height(*_lines(entry, width)) for entry in entries]
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
