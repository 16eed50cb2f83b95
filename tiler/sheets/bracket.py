"""The bracket beside a fold edge: place this edge on the fold of the cloth."""

from __future__ import annotations

import shapely

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import bounds_of_points
from tiler.pattern.model import Edge
from tiler.pattern.path import Path, polyline
from tiler.sheets.arrow import ARROW, arrowhead
from tiler.sheets.drawing import Item, Stroke, Words
from tiler.sheets.ground import Ground
from tiler.sheets.lettering import BODY, SMALL, height_of, width_of
from tiler.sheets.pens import FINE
from tiler.sheets.room import Room
from tiler.sheets.upright import corners_along, upright
from tiler.sheets.words import say

#: What the words say, best first: of a fold of its own, and of one that two halves share.
ALONE = ("fold_edge", "fold_edge_short")
SHARED = ("fold_shared", "fold_shared_short", "fold_edge_short")
#: How far inside the edge the bracket may run, best first, millimetres.
DEPTHS = (9.0, 6.5, 12.0, 15.0, 18.0)
#: Depth and arrows on a small drawing, millimetres.
SMALL_DEPTH, SMALL_ARROW = 3.2, 2.0
#: Where along the edge the words may have their middle, best first.
_SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.35, 0.65, 0.45, 0.55, 0.25, 0.75)


def draw_bracket(
    edge: Edge, at: Affine, room: Room, ground: Ground, *, shared: bool = False
) -> list[Item]:
    """A line beside a fold edge whose two arrows point at it, with the words along it.

    It stands as near to the edge as its words have room and its line cannot be taken for a joint.

    Args:
        edge: On the fold.
        at: From the piece to the sheet.
        room: What is on the sheet.
        ground: The pages.
        shared: Whether another half piece is joined on the other side of the edge.
    """
    keys = SHARED if shared else ALONE
    bracket = _Bracket(at(edge.path.start), at(edge.path.end))
    if bracket.length < 4 * DEPTHS[0]:
        return []
    depths = [d for d in DEPTHS if not ground.along_joint(*bracket.stroke(d))] or [DEPTHS[0]]
    for depth in depths:
        words = bracket.words(keys, depth, room, ground)
        if words:
            break
    else:
        depth, words = depths[0], []
    room.take_shape(bracket.shape(depth))
    return [*bracket.lines(depth), *words]


def draw_small_bracket(path: Path, text: str, room: Room) -> list[Item]:
    """The bracket of a fold edge on a small drawing, with words along it where they have room.

    Args:
        path: The fold edge.
        text: What the words say.
        room: What is on the drawing; the bracket and its words are taken.
    """
    if path.start.to(path.end) < 4 * SMALL_DEPTH:
        return []
    bracket = _Bracket(path.start, path.end)
    room.take_shape(bracket.shape(SMALL_DEPTH))
    along, turn = upright(bracket.along)
    inner = along == bracket.along
    away = SMALL_DEPTH + (height_of(SMALL) + 0.9 if inner else 1.5)
    half, up = width_of(text, SMALL) / 2, height_of(SMALL)
    items = bracket.lines(SMALL_DEPTH, SMALL_ARROW)
    for share in _SHARES:
        middle = bracket.length * share
        if not bracket.low <= middle - half or not middle + half <= bracket.high:
            continue
        spot = bracket.spot(middle, away)
        if room.take_if_free(corners_along(spot, along, half, -0.6, up), 0.3):
            return [*items, Words(text, spot, SMALL, anchor="middle", turn=turn)]
    return items


class _Bracket:
    """A fold edge on the sheet; depths are measured from it into the piece."""

    def __init__(self, start: Point, end: Point) -> None:
        self.start, self.length = start, start.to(end)
        self.along = ((end.x - start.x) / self.length, (end.y - start.y) / self.length)
        # Edges run clockwise, so the piece is on the right-hand side.
        self.inward = (self.along[1], -self.along[0])
        inset = min(self.length * 0.12, 60.0)
        self.low, self.high = inset, self.length - inset

    def spot(self, distance: float, depth: float) -> Point:
        return Point(
            self.start.x + self.along[0] * distance + self.inward[0] * depth,
            self.start.y + self.along[1] * distance + self.inward[1] * depth,
        )

    def stroke(self, depth: float) -> tuple[Point, Point]:
        return self.spot(self.low, depth), self.spot(self.high, depth)

    def shape(self, depth: float) -> shapely.Polygon:
        low, high, deep = self.low, self.high, depth + 0.5
        return shapely.Polygon(
            [self.spot(low, 0), self.spot(high, 0), self.spot(high, deep), self.spot(low, deep)]
        )

    def lines(self, depth: float, arrow: float = ARROW) -> list[Item]:
        low, high = self.low, self.high
        line = polyline(
            [self.spot(low, 1), self.spot(low, depth), self.spot(high, depth), self.spot(high, 1)]
        )
        outward = (-self.inward[0], -self.inward[1])
        return [
            Stroke((line,), FINE),
            arrowhead(self.spot(low, 0.6), outward, arrow),
            arrowhead(self.spot(high, 0.6), outward, arrow),
        ]

    def words(self, keys: tuple[str, ...], depth: float, room: Room, ground: Ground) -> list[Item]:
        """The words beside the long stroke, in full if possible; none where nothing is free."""
        along, turn = upright(self.along)
        # Letters reach back towards the stroke, or away from it into the piece.
        depth += 3.4 if along == self.along else 1.2
        for key in keys:
            for points in (BODY, SMALL):
                half = width_of(say(key), points) / 2
                for share in _SHARES:
                    middle = self.length * share
                    if not self.low + 2 <= middle - half or not middle + half <= self.high - 2:
                        continue
                    spot = self.spot(middle, depth)
                    corners = corners_along(spot, along, half, -0.8, height_of(points) + 0.2)
                    # A page is upright: it holds turned words if it holds the box round them.
                    held = ground.on_one_page(bounds_of_points(corners))
                    if held and room.take_if_free(corners):
                        return [Words(say(key), spot, points, anchor="middle", turn=turn)]
        return []
