"""A small picture of each sign, as the sheets show it."""

from __future__ import annotations

from collections.abc import Callable

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Line, Pattern, Role, Run
from tiler.pattern.path import polyline, rectangle
from tiler.sheets.arrow import arrowhead
from tiler.sheets.calibration import INCH, METRIC
from tiler.sheets.drawing import Drawing, Fill, Item, Pen, Stroke, Words
from tiler.sheets.notes.signs import Kind
from tiler.sheets.pens import BAR, CROSS, CUT, FINE, FOLD, GLUE_TINT, GRAIN, HAIR, PENS, TICK, TRIM
from tiler.sheets.pens import style_pen as styled
from tiler.sheets.samples import cross_sample, grain_sample, line_sample, marks_of
from tiler.sheets.ticks import Ticks, ticks

#: Width and height of every picture, millimetres.
WIDE, HIGH = 26.0, 9.0
_LEFT, _RIGHT, _MIDDLE = 1.5, WIDE - 1.5, Point(WIDE / 2, HIGH / 2)
#: How large a mark of a piece is shown at most, millimetres.
_MARK = 6.5
_PAPER = Pen(0.2, grey=0.4)
#: Where the picture of a code has dark cells beside its finder marks.
_CELLS = (
    *((9, 1), (12, 3), (15, 0), (18, 2), (10, 6), (13, 8), (17, 6), (19, 9), (8, 9)),
    *((2, 10), (5, 11), (10, 12), (11, 17), (9, 19), (16, 11), (14, 4), (8, 15), (19, 4)),
)


def specimen(kind: Kind, pattern: Pattern, style: str = "") -> Drawing:
    """The picture of a sign.

    Args:
        kind: Which.
        pattern: The one with it.
        style: The style key, for the cut line of a style.
    """
    items = _DRAWN[kind](pattern, style)
    return Drawing(Bounds(0.0, 0.0, WIDE, HIGH), tuple(items))


_Draw = Callable[[Pattern, str], list[Item]]


def _line(pen: Pen) -> _Draw:
    return lambda pattern, style: _level(pen)


def _level(pen: Pen, height: float = HIGH / 2) -> list[Item]:
    return line_sample(Point(_LEFT, height), _RIGHT - _LEFT, pen)


def _order(pattern: Pattern) -> tuple[str, ...]:
    return tuple(name for name, _ in pattern.styles)


def _cut_style(pattern: Pattern, style: str) -> list[Item]:
    return _level(styled(CUT, _order(pattern), style))


def _stitch_style(pattern: Pattern, style: str) -> list[Item]:
    things: list[Run | Line] = []
    for piece in pattern.pieces:
        things += [*piece.runs, *piece.lines]
    own = next(t.style for t in things if t.role is Role.STITCH and t.style)
    return _level(styled(PENS[Role.STITCH], _order(pattern), own))


def _bracket(pattern: Pattern, style: str) -> list[Item]:
    """The two arrows that point at the fold, and the line that joins them."""
    fold, deep = 1.5, 6.0
    ends = Point(5.0, fold), Point(WIDE - 5.0, fold)
    inner = [Point(5.0, fold + 1), Point(5.0, deep), Point(WIDE - 5.0, deep)]
    line = polyline([*inner, Point(WIDE - 5.0, fold + 1)])
    heads = [arrowhead(Point(end.x, fold + 0.4), (0.0, -1.0), 2.6) for end in ends]
    return [*_level(FOLD, fold), Stroke((line,), FINE), *heads]


def _grain(pattern: Pattern, style: str) -> list[Item]:
    return grain_sample(Point(_LEFT, HIGH / 2), _RIGHT - _LEFT, GRAIN)


def _slits(*places: float) -> _Draw:
    def draw(pattern: Pattern, style: str) -> list[Item]:
        top = HIGH - 2.5
        cuts = tuple(polyline([Point(x, top), Point(x, top - 4.0)]) for x in places)
        return [*_level(CUT, top), Stroke(cuts, PENS[Role.NOTCH])]

    return draw


