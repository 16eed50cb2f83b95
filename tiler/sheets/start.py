"""The first page: is the print true to size, and how do the pages go together."""

from __future__ import annotations

from dataclasses import dataclass, field

from tiler.layout.plan import Plan
from tiler.pattern.affine import Point
from tiler.pattern.model import Pattern
from tiler.pattern.path import Bounds, polyline
from tiler.pattern.units import format_inch, format_mm
from tiler.sheets.assembly import draw_map
from tiler.sheets.calibration import INCH, draw_squares
from tiler.sheets.drawing import Item, Stroke, Words
from tiler.sheets.key import draw_key
from tiler.sheets.lettering import (
    BODY,
    LARGE,
    SMALL,
    TITLE,
    height_of,
    leading_of,
    shortened,
    wrapped,
)
from tiler.sheets.pens import HAIR
from tiler.sheets.words import say

#: Room that the squares take with the numbers beside them, millimetres.
SQUARE = INCH + 7.0


@dataclass
class _Column:
    """Lines of text set one below the other."""

    frame: Bounds
    items: list[Item] = field(default_factory=list)
    top: float = 0.0

    def __post_init__(self) -> None:
        self.top = self.frame.top

    def add(self, text: str, size_pt: float, *, bold: bool = False, after: float = 1.6) -> None:
        for line in wrapped(text, size_pt, self.frame.width, bold=bold):
            self.top -= height_of(size_pt)
            at = Point(self.frame.left, self.top)
            self.items.append(Words(line, at, size_pt, bold=bold))
            self.top -= leading_of(size_pt) - height_of(size_pt)
        self.top -= after


def draw_start(pattern: Pattern, plan: Plan) -> list[Item]:
    """Title, calibration squares, map, key and caution, page coordinates."""
    frame = plan.grid.setup.window.grown(-1.0)
    items, top = _title(pattern, plan, frame)
    caution, floor = _caution(frame)
    body = Bounds(frame.left, floor, frame.right, top)
    if body.width > body.height * 1.15:
        left = Bounds(body.left, body.bottom, body.left + SQUARE, body.top)
        right = Bounds(left.right + 8, body.bottom, body.right, body.top)
        squares = Point(left.left, left.top - SQUARE)
        text = Bounds(left.left, left.bottom, left.right, squares.y - 4)
        items += draw_squares(squares) + _scale_words(text).items
        items += _taping(pattern, plan, right)
    else:
        squares = Point(body.left, body.top - SQUARE)
        beside = body.width - SQUARE - 6
        if beside >= 45:
            text = Bounds(body.right - beside, squares.y, body.right, body.top)
            lower = squares.y - 6
        else:
            text = Bounds(body.left, body.bottom, body.right, squares.y - 4)
            lower = _scale_words(text).top - 3
        items += draw_squares(squares) + _scale_words(text).items
        items += _taping(pattern, plan, Bounds(body.left, body.bottom, body.right, lower))
    return items + caution


def _title(pattern: Pattern, plan: Plan, frame: Bounds) -> tuple[list[Item], float]:
    setup = plan.grid.setup
    title = shortened(pattern.title, TITLE, frame.width, bold=True)
    baseline = frame.top - height_of(TITLE)
    items: list[Item] = [Words(title, Point(frame.left, baseline), TITLE, bold=True)]
    facts = [say("start_made", maker=pattern.maker)] if pattern.maker else []
    facts += [say("start_version", version=pattern.version)] if pattern.version else []
    facts.append(say("start_digest", digest=pattern.digest))
    sheet = plan.grid.bounds
    size = (
        f"{sheet.width / 10:.0f} × {sheet.height / 10:.0f} cm "
        f"({format_inch(sheet.width, 1)} × {format_inch(sheet.height, 1)})"
    )
    pages = say("start_sheets", pages=len(plan.cells) + 1, paper=setup.words, size=size)
    top = baseline - 2.5
    for text in (" · ".join(facts), pages):
        for line in wrapped(text, BODY, frame.width):
            top -= height_of(BODY)
            items.append(Words(line, Point(frame.left, top), BODY, grey=0.1))
            top -= leading_of(BODY) - height_of(BODY)
    rule = polyline([Point(frame.left, top - 0.5), Point(frame.right, top - 0.5)])
    items.append(Stroke((rule,), HAIR))
    return items, top - 5.0


def _caution(frame: Bounds) -> tuple[list[Item], float]:
    lines = wrapped(say("caution"), SMALL + 0.5, frame.width)
    items: list[Item] = []
    floor = frame.bottom + leading_of(SMALL + 0.5) * len(lines)
    for number, line in enumerate(lines, start=1):
        at = Point(frame.left, floor - leading_of(SMALL + 0.5) * number + 0.8)
        items.append(Words(line, at, SMALL + 0.5, grey=0.1))
    return items, floor + 3.0


def _scale_words(frame: Bounds) -> _Column:
    column = _Column(frame)
    column.add(say("scale_title"), LARGE, bold=True, after=2.0)
    for key in ("scale_1", "scale_2", "scale_3", "scale_4", "scale_5"):
        column.add(say(key), BODY)
    return column


def _taping(pattern: Pattern, plan: Plan, frame: Bounds) -> list[Item]:
    """Heading and words, then the map with the key beside or below it."""
    single = len(plan.cells) == plan.grid.rows * plan.grid.columns == 1
    head = _Column(frame)
    head.add(say("map_title"), LARGE, bold=True, after=2.0)
    if single:
        head.add(say("map_single"), BODY)
    else:
        head.add(say("map_1"), BODY, after=0.6)
        head.add(say("map_2"), BODY, after=0.6)
        if len(plan.cells) < plan.grid.rows * plan.grid.columns:
            head.add(say("map_blank"), BODY)
    rest = Bounds(frame.left, frame.bottom, frame.right, head.top - 1.5)
    side = 62.0
    key_frame = Bounds(rest.right - side, rest.bottom, rest.right, rest.top)
    key, _ = draw_key(pattern, key_frame, joints=not single)
    area = Bounds(rest.left, rest.bottom, rest.right - side - 6, rest.top)
    return head.items + key + draw_map(plan, area)


def map_size_words(plan: Plan) -> str:
    """The size of the assembled sheet in words."""
    sheet = plan.grid.bounds
    return f"{format_mm(sheet.width, 0)} × {format_mm(sheet.height, 0)}"
