"""The first page, or a few on small paper: is it true to size, how is it put together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple

from tiler.layout.plan import Plan
from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Pattern
from tiler.pattern.path import polyline
from tiler.pattern.units import format_inch
from tiler.sheets.calibration import INCH, METRIC, draw_squares
from tiler.sheets.column import Column
from tiler.sheets.drawing import Item, Stroke, Words
from tiler.sheets.key import draw_key
from tiler.sheets.lettering import BODY, HEAD, LARGE, SMALL, TITLE, leading_of, width_of, wrapped
from tiler.sheets.listing import Entry, Notes, entries_of
from tiler.sheets.pens import HAIR
from tiler.sheets.qr import draw_qr
from tiler.sheets.taping import draw_list_page, draw_map_alone, draw_taping
from tiler.sheets.words import say

#: Room that the squares take with the numbers beside them, millimetres.
SQUARE = INCH + 7.0
#: The content is not spread further than this on large paper, millimetres.
WIDEST, TALLEST = 277.0, 400.0
#: Type sizes of the words about true size, best first.
SIZES = (BODY, 8.0, SMALL + 0.5, SMALL)


def draw_front(pattern: Pattern, plan: Plan, notes: Notes) -> list[tuple[str, list[Item]]]:
    """Title, calibration squares, map, key, list of pieces and caution, page coordinates.

    Args:
        pattern: What is published.
        plan: Where it lies.
        notes: What the labels had no room for.

    Returns:
        Name and items of each page: one where it has room for all of it, more on small paper.
    """
    window = plan.grid.setup.window.grown(-1.0)
    whole = Bounds(
        window.left,
        max(window.bottom, window.top - TALLEST),
        min(window.right, window.left + WIDEST),
        window.top - 1.5,
    )
    caution, floor = _caution(whole)
    frame = whole._replace(bottom=floor)
    draw_first = _lying if frame.width > frame.height * 1.15 else _standing
    entries = entries_of(plan, notes)
    first = draw_first(pattern, plan, frame, about=True)
    taping = draw_taping(pattern, plan, first.rest, entries, key=not first.keyed)
    if taping:
        return [("start", first.items + taping + caution)]
    # The list goes before the key: it says what the numbers on the map are.
    listed = draw_taping(pattern, plan, first.rest, entries, key=False) if first.fits else None
    if listed:
        return [("start", first.items + listed + caution), _key_page(pattern, plan, frame)]
    over = _Over(pattern, plan, frame, entries, key=not first.keyed)
    alone = draw_map_alone(plan, first.rest) if first.fits else None
    if alone:
        return [("start", first.items + alone + caution), *over.lists(about=False)]
    # What the pattern is about and the caution go where they have room.
    about = cautious = first.fits
    if not first.fits:
        first = draw_first(pattern, plan, frame, about=False)
        cautious = first.fits
    if not first.fits:
        first = draw_first(pattern, plan, whole, about=False)
    start = ("start", first.items + (caution if cautious else []))
    for told in dict.fromkeys((not about, False)):
        head = _title(pattern, plan, frame, about=told)
        taping = draw_taping(pattern, plan, head.rest, entries, key=over.key, last=True)
        if taping:
            return [start, ("map", head.items + taping + caution)]
    head = _title(pattern, plan, frame, about=False)
    alone = draw_map_alone(plan, head.rest, last=True) or []
    return [start, ("map", head.items + alone + caution), *over.lists(about=not about)]


def _key_page(pattern: Pattern, plan: Plan, frame: Bounds) -> tuple[str, list[Item]]:
    """The key of lines on a page of its own."""
    head = _title(pattern, plan, frame, about=False)
    key, _ = draw_key(pattern, head.rest, joints=len(plan.cells) > 1)
    return "key", head.items + key


@dataclass
class _Over:
    """What goes on to pages of its own: the key, and the list of pieces."""

    pattern: Pattern
    plan: Plan
    frame: Bounds
    entries: list[Entry]
    key: bool

    def lists(self, *, about: bool) -> Iterator[tuple[str, list[Item]]]:
        """Pages named list, list 2 and so on."""
        entries, key, number = self.entries, self.key, 1
        while entries:
            head = _title(self.pattern, self.plan, self.frame, about=about)
            items, entries = draw_list_page(self.pattern, self.plan, head.rest, entries, key=key)
            yield ("list" if number == 1 else f"list {number}"), head.items + items
            key, about, number = False, False, number + 1


class _First(NamedTuple):
    """The upper part of the first page, what is left of it, and what it holds."""

    items: list[Item]
    rest: Bounds
    keyed: bool
    fits: bool


def _standing(pattern: Pattern, plan: Plan, frame: Bounds, *, about: bool) -> _First:
    """Title, then the squares with the words beside or below them; the rest is underneath."""
    head = _title(pattern, plan, frame, about=about)
    body = head.rest
    squares = Point(body.left, body.top - SQUARE)
    beside = Bounds(body.left + SQUARE + 6, squares.y, body.right, body.top)
    items = head.items + _squares(pattern, squares)
    if beside.width < 45:
        below = _scale_words(Bounds(body.left, body.bottom, body.right, squares.y - 5))
        rest = below.rest._replace(top=below.rest.top - 3)
        return _First(items + below.items, rest, False, below.top >= body.bottom)
    rest = Bounds(body.left, body.bottom, body.right, squares.y - 6)
    for size in SIZES:
        words = _set_scale_words(beside, size)
        words.top -= 1.5
        key, height = draw_key(pattern, words.rest, joints=len(plan.cells) > 1)
        if height <= words.rest.height + 5:
            return _First(items + words.items + key, rest, True, rest.height > 0)
    words = _scale_words(beside)
    return _First(items + words.items, rest, False, rest.height > 0)


def _lying(pattern: Pattern, plan: Plan, frame: Bounds, *, about: bool) -> _First:
    """The squares at the upper left with the words under them; title and the rest to the right."""
    heading = Column(frame._replace(right=frame.left + SQUARE))
    heading.add(say("scale_title"), LARGE, bold=True, after=1.0)
    squares = Point(frame.left, heading.top - SQUARE)
    right = Bounds(frame.left + SQUARE + 7, frame.bottom, frame.right, frame.top)
    head = _title(pattern, plan, right, about=about)
    items = heading.items + head.items + _squares(pattern, squares)
    below = Bounds(frame.left, frame.bottom, frame.left + SQUARE, squares.y - 4)
    words = _scale_words(below, heading=False)
    if words.top >= frame.bottom:
        return _First(items + words.items, head.rest, False, True)
    words = _scale_words(head.rest, heading=False)
    nothing = frame._replace(top=frame.bottom)
    fits = words.top >= frame.bottom and squares.y >= frame.bottom
    return _First(items + words.items, nothing, False, fits)


def _squares(pattern: Pattern, at: Point) -> list[Item]:
    """The calibration squares with the code in the middle, clear of every line to measure."""
    middle = Point(at.x + METRIC / 2, at.y + METRIC / 2)
    return draw_squares(at) + draw_qr(pattern, middle)


def _title(pattern: Pattern, plan: Plan, frame: Bounds, *, about: bool) -> Column:
    setup = plan.grid.setup
    column = Column(frame)
    large = width_of(pattern.title, TITLE, bold=True) <= frame.width
    column.add(pattern.title, TITLE if large else HEAD, bold=True, after=0.5)
    facts = [say("start_made", maker=pattern.maker)] if pattern.maker else []
    facts += [say("start_version", version=pattern.version)] if pattern.version else []
    facts.append(say("start_digest", digest=pattern.digest))
    sheet = plan.grid.bounds
    size = (
        f"{sheet.width / 10:.0f} × {sheet.height / 10:.0f} cm "
        f"({format_inch(sheet.width, 1)} × {format_inch(sheet.height, 1)})"
    )
    column.add(" · ".join(facts), BODY, after=0, grey=0.1)
    key = "start_sheet" if len(plan.cells) == 1 else "start_sheets"
    sheets = say(key, pages=len(plan.cells), paper=setup.words, size=size)
    column.add(sheets, BODY, after=0.8, grey=0.1)
    if about:
        column.add(_about(pattern), SMALL + 0.5, after=0.8, grey=0.1)
    rule = polyline([Point(frame.left, column.top), Point(frame.right, column.top)])
    column.items.append(Stroke((rule,), HAIR))
    column.top -= 4.5
    return column


def _about(pattern: Pattern) -> str:
    """What the maker says of the pattern, what it was traced from, and the cloths."""
    texts = [pattern.about.rstrip(". ")] if pattern.about else []
    if pattern.traced_from:
        texts.append(say("start_traced", source=pattern.traced_from))
    texts += [say("start_cloth", cloth=name, about=about) for name, about in pattern.cloths]
    return " · ".join(texts)


def _caution(frame: Bounds) -> tuple[list[Item], float]:
    size = SMALL + 0.5
    lines = wrapped(say("caution"), size, frame.width)
    floor = frame.bottom + leading_of(size) * len(lines)
    items: list[Item] = [
        Words(line, Point(frame.left, floor - leading_of(size) * number + 0.8), size, grey=0.1)
        for number, line in enumerate(lines, start=1)
    ]
    return items, floor + 3.0


def _scale_words(frame: Bounds, *, heading: bool = True) -> Column:
    """The words about true size, in smaller type where the frame is short."""
    columns = [_set_scale_words(frame, size, heading=heading) for size in SIZES]
    return next((column for column in columns if column.top >= frame.bottom), columns[-1])


def _set_scale_words(frame: Bounds, size_pt: float, *, heading: bool = True) -> Column:
    column = Column(frame)
    if heading:
        column.add(say("scale_title"), LARGE, bold=True, after=2.0)
    for key in ("scale_1", "scale_2", "scale_3", "scale_4", "scale_5"):
        column.add(say(key), size_pt, after=size_pt * 0.15)
    return column
