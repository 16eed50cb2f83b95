"""Samples of the pattern's own symbols for the keys: notches, darts, grain, crosses, marks."""

from __future__ import annotations

from collections.abc import Iterator

from tiler.pattern.affine import Affine, Point
from tiler.pattern.model import Mark, Pattern, Role
from tiler.pattern.path import Path, polyline
from tiler.sheets.arrow import arrowhead
from tiler.sheets.drawing import Item, Pen, Stroke
from tiler.sheets.pens import CUT, PENS

#: A wedge stands out from the line, so that its path has two legs; a slit is one line.
_LEGS = 2


def line_sample(left: Point, width: float, pen: Pen) -> list[Item]:
    """A line of a pen, to the right of a point."""
    return [Stroke((polyline([left, Point(left.x + width, left.y)]),), pen)]


def grain_sample(left: Point, width: float, pen: Pen) -> list[Item]:
    """A line with an arrowhead at either end."""
    right = Point(left.x + width, left.y)
    heads = arrowhead(right, (1, 0), 2.6), arrowhead(left, (-1, 0), 2.6)
    return [*line_sample(left, width, pen), *heads]


def notch_sample(
    pattern: Pattern, left: Point, width: float, cut: Pen = CUT, pen: Pen = PENS[Role.NOTCH]
) -> list[Item]:
    """The cut line with a slit, a wedge, or both: what the pattern's notches look like."""
    shapes = {len(mark.path.segments) >= _LEGS for mark in marks_of(pattern, Role.NOTCH)}
    base = left.y - (1.2 if shapes == {True} else -1.2 if shapes == {False} else 0.2)
    ticks: list[Path] = []
    for number, wedge in enumerate(sorted(shapes), start=1):
        x = left.x + width * number / (len(shapes) + 1)
        ticks.append(
            polyline([Point(x - 1.1, base), Point(x, base + 2.2), Point(x + 1.1, base)])
            if wedge
            else polyline([Point(x, base), Point(x, base - 1.9)])
        )
    return [*line_sample(Point(left.x, base), width, cut), Stroke(tuple(ticks), pen)]


def dart_sample(pattern: Pattern, left: Point, width: float, pen: Pen) -> list[Item]:
    """A dart at the edge, one with two tips, or both: what the pattern's darts look like."""
    lines = [line for piece in pattern.pieces for line in piece.lines if line.role is Role.DART]
    shapes = sorted({line.path.closed for line in lines})
    apart = 1.5 if len(shapes) > 1 else 0.0
    each = (width - apart) / max(len(shapes), 1)
    paths = []
    for number, two_tips in enumerate(shapes):
        x, y = left.x + number * (each + apart), left.y
        upper, lower = Point(x, y + 1.2), Point(x, y - 1.2)
        if two_tips:
            upper, lower = (Point(x + each / 2, point.y) for point in (upper, lower))
            points = [Point(x, y), upper, Point(x + each, y), lower]
        else:
            points = [upper, Point(x + each, y), lower]
        paths.append(polyline(points, closed=two_tips))
    return [Stroke(tuple(paths), pen)]


def cross_sample(middle: Point, pen: Pen) -> list[Item]:
    """What pages meet at."""
    (x, y), arm = middle, 1.9
    across = polyline([Point(x - arm, y), Point(x + arm, y)])
    upright = polyline([Point(x, y - arm), Point(x, y + arm)])
    return [Stroke((across, upright), pen)]


def mark_sample(pattern: Pattern, role: Role, middle: Point, most: float, pen: Pen) -> Stroke:
    """The first mark of a role as it is on its piece, or smaller where it is over `most` mm."""
    path = next(marks_of(pattern, role)).path
    bounds = path.bounds
    factor = min(1.0, most / max(bounds.width, bounds.height))
    home = Affine.move(-bounds.centre.x, -bounds.centre.y)
    place = home.then(Affine.scale(factor, factor)).then(Affine.move(*middle))
    return Stroke((path.moved(place),), pen)


def marks_of(pattern: Pattern, role: Role) -> Iterator[Mark]:
    """Every mark of a role, piece by piece."""
    return (mark for piece in pattern.pieces for mark in piece.marks if mark.role is role)
