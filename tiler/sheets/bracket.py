"""The bracket beside a fold edge: place this edge on the fold of the cloth."""

from __future__ import annotations

import math

from tiler.pattern.affine import Affine, Point
from tiler.pattern.model import Edge
from tiler.pattern.path import Bounds, polyline
from tiler.sheets.arrow import arrowhead
from tiler.sheets.drawing import Item, Stroke, Words
from tiler.sheets.lettering import BODY, width_of
from tiler.sheets.pens import FINE
from tiler.sheets.room import Room
from tiler.sheets.words import say

#: How far inside the edge the bracket runs, millimetres.
BRACKET = 9.0


def draw_bracket(edge: Edge, at: Affine, room: Room, frames: list[Bounds]) -> list[Item]:
    """A line beside a fold edge whose two arrows point at it, with the words along it."""
    start, end = at(edge.path.start), at(edge.path.end)
    length = start.to(end)
    if length < 4 * BRACKET:
        return []
    along = ((end.x - start.x) / length, (end.y - start.y) / length)
    # Edges run clockwise, so the piece is on the right-hand side.
    inward = (along[1], -along[0])

    def spot(distance: float, depth: float) -> Point:
        return Point(
            start.x + along[0] * distance + inward[0] * depth,
            start.y + along[1] * distance + inward[1] * depth,
        )

    inset = min(length * 0.12, 60.0)
    low, high = inset, length - inset
    line = polyline([spot(low, 1), spot(low, BRACKET), spot(high, BRACKET), spot(high, 1)])
    outward = (-inward[0], -inward[1])
    items: list[Item] = [
        Stroke((line,), FINE),
        arrowhead(spot(low, 0.6), outward),
        arrowhead(spot(high, 0.6), outward),
    ]
    words = say("fold_edge")
    size = width_of(words, BODY)
    turn = _upright(along)
    for share in (0.5, 0.4, 0.6, 0.3, 0.7, 0.35, 0.65, 0.45, 0.55, 0.25, 0.75):
        middle = length * share
        if size + 4 > high - low:
            break
        depth = BRACKET + 3.4 if turn[1] else BRACKET + 1.2
        box = _box_along(spot(middle - size / 2, depth - 2.4), spot(middle + size / 2, depth + 2.4))
        if any(frame.holds(box) for frame in frames) and room.first_free([box]):
            items.append(Words(words, spot(middle, depth), BODY, anchor="middle", turn=turn[0]))
            break
    room.take(_box_along(spot(low, 0), spot(high, BRACKET + 0.5)))
    return items


def _upright(along: tuple[float, float]) -> tuple[float, bool]:
    """The turn at which words along a direction read best, and whether they hang inward."""
    degrees = math.degrees(math.atan2(along[1], along[0]))
    if -90.001 < degrees <= 89.999:
        return degrees, True
    return (degrees + 180 if degrees < 0 else degrees - 180), False


def _box_along(a: Point, b: Point) -> Bounds:
    return Bounds(min(a.x, b.x), min(a.y, b.y), max(a.x, b.x), max(a.y, b.y))
