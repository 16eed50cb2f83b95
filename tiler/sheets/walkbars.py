"""Both sides of a seam as two ruled bars, one above the other, so that a difference is seen."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tiler.drafting.walking.measured import SeamWalk
from tiler.drafting.walking.side import SewnSide
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import polyline, rectangle
from tiler.pattern.units import format_mm
from tiler.sheets.arrow import arrowhead
from tiler.sheets.drawing import Fill, Group, Item, Pen, Stroke, Words
from tiler.sheets.lettering import BODY, SMALL, height_of, shortened

#: Height of a bar, and of the room between the two, millimetres on the picture.
BAR = 7.0
BETWEEN = 9.0
#: Room between the bars of the window.
CLOSE = 4.0
#: Room for the words above and below the bars.
WORDS = 7.0
#: How far notches stand out of a bar, and where words begin beyond them.
OUT, CLEAR = 1.0, 2.4
#: No number of the rule stands nearer to a notch than this.
NUMBER = 3.6
#: Width of the window that shows one place large, and its scale.
WINDOW, LARGE = 60.0, 2.0
#: Places that lie further apart than this are plain to see without the window.
PLAIN = 25.0

_LINE = Pen(0.3)
_TICK = Pen(0.12, grey=0.35)
_NOTCH = Pen(0.7)
_TIE = Pen(0.25, grey=0.3, dash=(1.5, 1.0))
_JOINT = Pen(0.3, grey=0.3)


@dataclass(frozen=True, slots=True)
class Closer:
    """A place to show large.

    Args:
        first: Millimetres along the first side.
        second: Along the second side.
        meets: Where on the second side it ought to be.
    """

    first: float
    second: float
    meets: float

    @property
    def apart(self) -> float:
        """Millimetres between where it is and where it ought to be."""
        return abs(self.second - self.meets)


def draw_walk(
    walk: SeamWalk, width: float, closer: Closer | None = None
) -> tuple[list[Item], float]:
    """The bars, and below them a place in a window, twice true size.

    Args:
        walk: The seam.
        width: Millimetres to fill.
        closer: The place to show large, when there is one to see.

    Returns:
        Items below the point (0, 0), and how far down they reach, in millimetres.
    """
    scale = width / max(*walk.totals, 1.0)
    top = -WORDS
    items = _bars(walk, scale, top) + _heads(walk, width, top)
    bottom = top - 2 * BAR - BETWEEN - WORDS
    if closer is None or not 0.3 < closer.apart <= PLAIN:
        return items, -bottom
    window, height = _window(walk, closer, width)
    items.append(Group(tuple(window), at=Affine.move(0, bottom - 2)))
    return items, -(bottom - 2) + height


def _heads(walk: SeamWalk, width: float, top: float) -> list[Item]:
    items: list[Item] = []
    for which, (side, times, total) in enumerate(
        zip(walk.sides, walk.seam.times, walk.totals, strict=True)
    ):
        name = f"{side}" if times == 1 else f"{times} × {side}"
        length = format_mm(total)
        y = top + CLEAR if which == 0 else top - 2 * BAR - BETWEEN - CLEAR - height_of(BODY)
        items.append(Words(shortened(name, BODY, width - 40, bold=True), Point(0, y), BODY,
                           bold=True))  # fmt: skip
        items.append(Words(length, Point(width, y), BODY, anchor="end", bold=True))
    return items


def _bars(walk: SeamWalk, scale: float, top: float) -> list[Item]:
    lows = top - BAR, top - 2 * BAR - BETWEEN
    items: list[Item] = []
    longest = max(walk.totals)
    shortest = min(walk.totals)
    for side, times, low, up in zip(walk.sides, walk.seam.times, lows, (True, False), strict=True):
        total = side.total * times
        if total > shortest + 0.05:
            # What has no counterpart is dark.
            box = Bounds(shortest * scale, low, total * scale, low + BAR)
            items.append(Fill((rectangle(box),), 0.55))
        items.append(Stroke((rectangle(Bounds(0, low, total * scale, low + BAR)),), _LINE))
        starts = [side.total * turn for turn in range(times)]
        notches = [(start + mark.at) * scale for start in starts for mark in side.marks]
        items += _rule(total, scale, low, notches, up=up)
        for start in starts:
            items += _marks(side, start, scale, low)
    if not walk.whole:
        for pair in walk.pairing.pairs:
            ends = Point(pair.first * scale, lows[0]), Point(pair.second * scale, lows[1] + BAR)
            items.append(Stroke((polyline(ends),), _TIE))
    missing = longest - shortest
    if missing > 0.05:
        x = longest * scale
        middle = (lows[0] + lows[1] + BAR) / 2 - height_of(SMALL) / 2
        words = f"{format_mm(missing)} over"
        items.append(Words(words, Point(x, middle), SMALL, anchor="end", bold=True))
    return items


def _rule(total: float, scale: float, low: float, notches: list[float], *, up: bool) -> list[Item]:
    """Ticks every 10 mm, longer every 50, numbers every 100, all from the seam's start.

    A number that a notch would strike out is left away.
    """
    step = next((each for each in (10, 50, 100, 500) if each * scale >= 1.5), 1000)
    ticks = []
    items: list[Item] = []
    base, way = (low, 1) if up else (low + BAR, -1)
    for at in range(step, math.ceil(total), step):
        reach = 2.6 if at % 100 == 0 else 1.9 if at % 50 == 0 else 1.1
        x = at * scale
        ticks.append(polyline([Point(x, base), Point(x, base + way * reach)]))
        struck = any(abs(x - notch) < NUMBER for notch in notches)
        if at % 100 == 0 and 100 * scale > 9 and not struck:
            y = base + (3.0 if up else -3.0 - height_of(SMALL - 1))
            items.append(Words(str(at), Point(x, y), SMALL - 1, anchor="middle", grey=0.35))
    if ticks:
        items.insert(0, Stroke(tuple(ticks), _TICK))
    return items


def _marks(side: SewnSide, start: float, scale: float, low: float) -> list[Item]:
    items: list[Item] = []
    for joint in side.joints:
        x = (start + joint) * scale
        items.append(Stroke((polyline([Point(x, low), Point(x, low + BAR)]),), _JOINT))
    for mark in side.marks:
        x = (start + mark.at) * scale
        for number in range(mark.count):
            at = x + (number - (mark.count - 1) / 2) * 1.6
            items.append(
                Stroke((polyline([Point(at, low - OUT), Point(at, low + BAR + OUT)]),), _NOTCH)
            )
    for at in (0.0, side.total):
        x = (start + at) * scale
        items.append(Stroke((polyline([Point(x, low), Point(x, low + BAR)]),), _LINE))
    return items


def _window(walk: SeamWalk, closer: Closer, width: float) -> tuple[list[Item], float]:
    """The stretch round one place, large, with a tick for each millimetre.

    The second side is shifted so that the two places that ought to meet lie above one another.
    """
    left, height = (width - WINDOW) / 2, 2 * BAR + CLOSE
    reach = WINDOW / 2 / LARGE
    half = (closer.second - closer.meets) / 2
    lows = closer.first + half - reach, closer.meets + half - reach
    items: list[Item] = []
    for side, low, base, up in zip(walk.sides, lows, (-BAR, -height), (True, False), strict=True):
        items += _large(side, low, left, base, up=up)
    a = left + (closer.first - lows[0]) * LARGE
    b = left + (closer.second - lows[1]) * LARGE
    middle = -BAR - CLOSE / 2
    items.append(Stroke((polyline([Point(a, -BAR), Point(a, -BAR - CLOSE)]),), Pen(0.5)))
    if abs(b - a) > 2.5:
        way = math.copysign(1.0, b - a)
        items += [
            Stroke((polyline([Point(a, middle), Point(b, middle)]),), Pen(0.3)),
            arrowhead(Point(a, middle), (-way, 0.0), 2.0),
            arrowhead(Point(b, middle), (way, 0.0), 2.0),
        ]
    words = f"{format_mm(closer.apart)} apart; twice true size, one tick a millimetre"
    y = -height - 3.0 - height_of(SMALL)
    items.append(Words(words, Point(width / 2, y), SMALL, anchor="middle"))
    return items, -y + 3.0


def _large(side: SewnSide, low: float, left: float, base: float, *, up: bool) -> list[Item]:
    """The part of a bar in the window, from `low` millimetres along the side on."""
    high = low + WINDOW / LARGE
    start, end = max(low, 0.0), min(high, side.total)
    if end <= start:
        return []

    def across(at: float) -> float:
        return left + (at - low) * LARGE

    items: list[Item] = []
    edges = [Point(across(start), base), Point(across(end), base)]
    tops = [Point(across(start), base + BAR), Point(across(end), base + BAR)]
    lines = [polyline(edges), polyline(tops)]
    # Only an end of the seam closes the bar.
    if low <= 0:
        lines.append(polyline([edges[0], tops[0]]))
    if high >= side.total:
        lines.append(polyline([edges[1], tops[1]]))
    items.append(Stroke(tuple(lines), _LINE))
    edge, way = (base, 1) if up else (base + BAR, -1)
    ticks = [
        polyline(
            [
                Point(across(at), edge),
                Point(
                    across(at), edge + way * (3.0 if at % 10 == 0 else 2.2 if at % 5 == 0 else 1.3)
                ),
            ]
        )
        for at in range(math.ceil(start), math.floor(end) + 1)
    ]
    if ticks:
        items.append(Stroke(tuple(ticks), _TICK))
    for mark in side.marks:
        if low <= mark.at <= high:
            line = polyline([Point(across(mark.at), base), Point(across(mark.at), base + BAR)])
            items.append(Stroke((line,), _NOTCH))
    return items
