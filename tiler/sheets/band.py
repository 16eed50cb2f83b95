"""The head of a roll or of a large sheet: all that front pages say otherwise, set across."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from tiler.layout.plan import Plan
from tiler.layout.tiles import PageSetup
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Pattern
from tiler.pattern.path import polyline, rectangle
from tiler.sheets.bandwords import Facts
from tiler.sheets.calibration import INCH, METRIC, draw_squares
from tiler.sheets.column import Column
from tiler.sheets.drawing import Group, Item, Stroke, Words
from tiler.sheets.flow import Block, Flow, block_of, flowed, frame_of
from tiler.sheets.heading import about_words, whose_words
from tiler.sheets.key import draw_key
from tiler.sheets.lettering import BODY, HEAD, LARGE, READ, SMALL, TITLE, height_of, width_of
from tiler.sheets.maplabels import RING, numbered_ring
from tiler.sheets.pens import HAIR
from tiler.sheets.qr import draw_qr
from tiler.sheets.words import say

#: Room that the squares take with the numbers beside them, and beside them, millimetres.
_SQUARE, _BESIDE = INCH + 7.0, 7.0
#: Least and greatest width of a column, and between two of them, millimetres.
_WIDTHS = (62.0, 118.0)
_GUTTER = 8.0
#: Free paper above it and at its sides, and between it and the pieces, millimetres.
_AIR, _BELOW = 1.5, 5.0
#: After a block, millimetres.
_AFTER = 4.5
#: Type sizes of the words, best first.
_LARGER = READ
_SIZES = (_LARGER, BODY, 8.0, SMALL + 0.5, SMALL)
_INDENT = 2 * RING + 1.8


def band_height(pattern: Pattern, setup: PageSetup) -> float:
    """How much of the first page the head takes, before anybody knows how long the paper gets.

    Args:
        pattern: What is printed.
        setup: The paper; the height of a roll is not heeded.
    """
    facts = Facts.widest(pattern, setup)
    return (
        _AIR
        + min(_flow(pattern, facts, setup.window.width, size).height for size in (BODY, _LARGER))
        + _BELOW
    )


def draw_band(pattern: Pattern, plan: Plan) -> list[Item]:
    """The head of a plan, page coordinates of its first page.

    Args:
        pattern: What is published, whole.
        plan: Where that lies which is printed; it has a head.
    """
    assert plan.head is not None
    origin = plan.grid.origin(plan.cells[0])
    frame = plan.head.moved(Affine.move(-origin.x, -origin.y))
    facts = Facts.of(pattern, plan)
    pieces = tuple(placement.piece for placement in plan.placements)
    shown = replace(pattern, pieces=pieces)
    for size in _SIZES:
        flow = _flow(shown, facts, frame.width, size)
        if _AIR + flow.height + _BELOW <= frame.height + 0.01:
            break
    corner = Point(frame.left + _AIR, frame.top - _AIR)
    squares = Point(corner.x, corner.y - _SQUARE)
    middle = Affine.move(squares.x + METRIC / 2, squares.y + METRIC / 2)
    rule = frame.bottom + _BELOW - 1.5
    return [
        *draw_squares(squares),
        Group(tuple(draw_qr(shown, Point(0.0, 0.0))), at=middle),
        *flow.items(Point(corner.x + _SQUARE + _BESIDE, corner.y)),
        Stroke((polyline([Point(frame.left, rule), Point(frame.right, rule)]),), HAIR),
    ]


def _flow(pattern: Pattern, facts: Facts, width: float, size_pt: float) -> Flow:
    def blocks(wide: float) -> Sequence[Block]:
        return list(_blocks(pattern, facts, wide, size_pt))

    beside = width - 2 * _AIR - _SQUARE - _BESIDE
    return flowed(blocks, beside, _WIDTHS, _GUTTER, _SQUARE)


def _blocks(pattern: Pattern, facts: Facts, width: float, size: float) -> Iterator[Block]:
    yield _title(pattern, facts, width, size)
    yield _shop(facts, width, size)
    yield _paragraphs(say("band_true_title"), facts.true, width, size)
    items, height = draw_key(pattern, frame_of(width), False)
    yield Block(tuple(items), height + _AFTER)
    yield from _listing(facts, width, size)
    yield _paragraphs("", (say("caution"),), width, min(size, 8.0))


def _title(pattern: Pattern, facts: Facts, width: float, size: float) -> Block:
    column = Column(frame_of(width))
    large = width_of(pattern.title, TITLE, bold=True) <= width
    column.add(pattern.title, TITLE if large else HEAD, bold=True, after=0.8)
    column.add(whose_words(pattern), size, after=0.8, grey=0.1)
    for words in facts.about_paper:
        column.add(words, size, after=0.8, grey=0.1)
    column.add(about_words(pattern), min(size, 8.0), after=0.0, grey=0.1)
    column.top -= _AFTER
    return block_of(column)


def _shop(facts: Facts, width: float, size: float) -> Block:
    """What the clerk is to heed, in a frame that catches the eye."""
    inside = Column(Bounds(2.5, -10_000.0, width - 2.5, -2.5))
    inside.add(say("band_shop_title"), LARGE, bold=True, after=1.0)
    for number, words in enumerate(facts.shop):
        inside.add(words, size + 1 if number == 0 else size, bold=number == 0, after=0.8)
    bottom = inside.top - 0.7
    frame = rectangle(Bounds(0.2, bottom, width - 0.2, -0.2))
    return Block((*inside.items, Stroke((frame,), HAIR)), -bottom + _AFTER)


def _paragraphs(title: str, texts: Sequence[str], width: float, size: float) -> Block:
    column = Column(frame_of(width))
    if title:
        column.add(title, LARGE, bold=True, after=1.2)
    for text in texts:
        column.add(text, size, after=1.0)
    column.top -= _AFTER - 1.0
    return block_of(column)


def _listing(facts: Facts, width: float, size: float) -> Iterator[Block]:
    """Each piece with its number, how to cut it, and the maker's notes."""
    last = len(facts.pieces) - 1
    for number, entry in enumerate(facts.pieces):
        column = Column(Bounds(_INDENT, -10_000.0, width, 0.0))
        items: list[Item] = []
        if number == 0:
            column.top -= height_of(LARGE)
            items.append(Words(say("band_pieces"), Point(0.0, column.top), LARGE, bold=True))
            column.top -= 2.6
        items += numbered_ring(entry.number, Point(RING, column.top - RING))
        column.top -= RING - height_of(BODY) / 2
        column.add(entry.name, BODY, bold=True, after=0.0)
        for text in entry.cuts:
            column.add(text, BODY, after=0.0)
        for text in entry.notes:
            column.add(text, min(size, 8.0), after=0.0, grey=0.1)
        column.top -= _AFTER if number == last else 1.4
        yield Block((*items, *column.items), -column.top)
