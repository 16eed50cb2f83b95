"""The two long bars of the calibration page, at right angles, and what they should measure."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import polyline
from tiler.pattern.units import MM_PER_INCH
from tiler.sheets.arrow import arrowhead
from tiler.sheets.drawing import Drawing, Group, Item, Pen, Stroke, Use, Words
from tiler.sheets.lettering import (
    BODY,
    HEAD,
    LARGE,
    SMALL,
    height_of,
    leading_of,
    width_of,
    wrapped,
)
from tiler.sheets.marginfinder import reach_of
from tiler.sheets.pens import BAR, FINE
from tiler.sheets.scaleframe import ARM, DEPTH, MARGIN, PITCH_ACROSS, PITCH_UP, ScaleFrame
from tiler.sheets.words import say

#: A line as thin as this has a middle that a rule can find.
_END = Pen(0.15)
#: Half of an end mark.
_REACH = 3.0
#: Lines of words beside a bar.
_LINES = 3
#: The narrowest place for them.
_NARROW = 24.0
#: From a number to the other bar.
_APART = 4.0


@dataclass(frozen=True)
class _Bar:
    """One bar, from the origin to the right before it is placed.

    Args:
        length: Millimetres.
        name: Of its direction.
        place: Where it goes, and which way.
        crossing: Where the other bar crosses it.
        told: From where to where its length may stand in words, along the bar.
        lay: The same for the words on where to lay the rule.
    """

    length: float
    name: str
    place: Affine
    crossing: float
    told: tuple[float, float]
    lay: tuple[float, float]


def draw_long_bars(frame: ScaleFrame) -> list[Item]:
    """Both bars, page coordinates; their lengths stand on their outer side, beside the combs."""
    lengths, left, top = frame.bars, frame.across[0], frame.up[0]
    bottom_comb, _, _, left_comb = frame.combs
    half = reach_of(PITCH_ACROSS)
    across = _Bar(
        lengths[0],
        say("calibration_across"),
        Affine.move(*left),
        DEPTH - left.x,
        told=(bottom_comb + half - left.x, lengths[0]),
        lay=(DEPTH + 4 - left.x, bottom_comb - half - left.x),
    )
    half = reach_of(PITCH_UP)
    clear = ARM + 3
    up = _Bar(
        lengths[1],
        say("calibration_up"),
        # Turned clockwise, its outer side is again below the line as it is read.
        Affine.turn(-90).then(Affine.move(*top)),
        top.y - DEPTH,
        told=(top.y - frame.corners.top + clear, top.y - left_comb - half),
        lay=(top.y - left_comb + half, top.y - frame.corners.bottom - clear),
    )
    return _draw(across) + _draw(up)


def _draw(bar: _Bar) -> list[Item]:
    length, place = bar.length, bar.place
    line = polyline([Point(0, 0), Point(length, 0)]).moved(place)
    ends = tuple(
        polyline([Point(x, -_REACH), Point(x, _REACH)]).moved(place) for x in (0.0, length)
    )
    start, end = place(Point(0, 0)), place(Point(length, 0))
    fact = ("Measure", (abs(end.x - start.x), abs(end.y - start.y)))
    items = [*_ticks(bar), *_length(bar)]
    if bar.lay[1] - bar.lay[0] > _NARROW:
        items += _lay(bar.lay)
    return [
        Group((Stroke((line,), BAR),), furniture=True, facts=(fact,)),
        Group((Stroke(ends, _END),), furniture=True, facts=(fact,)),
        Use(Drawing(Bounds(-1, MARGIN - DEPTH - 1, length + 1, 6), tuple(items)), place),
    ]


def _ticks(bar: _Bar) -> list[Item]:
    """Every 10 mm, with numbers, for a rule that is shorter; and arrows to the end marks."""
    length = bar.length
    ticks = [
        polyline([Point(x, 0), Point(x, 1.4 if x % 50 else 2.0)])
        for x in range(10, int(length), 10)
    ]
    items: list[Item] = [Stroke(tuple(ticks), FINE)]
    for x in range(50, int(length) - 9, 50):
        if abs(x - bar.crossing) > _APART:
            items.append(Words(str(x), Point(x, 2.7), SMALL, anchor="middle", grey=0.2))
    items.append(arrowhead(Point(0.8, _REACH - 0.9), (-1, 0), 3.0))
    items.append(arrowhead(Point(length - 0.8, _REACH - 0.9), (1, 0), 3.0))
    return items


def _length(bar: _Bar) -> list[Item]:
    """What it should measure, in large figures."""
    length, name, room = bar.length, bar.name, bar.told
    mm = say("calibration_mm", mm=f"{length:.0f}")
    inch = say("calibration_inch", inch=f"{length / MM_PER_INCH:.3f}")
    level = MARGIN - DEPTH
    left = room[0] + 4
    upper, lower = level + 9.4 - height_of(HEAD), level + 1
    items: list[Item] = [Words(mm, Point(left, upper), HEAD, bold=True)]
    beside = Point(left + width_of(mm, HEAD, bold=True) + 3, upper)
    if beside.x + width_of(inch, HEAD, bold=True) < room[1]:
        items.append(Words(inch, beside, HEAD, bold=True))
        items.append(Words(name, Point(left, lower), BODY))
    else:
        items.append(Words(inch, Point(left, lower), LARGE, bold=True))
        after = left + width_of(inch, LARGE, bold=True) + 2
        items.append(Words(name, Point(after, lower), SMALL))
    return items


def _lay(room: tuple[float, float]) -> list[Item]:
    """Where to lay the rule, if the lines fit."""
    lines = wrapped(say("calibration_lay"), SMALL, room[1] - room[0] - 4)
    if len(lines) > _LINES:
        return []
    first = -2.2 - height_of(SMALL)
    return [
        Words(line, Point(room[0] + 2, first - number * leading_of(SMALL)), SMALL)
        for number, line in enumerate(lines)
    ]
