"""The bracket beside a fold edge: place this edge on the fold of the cloth."""

from __future__ import annotations

import math

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds, bounds_of_points
from tiler.pattern.model import Edge
from tiler.pattern.path import polyline
from tiler.sheets.arrow import arrowhead
from tiler.sheets.drawing import Item, Stroke, Words
from tiler.sheets.lettering import BODY, SMALL, width_of
from tiler.sheets.pens import FINE
from tiler.sheets.room import Room
from tiler.sheets.words import say

#: How far inside the edge the bracket runs, millimetres.
BRACKET = 9.0
_SIZES = (BODY, SMALL)


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
    turn, inner = _upright(along)
    variants = [(say(key), size) for key in ("fold_edge", "fold_edge_short") for size in _SIZES]
    shares = (0.5, 0.4, 0.6, 0.3, 0.7, 0.35, 0.65, 0.45, 0.55, 0.25, 0.75)
    for words, points in variants:
        half = width_of(words, points) / 2
        tries = []
        for share in shares:
            middle = length * share
            if not low + 2 <= middle - half <= middle + half <= high - 2:
                continue
            depth = BRACKET + (3.4 if inner else 1.2)
            corners = spot(middle - half, depth - 2.4), spot(middle + half, depth + 2.4)
            box = bounds_of_points(corners)
            if any(frame.holds(box) for frame in frames):
                tries.append((box, spot(middle, depth)))
        free = room.first_free([box for box, _ in tries])
        if free is not None:
            foot = next(place for box, place in tries if box == free)
            items.append(Words(words, foot, points, anchor="middle", turn=turn))
            break
    room.take(bounds_of_points([spot(low, 0), spot(high, BRACKET + 0.5)]))
    return items


def _upright(along: tuple[float, float]) -> tuple[float, bool]:
    """The turn at which words along a direction read best, and whether they hang inward."""
    degrees = math.degrees(math.atan2(along[1], along[0]))
    if -90.001 < degrees <= 89.999:
        return degrees, True
    return (degrees + 180 if degrees < 0 else degrees - 180), False
