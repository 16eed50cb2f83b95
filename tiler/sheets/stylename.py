"""The style's name along its own cut line, so that nobody cuts a line of another style."""

from __future__ import annotations

import shapely
from shapely.geometry.base import BaseGeometry

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import bounds_of_points
from tiler.pattern.model import Lies, Piece, Role, styles_in
from tiler.pattern.path import Path
from tiler.sheets.drawing import Item, Words
from tiler.sheets.ground import Ground
from tiler.sheets.lettering import BODY, SMALL, height_of, width_of
from tiler.sheets.room import Room
from tiler.sheets.upright import corners_along, upright
from tiler.sheets.words import say

#: How far the words stand from the line, millimetres.
CLEAR = 2.4
#: Shorter lines are understood from their neighbours, millimetres.
SHORTEST = 30.0
_SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88)


def name_style_lines(
    piece: Piece, style: str, at: Affine, room: Room, inside: BaseGeometry, ground: Ground
) -> list[Item]:
    """Words beside each cut line of a style, or of the styles that share it, sheet coordinates.

    They lie within the piece: outside they could be taken for those of its neighbour. A line on
    which no page has a free place stays without.

    Args:
        piece: As it comes to paper.
        style: A style key, not empty.
        at: From the piece to the sheet.
        room: What is on the sheet.
        inside: What the piece's outlines enclose, sheet coordinates.
        ground: The pages.
    """
    paths = [
        run.edge.path
        for run in piece.runs
        if run.style == style and run.role is Role.CUT and run.edge.lies is not Lies.FOLD
    ]
    paths += [line.path for line in piece.lines if line.style == style and line.role is Role.CUT]
    text = say("style_line", style=", ".join(styles_in(style)))
    items: list[Item] = []
    for path in paths:
        if path.length >= SHORTEST:
            items += _named(text, path.moved(at), room, inside, ground)
    return items


def _named(text: str, path: Path, room: Room, inside: BaseGeometry, ground: Ground) -> list[Item]:
    length = path.length
    for size in (BODY, SMALL):
        for share in _SHARES:
            point, along = path.point_at(length * share)
            for side in (1.0, -1.0):
                words, corners = _beside(text, size, point, along, side)
                free = ground.on_one_page(bounds_of_points(corners)) and inside.covers(
                    shapely.Polygon(corners)
                )
                if free and room.take_if_free(corners):
                    return [words]
    return []


def _beside(
    text: str, size_pt: float, point: Point, along: tuple[float, float], side: float
) -> tuple[Words, list[Point]]:
    """The words over the line (side 1) or under it (-1), upright, and the corners they take."""
    forward, degrees = upright(along)
    half, up = width_of(text, size_pt) / 2, height_of(size_pt)
    base = CLEAR if side > 0 else -CLEAR - up
    # A bent line comes nearer to the ends of the words than to their middle, so they keep away.
    corners = corners_along(point, forward, half, base - 0.8, base + up)
    at = Point(point.x - forward[1] * base, point.y + forward[0] * base)
    return Words(text, at, size_pt, anchor="middle", turn=degrees), corners
