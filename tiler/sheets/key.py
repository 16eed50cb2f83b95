"""What the lines mean: samples of those that this pattern really has."""

from __future__ import annotations

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Lies, Line, Mark, Pattern, Role, Run
from tiler.pattern.path import polyline
from tiler.sheets.arrow import arrowhead
from tiler.sheets.drawing import Item, Pen, Stroke, Words
from tiler.sheets.lettering import BODY, SMALL, height_of, leading_of, wrapped
from tiler.sheets.pens import CROSS, CUT, FOLD, GRAIN, PENS, TRIM, style_pen
from tiler.sheets.stylekeys import cut_keys, key_words
from tiler.sheets.words import say

SAMPLE = 16.0
ROW = 4.5
#: Rows that show a mark as it is on a piece.
_MARKS = {"drill": Role.DRILL, "button": Role.BUTTON, "buttonhole": Role.BUTTONHOLE}


def draw_key(pattern: Pattern, frame: Bounds, joints: bool) -> tuple[list[Item], float]:
    """A heading and a row for each kind of line.

    Args:
        pattern: Whose lines they are.
        frame: Where to draw, from the top; lines that do not fit run below it.
        joints: Whether pages are to be taped at all.

    Returns:
        The items, and the height used.
    """
    top = frame.top - height_of(BODY)
    items: list[Item] = [Words(say("key_title"), Point(frame.left, top), BODY, bold=True)]
    top -= 2.0
    for kind, pen, text in _rows(pattern, joints):
        words = wrapped(text, SMALL + 0.5, frame.width - SAMPLE - 3)
        middle = top - ROW / 2
        if kind in _MARKS:
            at = Point(frame.left + SAMPLE / 2, middle)
            items.append(_mark(pattern, _MARKS[kind], at))
        else:
            items += _sample(kind, pen, frame.left, middle)
        for number, line in enumerate(words):
            down = middle - 0.95 - number * leading_of(SMALL + 0.5)
            items.append(Words(line, Point(frame.left + SAMPLE + 3, down), SMALL + 0.5))
        top -= ROW + (len(words) - 1) * leading_of(SMALL + 0.5)
    return items, frame.top - top


def _rows(pattern: Pattern, joints: bool) -> list[tuple[str, Pen, str]]:
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
        rows.append(("line", TRIM, say("key_trim")))
        rows.append(("cross", CROSS, say("key_cross")))
    return rows


def _mark(pattern: Pattern, role: Role, at: Point) -> Stroke:
    """The first mark of a role of the pattern, as it is on its piece, or smaller if it is large."""
    marks = (mark for piece in pattern.pieces for mark in piece.marks if mark.role is role)
    path = next(marks).path
    bounds = path.bounds
    factor = min(1.0, 0.8 * ROW / max(bounds.width, bounds.height))
    home = Affine.move(-bounds.centre.x, -bounds.centre.y)
    place = home.then(Affine.scale(factor, factor)).then(Affine.move(*at))
    return Stroke((path.moved(place),), PENS[role])


def _sample(kind: str, pen: Pen, left: float, y: float) -> list[Item]:
    right, middle = left + SAMPLE, left + SAMPLE / 2
    line = polyline([Point(left, y), Point(right, y)])
    if kind == "grain":
        ends = (
            arrowhead(Point(right, y), (1, 0), 2.6),
            arrowhead(Point(left, y), (-1, 0), 2.6),
        )
        return [Stroke((line,), pen), *ends]
    if kind == "notch":
        tick = polyline([Point(middle, y + 1.2), Point(middle, y - 1.8)])
        edge = polyline([Point(left, y + 1.2), Point(right, y + 1.2)])
        return [Stroke((edge,), CUT), Stroke((tick,), pen)]
    if kind == "dart":
        legs = polyline([Point(left, y + 1.2), Point(right, y), Point(left, y - 1.2)])
        return [Stroke((legs,), pen)]
    if kind == "cross":
        arm = 1.9
        lines = (
            polyline([Point(middle - arm, y), Point(middle + arm, y)]),
            polyline([Point(middle, y - arm), Point(middle, y + arm)]),
        )
        return [Stroke(lines, pen)]
    return [Stroke((line,), pen)]
