"""The head of the first page: title, maker, digest, and how many pages make which sheets."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from tiler.layout.plan import Plan
from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Pattern
from tiler.pattern.path import polyline
from tiler.sheets.column import Column
from tiler.sheets.drawing import Stroke
from tiler.sheets.lettering import BODY, HEAD, SMALL, TITLE, shortened, width_of
from tiler.sheets.mapfit import alone, pages_bounds, size_words, taped
from tiler.sheets.pens import HAIR
from tiler.sheets.words import say

_ABOUT = 8.0


def draw_heading(
    pattern: Pattern, plan: Plan, frame: Bounds, *, about: bool, short: bool = False
) -> Column:
    """Title and facts over a fine line, at the top of a frame.

    Args:
        pattern: What is published.
        plan: Where it lies.
        frame: Where to draw.
        about: Whether there is room for what the maker says of the pattern, and for the cloths.
        short: Whether there is so little room that title and facts have one line each.
    """
    column = Column(frame)
    if short:
        column.add(shortened(pattern.title, HEAD, frame.width, bold=True), HEAD, bold=True, after=0)
        for words in (" · ".join(reversed(_whose(pattern))), next(facts_of(pattern, plan))):
            column.add(shortened(words, SMALL, frame.width), SMALL, after=0, grey=0.1)
        return _ruled(column)
    large = width_of(pattern.title, TITLE, bold=True) <= frame.width
    column.add(pattern.title, TITLE if large else HEAD, bold=True, after=0.5)
    column.add(whose_words(pattern), BODY, after=0, grey=0.1)
    for words in facts_of(pattern, plan):
        column.add(words, BODY, after=0, grey=0.1)
    column.top -= 0.8
    if about:
        column.add(about_words(pattern), _ABOUT, after=0.8, grey=0.1)
    return _ruled(column)


def _ruled(column: Column) -> Column:
    """A fine line under it, and some room."""
    frame = column.frame
    column.top -= 0.4
    rule = polyline([Point(frame.left, column.top), Point(frame.right, column.top)])
    column.items.append(Stroke((rule,), HAIR))
    column.top -= 4.5
    return column


def facts_of(pattern: Pattern, plan: Plan) -> Iterator[str]:
    """How many pages there are, what they are taped to, and what the layout saves."""
    pages, paper = len(plan.cells), plan.grid.setup.words
    sheets, single = taped(plan), alone(plan)
    facts: dict[str, Any] = {"pages": pages, "paper": paper}
    if sheets:
        largest = max((pages_bounds(plan, s) for s in sheets), key=lambda b: b.width * b.height)
        facts |= {"size": size_words(largest), "sheets": len(sheets)}
        words = say("start_sheets" if len(sheets) > 1 else "start_sheet", **facts)
        if single:
            words += say("start_singles" if len(single) > 1 else "start_single", count=len(single))
        yield words
    else:
        yield say("start_alone" if pages > 1 else "start_page", **facts)
    printer = plan.grid.setup.printer
    if printer:
        scales = {"across": printer.across, "up": printer.up}
        told = {key: f"{100 * (scale - 1):+.2f} %" for key, scale in scales.items()}
        yield say("start_printer", printer=printer.name, **told)
    names = [placement.piece.name for placement in plan.placements]
    if len(names) < len(pattern.pieces):
        yield say("start_only", pieces=", ".join(names))
    elif plan.tally:
        bound, naive = plan.tally.bound, plan.tally.naive
        yield say("start_tally" if bound > 1 else "start_tally_one", bound=bound, naive=naive)


def whose_words(pattern: Pattern) -> str:
    """Maker, version and digest in one line."""
    return " · ".join(_whose(pattern))


def _whose(pattern: Pattern) -> list[str]:
    facts = [say("start_made", maker=pattern.maker)] if pattern.maker else []
    facts += [say("start_version", version=pattern.version)] if pattern.version else []
    return [*facts, say("start_digest", digest=pattern.digest)]


def about_words(pattern: Pattern) -> str:
    """What the maker says of the pattern, what it was traced from, and the cloths."""
    texts = [pattern.about.rstrip(". ")] if pattern.about else []
    if pattern.traced_from:
        texts.append(say("start_traced", source=pattern.traced_from))
    texts += [say("start_cloth", cloth=name, about=about) for name, about in pattern.cloths]
    return " · ".join(texts)
