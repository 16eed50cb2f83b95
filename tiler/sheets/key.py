"""What the lines mean: samples of those that this pattern really has."""

from __future__ import annotations

import math

from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Lies, Line, Mark, Pattern, Role, Run
from tiler.sheets.drawing import Item, Pen, Words
from tiler.sheets.lettering import BODY, height_of, leading_of, wrapped
from tiler.sheets.pens import CROSS, CUT, FOLD, GRAIN, PENS, TRIM, style_pen
from tiler.sheets.samples import (
    cross_sample,
    dart_sample,
    grain_sample,
    line_sample,
    mark_sample,
    notch_sample,
)
from tiler.sheets.stylekeys import cut_keys, key_words
from tiler.sheets.ways import Way
from tiler.sheets.words import say

#: Length of a sample, which shows the dashes of two styles; and height of a row, millimetres.
SAMPLE = 20.0
ROW = 4.4
_GUTTER = 5.0
#: Type sizes of the rows and of the heading.
SIZE, HEADING = 8.0, BODY + 1
#: Rows that show a mark as it is on a piece.
_MARKS = {"drill": Role.DRILL, "button": Role.BUTTON, "buttonhole": Role.BUTTONHOLE}


def draw_key(
    pattern: Pattern, frame: Bounds, joints: bool, columns: int = 1, way: Way = Way.OVERLAP
) -> tuple[list[Item], float]:
    """A heading and a row for each kind of line.

    Args:
        pattern: Whose lines they are.
        frame: Where to draw, from the top; lines that do not fit run below it.
        joints: Whether pages are to be taped at all.
        columns: Into how many the rows are dealt.
        way: How the pages are joined.

    Returns:
        The items, and the height used.
    """
    top = frame.top - height_of(HEADING)
    items: list[Item] = [Words(say("key_title"), Point(frame.left, top), HEADING, bold=True)]
    top -= 2.0
    width = (frame.width - (columns - 1) * _GUTTER) / columns
    rows = [
        (kind, pen, wrapped(text, SIZE, width - SAMPLE - 3))
        for kind, pen, text in _rows(pattern, joints, way)
    ]
    heights = [ROW + (len(words) - 1) * leading_of(SIZE) for _, _, words in rows]
    tall = _balanced(heights, columns)
    left, down = frame.left, 0.0
    for (kind, pen, words), height in zip(rows, heights, strict=True):
        if down and down + height > tall + 0.01:
            left, down = left + width + _GUTTER, 0.0
        middle = top - down - ROW / 2
        items += _sample(pattern, kind, pen, Point(left, middle))
        for number, line in enumerate(words):
            base = middle - height_of(SIZE) / 2 - number * leading_of(SIZE)
            items.append(Words(line, Point(left + SAMPLE + 3, base), SIZE))
        down += height
    return items, frame.top - top + tall


def _balanced(heights: list[float], columns: int) -> float:
    """The least height of columns into which rows are dealt in order."""
    ends = [
        sum(heights[start:end])
        for start in range(len(heights))
        for end in range(start + 1, len(heights) + 1)
    ]
    return next(tall for tall in sorted(ends) if _columns(heights, tall) <= columns)


def _columns(heights: list[float], tall: float) -> float:
    """How many columns of a height rows take when dealt in order."""
    used, down = 1, 0.0
    for height in heights:
        if height > tall + 0.01:
            return math.inf
        if down and down + height > tall + 0.01:
            used, down = used + 1, 0.0
        down += height
    return used


def _rows(pattern: Pattern, joints: bool, way: Way) -> list[tuple[str, Pen, str]]:
    pieces = pattern.pieces
    things: list[Run | Line | Mark] = []
    for piece in pieces:
        things += [*piece.runs, *piece.lines, *piece.marks]
    roles = {thing.role for thing in things if not (thing.style and thing.role is Role.CUT)}
    lies = {edge.lies for p in pieces for outline in p.outlines for edge in outline.edges}
    rows: list[tuple[str, Pen, str]] = []
    if Role.CUT in roles:
        rows.append(("line", CUT, say("key_cut")))
    order = tuple(name for name, _ in pattern.styles)
    for key in cut_keys(pattern):
        rows.append(("line", style_pen(CUT, order, key), key_words(key)))
    sewn = [thing.style for thing in things if thing.role is Role.STITCH and thing.style]
    if sewn:
        pen = style_pen(PENS[Role.STITCH], order, sewn[0])
        rows.append(("line", pen, say("key_stitch_style")))
    if Role.STITCH in roles:
        rows.append(("line", PENS[Role.STITCH], say("key_stitch")))
    if Lies.FOLD in lies:
        rows.append(("line", FOLD, say("key_fold_edge")))
    if Role.FOLD in roles:
        rows.append(("line", PENS[Role.FOLD], say("key_fold")))
    if any(piece.grain for piece in pieces):
        rows.append(("grain", GRAIN, say("key_grain")))
    if Role.NOTCH in roles:
        rows.append(("notch", PENS[Role.NOTCH], say("key_notch")))
    if Role.DART in roles:
        rows.append(("dart", PENS[Role.DART], say("key_dart")))
    if Role.DRILL in roles:
        rows.append(("drill", PENS[Role.DRILL], say("key_drill")))
    if Role.BUTTON in roles:
        rows.append(("button", PENS[Role.BUTTON], say("key_button")))
    if Role.BUTTONHOLE in roles:
        rows.append(("buttonhole", PENS[Role.BUTTONHOLE], say("key_buttonhole")))
    if Role.POCKET in roles:
        rows.append(("line", PENS[Role.POCKET], say("key_pocket")))
    if Role.INSIDE in roles:
        rows.append(("line", PENS[Role.INSIDE], say("key_inside")))
    if joints:
        if way.trims_over:
            rows.append(("line", TRIM, say("key_trim")))
        rows.append(("cross", CROSS, say("key_cross")))
    return rows


def _sample(pattern: Pattern, kind: str, pen: Pen, left: Point) -> list[Item]:
    middle = Point(left.x + SAMPLE / 2, left.y)
    if kind in _MARKS:
        return [mark_sample(pattern, _MARKS[kind], middle, 0.8 * ROW, pen)]
    if kind == "grain":
        return grain_sample(left, SAMPLE, pen)
    if kind == "notch":
        return notch_sample(pattern, left, SAMPLE)
    if kind == "dart":
        return dart_sample(pattern, left, SAMPLE, pen)
    if kind == "cross":
        return cross_sample(middle, pen)
    return line_sample(left, SAMPLE, pen)
