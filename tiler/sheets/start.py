"""The pages before the pattern: is it true to size, how is it taped, where does each page go."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import product

from tiler.layout.plan import Plan
from tiler.layout.tiles import Cell
from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Pattern
from tiler.sheets.drawing import Item, Words
from tiler.sheets.key import draw_key
from tiler.sheets.lettering import BODY, SMALL, leading_of, wrapped
from tiler.sheets.listing import Entry, Notes, entries_of, pages_of
from tiler.sheets.maplabels import Numbers
from tiler.sheets.mappage import GOOD_CELL, LEAST_CELL, draw_list_page, draw_map_section
from tiler.sheets.opening import Opening, draw_opening
from tiler.sheets.qr import draw_qr
from tiler.sheets.taping import draw_reading, draw_steps_alone, draw_taping
from tiler.sheets.ways import Way
from tiler.sheets.words import say

#: The content is not spread further than this on large paper, millimetres.
WIDEST, TALLEST = 277.0, 400.0
#: On paper at least this wide and high, the map stands to the right of everything else, mm.
SPREAD = (370.0, 250.0)
_LEFT = 182.0
_GAP = 12.0
#: Between what stands below each other, millimetres.
_BETWEEN = 5.0

FrontPage = tuple[str, list[Item]]


def draw_front(
    pattern: Pattern,
    plan: Plan,
    notes: Notes,
    way: Way = Way.OVERLAP,
    whole: Plan | None = None,
    inked: Mapping[str, Collection[Cell]] | None = None,
) -> list[FrontPage]:
    """Title, calibration squares, how to tape, key, caution, map and list, page coordinates.

    Args:
        pattern: What is published.
        plan: Where that lies which is printed.
        notes: What the labels had no room for.
        way: How the pages are joined.
        whole: Where everything lies, if only some of it is printed.
        inked: The pages that each piece puts ink on, by its name, if they are known already.

    Returns:
        Name and items of each page: one where it has room for all of it; else "start" and "map";
        on small paper "taping" between them, and "list" after them.
    """
    if inked is None:
        inked = {placed.piece.name: pages_of(plan, placed) for placed in plan.placements}
    front = _Front(pattern, plan, notes, way, Numbers.of(whole or plan), inked)
    return front.one() or front.two() or front.many()


@dataclass(frozen=True)
class _Front:
    pattern: Pattern
    plan: Plan
    notes: Notes
    way: Way
    numbers: Numbers
    inked: Mapping[str, Collection[Cell]]

    @cached_property
    def shown(self) -> Pattern:
        """The pattern with no more pieces than are printed."""
        pieces = tuple(placement.piece for placement in self.plan.placements)
        return replace(self.pattern, pieces=pieces)

    @cached_property
    def code(self) -> list[Item]:
        """The code with the list of pieces, round the origin."""
        return draw_qr(self.pattern, Point(0.0, 0.0))

    @cached_property
    def pages(self) -> list[list[Cell]]:
        """The pages of each piece, in the order in which they are printed."""
        own = [self.inked[placement.piece.name] for placement in self.plan.placements]
        return [[cell for cell in self.plan.cells if cell in cells] for cells in own]

    @property
    def window(self) -> Bounds:
        """What may be drawn on, with no more than is looked at in one go."""
        window = self.plan.grid.setup.window.grown(-1.0)
        spread = window.width >= SPREAD[0] and window.height >= SPREAD[1]
        widest = 2 * _LEFT + _GAP + 20 if spread and window.width > window.height else WIDEST
        return Bounds(
            window.left,
            max(window.bottom, window.top - TALLEST),
            min(window.right, window.left + widest),
            window.top - 1.5,
        )

    @cached_property
    def foot(self) -> tuple[list[Item], Bounds]:
        """The caution at the foot of the first page, and the frame above it."""
        return _over_caution(self.window)

    @cached_property
    def whole_start(self) -> tuple[list[Item], Bounds] | None:
        """As `started`, on all of the first page above the caution."""
        return self.started(self.foot[1])

    def entries(self, pages: int) -> list[Entry]:
        """The list of pieces for that many pages before the pattern."""
        return entries_of(self.plan, self.notes, pages, self.numbers, self.pages)

    def one(self) -> list[FrontPage] | None:
        """Everything on one page, if the map can be read well there."""
        caution, frame = self.foot
        entries = self.entries(1)
        if frame.width >= SPREAD[0]:
            left = frame._replace(right=frame.left + _LEFT)
            right = frame._replace(left=left.right + _GAP)
            started = self.started(left)
            mapped = draw_map_section(self.plan, right, entries, self.numbers, GOOD_CELL)
            if started and mapped:
                return [("start", started[0] + mapped[0] + caution)]
        started = self.whole_start
        if started is None:
            return None
        items, rest = started
        mapped = draw_map_section(self.plan, rest, entries, self.numbers, GOOD_CELL)
        return [("start", items + mapped[0] + caution)] if mapped else None

    def two(self) -> list[FrontPage] | None:
        """The start page, and the map with the list of pieces."""
        caution, _ = self.foot
        started = self.whole_start
        mapped = self.mapped(self.entries(2))
        if started and mapped:
            return [("start", started[0] + caution), ("map", mapped[0])]
        return None

    def many(self) -> list[FrontPage]:
        """As many pages as small paper asks for."""
        caution, frame = self.foot
        started = self.whole_start
        if started:
            pages = [("start", started[0] + caution)]
        else:
            joined, rest = self.joined(frame)
            mapped = draw_map_section(self.plan, rest, self.entries(2), self.numbers, GOOD_CELL)
            if mapped:
                return [*self.opened(), ("map", joined + mapped[0] + caution)]
            second = "taping" if self.plan.joints else "key"
            pages = [*self.opened(), (second, joined + caution)]
        mapped = self.mapped(self.entries(len(pages) + 1))
        if mapped:
            return [*pages, ("map", mapped[0])]
        alone = draw_map_section(self.plan, self.window, [], self.numbers, 0.0)
        pages += [("map", alone[0])] if alone else []
        # Larger numbers of pages never take less room, so this comes to rest.
        count = 1
        while len(lists := list(self.lists(len(pages) + count))) > count:
            count = len(lists)
        return [*pages, *lists]

    def mapped(self, entries: list[Entry]) -> tuple[list[Item], float] | None:
        """The map with the list of pieces on a page of their own."""
        return draw_map_section(self.plan, self.window, entries, self.numbers, LEAST_CELL)

    def started(self, frame: Bounds) -> tuple[list[Item], Bounds] | None:
        """Title, squares, how to tape and the key in a frame, and what is left of it below."""
        for about, size in product((True, False), (BODY, 8.0)):
            opening = draw_opening(
                self.pattern, self.plan, frame, self.code, about=about, size_pt=size
            )
            if not opening.fits:
                continue
            drawn = [
                draw(opening, size) for draw in (self.below, self.key_beside, self.steps_beside)
            ]
            items, rest = max(filter(None, drawn), key=lambda each: round(each[1].height, 3))
            if rest.height >= -_BETWEEN:
                return opening.items + items, rest
        return None

    def below(self, opening: Opening, size: float) -> tuple[list[Item], Bounds]:
        """How to tape, and the key under it, below the squares."""
        taping, rest = _under(draw_taping(self.plan, opening.rest, self.way, size), opening.rest)
        key, rest = _under(self.key(rest), rest)
        return taping + key, rest

    def key_beside(self, opening: Opening, size: float) -> tuple[list[Item], Bounds] | None:
        """The key beside the squares, if it fits there, and how to tape below them."""
        key, height = self.key(opening.side)
        if height > opening.side.height:
            return None
        taping, rest = _under(draw_taping(self.plan, opening.rest, self.way, size), opening.rest)
        return key + taping, rest

    def steps_beside(self, opening: Opening, size: float) -> tuple[list[Item], Bounds] | None:
        """The steps of taping beside the squares; the reading of the ticks and the key below."""
        steps, height = draw_steps_alone(self.plan, opening.side, self.way, size)
        if height > opening.side.height:
            return None
        ticks, rest = _under(draw_reading(self.plan, opening.rest, self.way), opening.rest)
        key, rest = _under(self.key(rest), rest)
        return steps + ticks + key, rest

    def key(self, frame: Bounds) -> tuple[list[Item], float]:
        """The key of lines in as many columns as make it lowest."""
        drawn = [
            draw_key(self.shown, frame, bool(self.plan.joints), columns, self.way)
            for columns in (1, 2, 3)
            if columns == 1 or frame.width >= columns * 52.0
        ]
        return min(drawn, key=lambda key: round(key[1], 3))

    def opened(self) -> Iterator[FrontPage]:
        """Title and squares alone, on a page of small paper."""
        ways = (
            (8.0, True, False),
            (8.0, False, False),
            (SMALL, False, False),
            (SMALL, False, True),
        )
        for smallest, about, short in ways:
            opening = draw_opening(
                self.pattern,
                self.plan,
                self.window,
                self.code,
                about=about,
                smallest=smallest,
                short=short,
            )
            if opening.fits:
                break
        yield "start", opening.items

    def joined(self, frame: Bounds) -> tuple[list[Item], Bounds]:
        """How to tape, and the key, on another page, smaller where it is short; what is left."""
        for size in (BODY, 8.0, SMALL):
            taping, height = draw_taping(self.plan, frame, self.way, size)
            rest = frame._replace(top=frame.top - height - _BETWEEN)
            key, tall = self.key(rest)
            if tall <= rest.height:
                break
        return taping + key, rest._replace(top=rest.top - tall - _BETWEEN)

    def lists(self, before: int) -> Iterator[FrontPage]:
        """Pages named list, list 2 and so on."""
        entries, number = self.entries(before), 1
        while entries:
            items, entries = draw_list_page(self.window, entries)
            yield ("list" if number == 1 else f"list {number}"), items
            number += 1


def _under(drawn: tuple[list[Item], float], frame: Bounds) -> tuple[list[Item], Bounds]:
    """What was drawn at the top of a frame, and what is left of the frame under it."""
    items, height = drawn
    return items, frame._replace(top=frame.top - height - _BETWEEN)


def _over_caution(frame: Bounds) -> tuple[list[Item], Bounds]:
    """The caution at the foot of a frame, and the frame above it."""
    size = SMALL + 0.5
    lines = wrapped(say("caution"), size, frame.width)
    floor = frame.bottom + leading_of(size) * len(lines)
    items: list[Item] = [
        Words(line, Point(frame.left, floor - leading_of(size) * number + 0.8), size, grey=0.1)
        for number, line in enumerate(lines, start=1)
    ]
    return items, frame._replace(bottom=floor + 3.0)
