"""The calibration squares: 100 mm and 4 in, nested."""

from __future__ import annotations

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import polyline, rectangle
from tiler.pattern.units import MM_PER_INCH
from tiler.sheets.drawing import Drawing, Group, Item, Pen, Stroke, Use, Words
from tiler.sheets.lettering import BODY, SMALL
from tiler.sheets.pens import FINE

METRIC = 100.0
INCH = 4 * MM_PER_INCH
_LINE = Pen(0.2)


def draw_squares(at: Point) -> list[Item]:
    """Both squares with a common lower left corner at a point of the page."""
    items: list[Item] = []
    for size in (METRIC, INCH):
        square = rectangle(Bounds(at.x, at.y, at.x + size, at.y + size))
        items.append(
            Group((Stroke((square,), _LINE),), furniture=True, facts=(("Measure", (size, size)),))
        )
    items.append(Use(_inside(), Affine.move(*at)))
    return items


def _inside() -> Drawing:
    """Centimetres along two inner sides, inches along the other two, and the sizes in words."""
    ticks = []
    for mm in range(10, 100, 10):
        reach = 2.6 if mm == 50 else 1.6
        ticks.append(polyline([Point(mm, 0), Point(mm, reach)]))
        ticks.append(polyline([Point(0, mm), Point(reach, mm)]))
    for quarter in range(1, 16):
        along = quarter * MM_PER_INCH / 4
        reach = 2.6 if quarter % 4 == 0 else 1.6
        ticks.append(polyline([Point(along, INCH), Point(along, INCH + reach)]))
        ticks.append(polyline([Point(INCH, along), Point(INCH + reach, along)]))
    items: list[Item] = [Stroke(tuple(ticks), FINE)]
    for cm in range(1, 10):
        items.append(Words(str(cm), Point(cm * 10.0, 3.4), SMALL, anchor="middle", grey=0.2))
        items.append(Words(str(cm), Point(3.4, cm * 10.0 - 0.9), SMALL, grey=0.2))
    for inch in range(1, 4):
        along = inch * MM_PER_INCH
        items.append(Words(str(inch), Point(along + 0.8, INCH + 1.9), SMALL, grey=0.2))
        items.append(Words(str(inch), Point(INCH + 1.4, along + 0.8), SMALL, grey=0.2))
    middle = METRIC / 2
    items.append(Words("100 mm", Point(middle, METRIC - 5), BODY, anchor="middle", bold=True))
    items.append(
        Words("4 in", Point(2.5 * MM_PER_INCH, INCH + 3.4), BODY, anchor="middle", bold=True)
    )
    items.append(
        Words("100 mm", Point(METRIC - 3, middle), BODY, anchor="middle", turn=90, bold=True)
    )
    items.append(
        Words(
            "4 in", Point(INCH + 5.6, 2.5 * MM_PER_INCH), BODY, anchor="middle", turn=90, bold=True
        )
    )
    return Drawing(Bounds(-1, -1, INCH + 6.5, INCH + 6.5), tuple(items))