def _double(pattern: Pattern, style: str) -> list[Item]:
    marks = list(marks_of(pattern, Role.NOTCH))
    wedges = all(len(mark.path.segments) > 1 for mark in marks)
    places = (WIDE / 2 - 4.0, WIDE / 2 + 4.0)
    return _wedges(*places)(pattern, style) if wedges else _slits(*places)(pattern, style)


def _wedges(*places: float) -> _Draw:
    def draw(pattern: Pattern, style: str) -> list[Item]:
        base = 2.2
        points = tuple(
            polyline([Point(x - 2.5, base), Point(x, base + 5.0), Point(x + 2.5, base)])
            for x in places
        )
        return [*_level(CUT, base), Stroke(points, PENS[Role.NOTCH])]

    return draw


def _dart(pattern: Pattern, style: str) -> list[Item]:
    legs = [Point(_LEFT, HIGH - 1.5), Point(_RIGHT - 3, HIGH / 2), Point(_LEFT, 1.5)]
    return [Stroke((polyline(legs),), PENS[Role.DART])]


def _fisheye(pattern: Pattern, style: str) -> list[Item]:
    x, y = _MIDDLE
    ring = [Point(_LEFT, y), Point(x, y + 2.2), Point(_RIGHT, y), Point(x, y - 2.2)]
    return [Stroke((polyline(ring, closed=True),), PENS[Role.DART])]


def _mark(role: Role) -> _Draw:
    def draw(pattern: Pattern, style: str) -> list[Item]:
        path = next(marks_of(pattern, role)).path
        bounds = path.bounds
        turn = Affine.turn(90 if bounds.height > bounds.width * 1.2 else 0)
        size = max(bounds.width, bounds.height)
        most = _MARK if role is not Role.BUTTONHOLE else WIDE - 8
        factor = min(1.0, most / size)
        home = Affine.move(-bounds.centre.x, -bounds.centre.y).then(turn)
        place = home.then(Affine.scale(factor, factor)).then(Affine.move(*_MIDDLE))
        return [Stroke((path.moved(place),), PENS[role])]

    return draw


def _squares(pattern: Pattern, style: str) -> list[Item]:
    factor = (HIGH - 2.4) / INCH
    left = (WIDE - INCH * factor) / 2
    boxes = [
        rectangle(Bounds(left, 1.2, left + side * factor, 1.2 + side * factor))
        for side in (METRIC - 3.0, INCH)
    ]
    return [Stroke(tuple(boxes), Pen(0.2))]


def _code(pattern: Pattern, style: str) -> list[Item]:
    """The three finder marks by which a code is known (ISO/IEC 18004), and some cells."""
    module, left, low = 0.32, (WIDE - 21 * 0.32) / 2, (HIGH - 21 * 0.32) / 2

    def box(column: float, row: float, side: float, high: float = 0.0) -> Bounds:
        x, y = left + column * module, low + row * module
        return Bounds(x, y, x + side * module, y + (high or side) * module)

    items: list[Item] = []
    for column, row in ((0, 0), (0, 14), (14, 14)):
        items.append(Fill((rectangle(box(column, row, 7)),), 0.0))
        items.append(Fill((rectangle(box(column + 1, row + 1, 5)),), 1.0))
        items.append(Fill((rectangle(box(column + 2, row + 2, 3)),), 0.0))
    items.append(Fill(tuple(rectangle(box(column, row, 2, 1)) for column, row in _CELLS), 0.0))
    return items


def _map(pattern: Pattern, style: str) -> list[Item]:
    """Pages in rows, and an arrow beside them."""
    wide, high, left = 4.2, 3.2, 9.5
    cells = [
        rectangle(
            Bounds(left + c * wide, 1.2 + r * high, left + (c + 1) * wide, 1.2 + (r + 1) * high)
        )
        for r in range(2)
        for c in range(3)
    ]
    arrow = polyline([Point(3.0, 2.8), Point(6.0, 2.8)])
    return [
        Stroke(tuple(cells), _PAPER),
        Stroke((arrow,), FINE),
        arrowhead(Point(7.4, 2.8), (1.0, 0.0), 1.8),
        Words("1", Point(2.2, 2.0), 7.0, anchor="end", bold=True),
    ]


