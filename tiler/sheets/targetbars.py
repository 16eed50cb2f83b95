"""The two bars beside target cards: what they measure in print is how large the cards are."""

from __future__ import annotations

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import polyline
from tiler.pattern.units import MM_PER_INCH
from tiler.sheets.arrow import arrowhead
from tiler.sheets.drawing import Drawing, Group, Item, Pen, Stroke, Use, Words
from tiler.sheets.lettering import BODY, SMALL, height_of, width_of
from tiler.sheets.pens import BAR, FINE
from tiler.sheets.words import say

#: The bars across and up, millimetres: as long as Letter and A4 both allow, and the same on every
#: paper, so that who measures them need not say which paper it was. Who measures the cards instead
#: (180 and 234 mm along the dashed lines) is told, since those are in another proportion.
BARS = (190.0, 240.0)
#: Half of an end mark.
ENDS = 3.0
#: A line as thin as this has a middle that a rule can find.
_END = Pen(0.15)
#: From the bar to the feet of its words, which stand below it (across) or above it (up).
_BELOW, _ABOVE = 3.6, 2.2
#: From the end of a bar to its words, and from one to the other.
_IN, _APART = 6.0, 6.0


def draw_bar(length: float, name: str, place: Affine) -> list[Item]:
    """One bar with its end marks and the words beside it.

    Args:
        length: Millimetres.
        name: across or up.
        place: Where its beginning goes, and which way; before that it runs to the right.
    """
    line = polyline([Point(0, 0), Point(length, 0)]).moved(place)
    ends = tuple(polyline([Point(x, -ENDS), Point(x, ENDS)]).moved(place) for x in (0.0, length))
    start, end = place(Point(0, 0)), place(Point(length, 0))
    fact = ("Measure", (abs(end.x - start.x), abs(end.y - start.y)))
    above = name == "up"
    beside = Drawing(
        Bounds(-1, -ENDS - 3, length + 1, ENDS + 4), tuple(_beside(length, name, above))
    )
    return [
        Group((Stroke((line,), BAR),), furniture=True, facts=(fact,)),
        Group((Stroke(ends, _END),), furniture=True, facts=(fact,)),
        Use(beside, place),
    ]


def _beside(length: float, name: str, above: bool) -> list[Item]:
    """Ticks every 10 mm for a rule that is shorter, arrows to the end marks, and the words."""
    side = -1.0 if above else 1.0
    ticks = [
        polyline([Point(x, 0), Point(x, side * (1.2 if x % 50 else 2.0))])
        for x in range(10, int(length), 10)
    ]
    told = say(
        "targets_bar",
        name=say(f"targets_{name}"),
        mm=f"{length:.0f}",
        inch=f"{length / MM_PER_INCH:.3f}",
    )
    foot = _ABOVE if above else -_BELOW
    foot -= 0.0 if above else height_of(BODY) - height_of(SMALL)
    after = _IN + width_of(told, BODY, bold=True) + _APART
    return [
        Stroke(tuple(ticks), FINE),
        arrowhead(Point(0.8, side * (ENDS - 0.9)), (-1, 0), 3.0),
        arrowhead(Point(length - 0.8, side * (ENDS - 0.9)), (1, 0), 3.0),
        Words(told, Point(_IN, foot), BODY, bold=True),
        Words(say("targets_measured"), Point(after, foot), BODY),
    ]
