"""The style's name along its own cut line, so that nobody cuts a line of another style."""

from __future__ import annotations

import math

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds, bounds_of_points
from tiler.pattern.model import Line, Outline, Piece, Role
from tiler.sheets.drawing import Item, Words
from tiler.sheets.lettering import BODY, height_of, width_of
from tiler.sheets.room import Room
from tiler.sheets.words import say

_SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.12, 0.88)


def name_style_lines(
    piece: Piece, style: str, at: Affine, room: Room, frames: list[Bounds]
) -> list[Item]:
    """Words beside each cut line or outline of a style, sheet coordinates.

    A line on which no page has a free place stays without.
    """
    things: tuple[Outline | Line, ...] = (*piece.outlines, *piece.lines)
    text = say("style_line", style=style)
    items: list[Item] = []
    for thing in things:
        if thing.style != style or thing.role is not Role.CUT:
            continue
        path = thing.path.moved(at)
        for share in _SHARES:
            point, along = path.point_at(path.length * share)
            words, box = _beside(text, point, along)
            if any(frame.holds(box) for frame in frames) and room.first_free([box]):
                items.append(words)
                break
    return items


def _beside(text: str, point: Point, along: tuple[float, float]) -> tuple[Words, Bounds]:
    """The words over the line where they read upright, and the box that they take."""
    degrees = math.degrees(math.atan2(along[1], along[0]))
    if not -90.0 < degrees <= 90.0:
        along, degrees = (-along[0], -along[1]), math.remainder(degrees + 180.0, 360.0)
    half, up = width_of(text, BODY) / 2, height_of(BODY)
    over = (-along[1], along[0])

    def spot(forward: float, above: float) -> Point:
        return Point(
            point.x + along[0] * forward + over[0] * above,
            point.y + along[1] * forward + over[1] * above,
        )

    # The chord of a curved line may rise above the point where the words stand.
    base = 1.8
    corners = [spot(x, y) for x in (-half, half) for y in (base - 0.8, base + up)]
    words = Words(text, spot(0, base), BODY, anchor="middle", turn=degrees)
    return words, bounds_of_points(corners)