def _bar(pattern: Pattern, style: str) -> list[Item]:
    base, ends = 2.2, (_LEFT, _RIGHT)
    line = polyline([Point(_LEFT, base), Point(_RIGHT, base)])
    step = (_RIGHT - _LEFT) / 10
    long = [polyline([Point(x, base), Point(x, base + 3.0)]) for x in ends]
    short = [
        polyline([Point(_LEFT + n * step, base), Point(_LEFT + n * step, base + 1.2)])
        for n in range(1, 10)
    ]
    return [Stroke((line,), BAR), Stroke((*long, *short), FINE)]


def _tag(pattern: Pattern, style: str) -> list[Item]:
    boxes = [
        rectangle(Bounds(15.0 + c * 2.2, 1.6 + r * 3.0, 17.2 + c * 2.2, 4.6 + r * 3.0))
        for r in range(2)
        for c in range(3)
    ]
    return [
        Words("B2", Point(3.5, 2.2), 16.0, bold=True, grey=0.35),
        Fill((boxes[1],), 0.4),
        Stroke(tuple(boxes), Pen(0.1, grey=0.4)),
    ]


def _edge(pattern: Pattern, style: str) -> list[Item]:
    return _level(HAIR)


def _band(pattern: Pattern, style: str) -> list[Item]:
    return [
        Fill((rectangle(Bounds(_LEFT, 1.5, _RIGHT, HIGH - 2.5)),), GLUE_TINT - 0.05),
        *_level(HAIR, HIGH - 2.5),
    ]


def _cross(pattern: Pattern, style: str) -> list[Item]:
    return cross_sample(_MIDDLE, CROSS)


def _ticks(pattern: Pattern, style: str) -> list[Item]:
    """The ticks of both pages where a joint closes right; straight ones, then slanted ones."""
    items: list[Item] = []
    for kind, middle in ((Ticks.STRAIGHT, 7.0), (Ticks.SLANTED, 18.5)):
        at = Affine.scale(0.8, 0.8).then(Affine.move(middle, HIGH / 2))
        paths = (*ticks(kind, over=False), *ticks(kind, over=True))
        items.append(Stroke(tuple(path.moved(at) for path in paths), TICK))
    return [*items, *_level(HAIR)]


_DRAWN: dict[Kind, _Draw] = {
    Kind.CUT: _line(CUT),
    Kind.CUT_STYLE: _cut_style,
    Kind.STITCH: _line(PENS[Role.STITCH]),
    Kind.STITCH_STYLE: _stitch_style,
    Kind.FOLD_EDGE: _line(FOLD),
    Kind.FOLD_BRACKET: _bracket,
    Kind.FOLD: _line(PENS[Role.FOLD]),
    Kind.GRAIN: _grain,
    Kind.SLIT: _slits(WIDE / 2),
    Kind.WEDGE: _wedges(WIDE / 2),
    Kind.DOUBLE: _double,
    Kind.DART: _dart,
    Kind.FISHEYE: _fisheye,
    Kind.DRILL: _mark(Role.DRILL),
    Kind.BUTTON: _mark(Role.BUTTON),
    Kind.BUTTONHOLE: _mark(Role.BUTTONHOLE),
    Kind.POCKET: _line(PENS[Role.POCKET]),
    Kind.INSIDE: _line(PENS[Role.INSIDE]),
    Kind.SQUARES: _squares,
    Kind.CODE: _code,
    Kind.MAP: _map,
    Kind.BAR: _bar,
    Kind.TAG: _tag,
    Kind.TRIM: _line(TRIM),
    Kind.EDGE: _edge,
    Kind.BAND: _band,
    Kind.CROSS: _cross,
    Kind.TICKS: _ticks,
}
