"""The upper part of the first page: title, calibration squares, the words about true size."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

from tiler.layout.plan import Plan
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Pattern
from tiler.sheets.calibration import INCH, METRIC, draw_squares
from tiler.sheets.column import Column
from tiler.sheets.drawing import Group, Item
from tiler.sheets.heading import draw_heading
from tiler.sheets.lettering import BODY, LARGE, SMALL
from tiler.sheets.words import say

#: Room that the squares take with the numbers beside them, millimetres.
SQUARE = INCH + 7.0
#: The words stand beside the squares where they have this much, millimetres.
_BESIDE = 45.0
#: Type sizes of the words about true size, best first.
SIZES = (BODY, 8.0, SMALL + 0.5, SMALL)

#: Title and facts in the width of a frame.
Heading = Callable[[Bounds], Column]


class Opening(NamedTuple):
    """The upper part of a page.

    Args:
        items: What is drawn.
        rest: What it leaves of the frame below it, or to its right.
        side: What is free beside the squares, under the words.
        fits: Whether it all lies within the frame.
    """

    items: list[Item]
    rest: Bounds
    side: Bounds
    fits: bool


def draw_opening(
    pattern: Pattern,
    plan: Plan,
    frame: Bounds,
    code: list[Item],
    *,
    about: bool,
    size_pt: float = BODY,
    smallest: float = SMALL,
    short: bool = False,
) -> Opening:
    """Title, squares and words, as a frame that stands or lies asks for.

    Args:
        pattern: What is published.
        plan: Where it lies.
        frame: Where to draw.
        code: What stands in the middle of the squares, drawn round the origin.
        about: Whether there is room for what the maker says of the pattern.
        size_pt: Largest type size of the words about true size.
        smallest: Smallest type size of them.
        short: Whether title and facts have one line each.
    """
    sizes = [size for size in SIZES if smallest <= size <= size_pt]

    def heading(room: Bounds) -> Column:
        return draw_heading(pattern, plan, room, about=about, short=short)

    draw = _lying if frame.width > frame.height * 1.15 else _standing
    return draw(heading, frame, code, sizes)


def _standing(heading: Heading, frame: Bounds, code: list[Item], sizes: list[float]) -> Opening:
    """Title, then the squares with the words beside or below them; the rest is underneath."""
    head = heading(frame)
    body = head.rest
    squares = Point(body.left, body.top - SQUARE)
    beside = Bounds(body.left + SQUARE + 6, squares.y, body.right, body.top)
    items = head.items + _squares(squares, code)
    if beside.width < _BESIDE:
        below = _scale_words(Bounds(body.left, body.bottom, body.right, squares.y - 5), sizes)
        rest = below.rest._replace(top=below.rest.top - 3)
        nothing = beside._replace(bottom=beside.top)
        return Opening(items + below.items, rest, nothing, below.top >= body.bottom)
    words = _scale_words(beside, sizes)
    rest = Bounds(body.left, body.bottom, body.right, squares.y - 6)
    side = words.rest._replace(top=words.top - 2.5)
    return Opening(items + words.items, rest, side, rest.height >= 0)


def _lying(heading: Heading, frame: Bounds, code: list[Item], sizes: list[float]) -> Opening:
    """The squares at the upper left with the words under them; title and the rest to the right."""
    title = Column(frame._replace(right=frame.left + SQUARE))
    title.add(say("scale_title"), LARGE, bold=True, after=1.0)
    squares = Point(frame.left, title.top - SQUARE)
    right = Bounds(frame.left + SQUARE + 7, frame.bottom, frame.right, frame.top)
    head = heading(right)
    items = title.items + head.items + _squares(squares, code)
    nothing = frame._replace(top=frame.bottom)
    below = Bounds(frame.left, frame.bottom, frame.left + SQUARE, squares.y - 4)
    words = _scale_words(below, sizes, heading=False)
    if words.top >= frame.bottom:
        return Opening(items + words.items, head.rest, nothing, head.top >= frame.bottom)
    words = _scale_words(head.rest, sizes, heading=False)
    rest = words.rest._replace(top=words.top - 3)
    fits = words.top >= frame.bottom and squares.y >= frame.bottom
    return Opening(items + words.items, rest, nothing, fits)


def _squares(at: Point, code: list[Item]) -> list[Item]:
    """The calibration squares with the code in the middle, clear of every line to measure."""
    middle = Affine.move(at.x + METRIC / 2, at.y + METRIC / 2)
    return [*draw_squares(at), Group(tuple(code), at=middle)]


def _scale_words(frame: Bounds, sizes: list[float], *, heading: bool = True) -> Column:
    """The words about true size, in smaller type where the frame is short."""
    columns = [_set_scale_words(frame, size, heading=heading) for size in sizes]
    return next((column for column in columns if column.top >= frame.bottom), columns[-1])


def _set_scale_words(frame: Bounds, size_pt: float, *, heading: bool) -> Column:
    column = Column(frame)
    if heading:
        column.add(say("scale_title"), LARGE, bold=True, after=2.0)
    for key in ("scale_1", "scale_2", "scale_3", "scale_4", "scale_5"):
        column.add(say(key), size_pt, after=size_pt * 0.15)
    return column
