"""Where a piece's label goes: inside the piece, on one page, clear of every line."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Pattern, Piece
from tiler.sheets.drawing import Item
from tiler.sheets.ground import Ground
from tiler.sheets.label import WIDEST, Block, LabelLine, fitted, label_lines, short_label_lines
from tiler.sheets.lettering import SMALL
from tiler.sheets.room import Room, boxes_in, nearest_first

#: How far apart the places are that are tried, millimetres.
STEP = 2.0
#: On large pieces places are further apart, so that no more than these are tried for each block.
MOST_SPOTS = 1500
#: How far the words at joints reach into a frame, millimetres.
WORDS_AT_JOINTS = 4.0


def draw_label(
    piece: Piece,
    pattern: Pattern,
    room: Room,
    inside: BaseGeometry,
    outlined: BaseGeometry,
    ground: Ground,
) -> tuple[list[Item], bool]:
    """The label as large as it fits, whole on one page if that is possible at all.

    Args:
        piece: Whose label it is.
        pattern: What it belongs to.
        room: The piece's lines, sheet coordinates.
        inside: What the outline encloses, sheet coordinates.
        outlined: What lines within the piece outline, such as a pocket's place: a label in there
            would be taken for the pocket's.
        ground: The pages.

    Returns:
        The label, and whether it says all that the maker wants said.
    """
    bounds = Bounds(*inside.bounds)
    centre = Point(*inside.centroid.coords[0])
    turns = (0.0, 90.0) if bounds.width >= bounds.height / 3 else (90.0, 0.0)
    open_ground = inside.difference(outlined)
    frames, whole = list(ground.frames), ground.whole
    clear = [frame.grown(-WORDS_AT_JOINTS) for frame in frames]
    full, short = list(_full(piece, pattern)), list(short_label_lines(piece, pattern))
    name = [[LabelLine(piece.name, SMALL, bold=True)]]
    for lines_of, within, areas, air in (
        (full, open_ground, clear, 3.0),
        (full, inside, frames, 1.5),
        (short, open_ground, clear, 2.0),
        (short, inside, frames, 0.5),
        (full, inside, [whole], 0.5),
        (short, inside, [whole], 0.5),
        (name, inside, [whole], 0.0),
    ):
        shapely.prepare(within)
        for lines in lines_of:
            for turn in turns:
                block = fitted(lines, turn)
                spots = _inside(within, bounds, areas, block)
                if areas[0] is whole:
                    spots = [spot for spot in spots if ground.printed(spot)]
                spot = room.first_free(nearest_first(spots, centre), air)
                if spot is not None:
                    return block.placed(spot), lines_of is full or not piece.notes
    # No room for even the name: beside the piece, where the gap to the next one is.
    block = fitted(name[0], 0.0)
    left, bottom = bounds.left, bounds.top + 0.5
    spot = Bounds(left, bottom, left + block.width, bottom + block.height)
    return block.placed(spot), not piece.notes


def _full(piece: Piece, pattern: Pattern) -> Iterator[list[LabelLine]]:
    for shrink in (1.0, 0.8, 0.65):
        for widest in (1.0, 0.6, 0.42, 1.7, 2.6):
            yield label_lines(piece, pattern, shrink, widest * WIDEST)


def _inside(
    inside: BaseGeometry, bounds: Bounds, areas: list[Bounds], block: Block
) -> list[Bounds]:
    boxes: list[Bounds] = []
    step = max(STEP, math.sqrt(bounds.width * bounds.height / MOST_SPOTS))
    for area in areas:
        if area.meets(bounds):
            boxes += boxes_in(area.cut(bounds), block.width, block.height, step)
    if not boxes:
        return []
    array = np.array(boxes)
    shapes = shapely.box(array[:, 0], array[:, 1], array[:, 2], array[:, 3])
    return [boxes[int(i)] for i in np.flatnonzero(shapely.contains_properly(inside, shapes))]
