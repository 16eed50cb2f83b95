"""What helps to lay the cloth and to trust the size: crosses, squares, the corners of the frame."""

from __future__ import annotations

from collections.abc import Iterable

import shapely
from shapely.geometry.base import BaseGeometry

from tiler.layout.mats.crosses import REACH, Cross
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import circle, polyline, rectangle
from tiler.sheets.calibration import INCH, METRIC
from tiler.sheets.drawing import Group, Item, Stroke, Words
from tiler.sheets.lettering import width_of
from tiler.sheets.places import boxes_in
from tiler.sheets.projectedpens import READ, Brush, size_of
from tiler.sheets.room import Room
from tiler.sheets.words import say

#: Half the extent of a cross and the radius of its ring, mm.
ARM, RING = 11.0, 6.0
#: From the arms of a cross to its letter, and the free cloth that is enough round it, mm.
_LETTER, _FREE = 4.5, 3.5
#: How long the two strokes of a corner of the frame are, mm.
CORNER = 25.0
#: Between the two squares, and round them, mm.
_APART = 12.0


def draw_cross(
    cross: Cross, at: Affine, brush: Brush, lines: BaseGeometry, *, ringed: bool
) -> list[Item]:
    """A cross with its letter; ringed where a mark of the cloth is to be laid on it.

    Args:
        cross: On the cloth.
        at: From the cloth to the mat.
        brush: The pens.
        lines: All lines of the pieces, on the mat: the letter stands where none runs.
        ringed: Whether the mark is there already.
    """
    middle = at(cross.at)
    x, y = middle
    arms = (
        polyline([Point(x - ARM, y), Point(x + ARM, y)]),
        polyline([Point(x, y - ARM), Point(x, y + ARM)]),
    )
    items: list[Item] = [Stroke(arms, brush.fine)]
    if ringed:
        items.append(Stroke((circle(middle, RING),), brush.fine))
    items.append(_letter(cross.letter, middle, lines))
    return items


def _letter(letter: str, middle: Point, lines: BaseGeometry) -> Words:
    """The letter in the quarter of its cross that is farthest from all lines."""
    size = size_of(READ)
    wide, near = width_of(letter, size, bold=True), _LETTER
    tried = []
    for left, low in (
        (near, near),
        (near, -near - READ),
        (-near - wide, near),
        (-near - wide, -near - READ),
    ):
        at = Point(middle.x + left, middle.y + low)
        box = shapely.box(at.x, at.y, at.x + wide, at.y + READ)
        tried.append((min(float(box.distance(lines)), _FREE), at))
    # The first of those that are free, so that letters mostly stand alike.
    _, best = max(tried, key=lambda each: each[0])
    return Words(letter, best, size, bold=True)


def crosses_taken(crosses: Iterable[Cross], at: Affine) -> list[Bounds]:
    """The room that crosses and their letters take on the mat."""
    middles = (at(cross.at) for cross in crosses)
    return [Bounds(x, y, x, y).grown(REACH) for x, y in middles]


def draw_corners(frame: Bounds, brush: Brush) -> list[Item]:
    """The corners of the usable rectangle: as long as the mat lies in them, nothing has moved."""
    length = min(CORNER, frame.width / 8, frame.height / 8)
    paths = []
    for corner, dx, dy in zip(frame.corners(), (1, -1, -1, 1), (1, 1, -1, -1), strict=True):
        paths.append(
            polyline(
                [
                    Point(corner.x + dx * length, corner.y),
                    corner,
                    Point(corner.x, corner.y + dy * length),
                ]
            )
        )
    return [Stroke(tuple(paths), brush.fine)]


def squares_size() -> tuple[float, float]:
    """What both squares take, side by side, mm."""
    return METRIC + _APART + INCH, INCH


def draw_square(at: Point, size: float, text: str, brush: Brush) -> list[Item]:
    """A square to be measured, lower left at a point of the mat, with its size inside."""
    box = Bounds(at.x, at.y, at.x + size, at.y + size)
    words = Words(
        text, Point(box.centre.x, box.centre.y - READ / 2), size_of(READ), anchor="middle"
    )
    facts = (("Measure", (size, size)),)
    return [Group((Stroke((rectangle(box),), brush.fine),), furniture=True, facts=facts), words]


def draw_squares(at: Point, brush: Brush) -> list[Item]:
    """100 mm and 4 in side by side, the lower left at a point of the mat."""
    inch = Point(at.x + METRIC + _APART, at.y)
    return [
        *draw_square(at, METRIC, say("window_square"), brush),
        *draw_square(inch, INCH, say("window_square_inch"), brush),
    ]


def place_squares(room: Room, field: Bounds, cloth: BaseGeometry, brush: Brush) -> list[Item]:
    """Both squares, or else that of 100 mm, where no piece lies; none where there is no room.

    Within a piece they could be taken for a part of it.

    Args:
        room: What is on the mat; the squares are taken.
        field: The part of the mat that shows pieces.
        cloth: Of all pieces on the mat.
        brush: The pens.
    """
    shapely.prepare(cloth)
    for width, height, draw in (
        (*squares_size(), draw_squares),
        (METRIC, METRIC, _only_metric),
    ):
        boxes = boxes_in(field.grown(-brush.line), width, height, 20.0)
        free = boxes[~shapely.intersects(shapely.box(*boxes.T), cloth)] if len(boxes) else boxes
        spot = room.first_free(free[::-1], _APART)
        if spot is not None:
            return draw(Point(spot.left, spot.bottom), brush)
    return []


def _only_metric(at: Point, brush: Brush) -> list[Item]:
    return draw_square(at, METRIC, say("window_square"), brush)
