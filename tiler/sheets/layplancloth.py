"""The cloth of a lay plan: its edges, its fold, its check, and a rule along each side.

Coordinates are those of a row: millimetres of the picture from where the row begins, up from the
lower edge of the cloth.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from tiler.layout.cloth.model import Cloth, LayPlan, Spread
from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import polyline, rectangle
from tiler.pattern.units import MM_PER_INCH
from tiler.sheets.arrow import arrowhead
from tiler.sheets.drawing import Fill, Item, Pen, Stroke, Words
from tiler.sheets.layplanrows import LEFT, Row
from tiler.sheets.layplanwords import centimetres, inches, spread_words
from tiler.sheets.lettering import SMALL, height_of, width_of
from tiler.sheets.pens import FINE
from tiler.sheets.words import say

#: The cloth is grey, so that the pieces on it are the paper's white.
TINT = 0.88
EDGE, FOLD = Pen(0.5), Pen(0.7, dash=(7.0, 1.6, 1.0, 1.6))
CHECK = Pen(0.15, grey=0.35, dash=(0.8, 0.8))
_FREE = Pen(0.15, grey=0.4, dash=(0.3, 1.0))
_TICK = Pen(0.15)
#: Millimetres of cloth between two ticks and between two numbers, the first pair whose numbers have
#: room.
_CM = ((100.0, 100.0), (100.0, 200.0), (100.0, 500.0), (500.0, 1000.0))
_INCH = tuple((6 * MM_PER_INCH, inches * MM_PER_INCH) for inches in (6, 12, 36, 72))
#: Millimetres of the picture between two numbers, and the least between two lines of a check.
_NUMBERS, _LINES = 15.0, 1.5
#: Size of what stands over a row, and how high over the cloth, millimetres.
_HEAD, _ABOVE = SMALL + 1.0, 6.0
_ZIGZAG = 1.2


def draw_cloth(
    row: Row, plan: LayPlan, scale: int, nap: float, language: str, room: float
) -> list[Item]:
    """All of a row but its pieces.

    Args:
        row: A stretch of the length.
        plan: What it is a row of.
        scale: 1 : `scale`.
        nap: 1 when the tops of the pieces lie to the right, -1 to the left, 0 when there is no nap.
        language: Of the words.
        room: How far words over the row may reach to the right.
    """
    cloth = plan.cloth
    box = Bounds(0.0, 0.0, (row.end - row.start) / scale, row.tall / scale)
    items: list[Item] = [Fill((rectangle(box),), TINT)]
    items += _check(row, cloth, scale, box)
    items += _edges(row, cloth, scale, box)
    items += _rule(row, scale, box, _CM, 10.0, "lay_cm", language)
    items += _rule(row, scale, box, _INCH, MM_PER_INCH, "lay_inch", language)
    items += _sides(row, box, language)
    items += _head(row, plan, box, nap, language, room)
    return items


def lines_apart(repeat: tuple[float, float], scale: int) -> int:
    """Every how many repeats a line of the check is drawn, the same along and across.

    Args:
        repeat: Along and across, not both 0, millimetres of cloth.
        scale: 1 : `scale`.
    """
    return max(math.ceil(_LINES * scale / length - 1e-9) for length in repeat if length)


def _check(row: Row, cloth: Cloth, scale: int, box: Bounds) -> Iterator[Item]:
    if not any(cloth.repeat):
        return
    times = lines_apart(cloth.repeat, scale)
    along, across = (length * times for length in cloth.repeat)
    lines = []
    if along:
        first = math.floor(row.start / along) + 1
        for number in range(first, math.ceil(row.end / along)):
            x = (number * along - row.start) / scale
            lines.append(polyline([Point(x, box.bottom), Point(x, box.top)]))
    if across:
        for number in range(1, math.ceil(row.tall / across)):
            y = number * across / scale
            lines.append(polyline([Point(box.left, y), Point(box.right, y)]))
    yield Stroke(tuple(lines), CHECK)


def _edges(row: Row, cloth: Cloth, scale: int, box: Bounds) -> Iterator[Item]:
    left, bottom, right, top = box
    free = cloth.selvedge / scale
    folded = row.part.spread is Spread.FOLDED
    inner = [top - free] if folded else [top - free, bottom + free]
    yield Stroke(tuple(polyline([Point(left, y), Point(right, y)]) for y in inner), _FREE)
    yield Stroke((polyline([Point(left, top), Point(right, top)]),), EDGE)
    yield Stroke((polyline([Point(left, bottom), Point(right, bottom)]),), FOLD if folded else EDGE)
    for x, whole in ((left, row.begins), (right, row.ends)):
        ends = [Point(x, bottom), Point(x, top)]
        yield Stroke((polyline(ends if whole else _zigzag(*ends)),), EDGE if whole else FINE)


def _zigzag(low: Point, high: Point) -> list[Point]:
    """Up along a line where the cloth goes on in another row."""
    steps = max(2, 2 * round((high.y - low.y) / (4 * _ZIGZAG)))
    heights = [low.y + (high.y - low.y) * step / steps for step in range(steps + 1)]
    return [Point(low.x + _ZIGZAG * (n % 2), y) for n, y in enumerate(heights)]


def _rule(
    row: Row,
    scale: int,
    box: Bounds,
    steps: tuple[tuple[float, float], ...],
    unit: float,
    key: str,
    language: str,
) -> Iterator[Item]:
    """Ticks and numbers along a side: centimetres below, inches above."""
    tick, number = next((s for s in steps if s[1] / scale >= _NUMBERS), steps[-1])
    side, out = (box.bottom, -1.0) if unit == 10.0 else (box.top, 1.0)
    ticks = []
    for index in range(math.ceil(row.start / tick - 1e-9), math.floor(row.end / tick + 1e-9) + 1):
        x = (index * tick - row.start) / scale
        told = abs(math.remainder(index * tick, number)) < 1e-6
        reach = side + out * (1.6 if told else 0.9)
        ticks.append(polyline([Point(x, side), Point(x, reach)]))
        # A number at the very end of a row would stick out of the frame.
        half = width_of(say(key, language, number=9999), SMALL) / 2
        if told and x + half <= box.right + half / 2:
            baseline = reach - 0.5 - height_of(SMALL) if out < 0 else reach + 0.5
            text = say(key, language, number=f"{index * tick / unit:.0f}")
            yield Words(text, Point(x, baseline), SMALL, "middle")
    if ticks:
        yield Stroke(tuple(ticks), _TICK)


def _sides(row: Row, box: Bounds, language: str) -> Iterator[Item]:
    """What the edges are called, and how wide the cloth lies, left of the row."""
    folded = row.part.spread is Spread.FOLDED
    high = height_of(SMALL)
    x = box.left - 1.2
    upper = say("lay_selvedges" if folded else "lay_selvedge", language)
    lower = say("lay_fold" if folded else "lay_selvedge", language)
    yield Words(upper, Point(x, box.top - high), SMALL, "end")
    yield Words(lower, Point(x, box.bottom), SMALL, "end", bold=folded)
    cm = say("lay_cm", language, number=centimetres(row.tall, language))
    wide = say("lay_width", language, metric=cm, inch=inches(row.tall, language))
    room = box.height - 2 * (high + 1.0)
    middle = Point(x - 1.0, box.centre.y)
    if width_of(wide, SMALL) <= room:
        yield Words(wide, middle, SMALL, "middle", 90.0)
    elif width_of(cm, SMALL) <= room:
        yield Words(cm, middle, SMALL, "middle", 90.0)


def _head(
    row: Row, plan: LayPlan, box: Bounds, nap: float, language: str, reach: float
) -> Iterator[Item]:
    """How many layers lie there, and which way the nap runs."""
    arrow = _nap(box, nap, language) if nap and box.width >= 2 * LEFT else []
    room = box.width - 8.0 if arrow else LEFT + max(reach, box.width)
    at = Point(-LEFT, box.top + _ABOVE)
    for short in (False, True):
        words = spread_words(row.part, plan, language, short=short)
        text = words if row.begins else say("lay_goes_on", language, what=words)
        if width_of(text, _HEAD, bold=True) <= room:
            break
    yield Words(text, at, _HEAD, bold=True)
    yield from arrow


def _nap(box: Bounds, nap: float, language: str) -> list[Item]:
    word = say("lay_nap", language)
    y, right = box.top + _ABOVE + height_of(_HEAD) / 2, box.right
    ends = [Point(right - 12.0, y), Point(right, y)]
    tail, tip = ends if nap > 0 else ends[::-1]
    return [
        Words(word, Point(right - 13.5, box.top + _ABOVE), _HEAD, "end", bold=True),
        Stroke((polyline([tail, tip]),), EDGE),
        arrowhead(tip, (1.0 if nap > 0 else -1.0, 0.0), 3.0),
    ]
