"""Four crosses at the corners of a large rectangle, whose diagonals tell whether a print leans."""

from __future__ import annotations

import math

from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import Path, polyline
from tiler.sheets.drawing import Group, Item, Stroke, Words
from tiler.sheets.lettering import BODY, height_of
from tiler.sheets.pens import CROSS
from tiler.sheets.scaleframe import ARM

#: From the middle of a cross to its letter, along the paper and up or down.
_ASIDE, _OFF = 1.8, 0.9


def diagonal_of(corners: Bounds) -> float:
    """The nominal length of both diagonals, millimetres."""
    return math.hypot(corners.width, corners.height)


def lean_of(corners: Bounds) -> float:
    """Degrees by which a print leans for each millimetre between the diagonals.

    A rectangle w by h whose sides meet at 90° - t has diagonals with d1² - d2² = 4 w h sin t
    (law of cosines, twice). With d1 + d2 = 2 d, near enough for a small t, the difference of the
    diagonals is 2 w h sin t / d.
    """
    sine = diagonal_of(corners) / (2 * corners.width * corners.height)
    return math.degrees(math.asin(sine))


def draw_diagonals(corners: Bounds) -> list[Item]:
    """Crosses A to D from the lower left anticlockwise; each diagonal is one measure."""
    a, b, c, d = corners.corners()
    size = (corners.width, corners.height)
    items: list[Item] = [
        Group(
            (Stroke((*_cross(start), *_cross(end)), CROSS),),
            furniture=True,
            facts=(("Measure", size),),
        )
        for start, end in ((a, c), (b, d))
    ]
    for letter, corner in (("A", a), ("B", b), ("C", c), ("D", d)):
        # Between two arms: outwards of the upright one, on the inner side of the other.
        side = -1 if corner.x == corners.left else 1
        level = corner.y + _OFF if corner.y == corners.bottom else corner.y - _OFF - height_of(BODY)
        at = Point(corner.x + side * _ASIDE, level)
        items.append(Words(letter, at, BODY, anchor="middle", bold=True))
    return items


def _cross(middle: Point) -> tuple[Path, Path]:
    (x, y) = middle
    return (
        polyline([Point(x - ARM, y), Point(x + ARM, y)]),
        polyline([Point(x, y - ARM), Point(x, y + ARM)]),
    )
