"""One target card as it is printed: its squares and markers, and the words in its rim."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

import shapely

from tiler.intake.photo import cards
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import Path, polyline
from tiler.sheets.drawing import Fill, Item, Words
from tiler.sheets.lettering import SMALL
from tiler.sheets.words import say

if TYPE_CHECKING:
    from shapely.geometry.base import BaseGeometry

#: A card as it is cut out, millimetres.
CARD_WIDTH = cards.WIDTH + 2 * cards.BORDER
CARD_HEIGHT = cards.HEIGHT + 2 * cards.BORDER
#: Cells along the side of a marker of the dictionary, its black rim of one cell on either side
#: counted.
_CELLS = 7
#: From the cut line to the feet of the words in the rim, millimetres.
_FEET = 1.0


def draw_card(number: int, at: Point) -> list[Item]:
    """A card with the words in its rim.

    More than half of the rim stays white: OpenCV wants about one cell of a marker, 2.1 mm.

    Args:
        number: Which card.
        at: The lower left corner of what is cut out.
    """
    place = Affine.move(at.x + cards.BORDER, at.y + cards.BORDER)
    black = tuple(path.moved(place) for path in _black(number))
    feet = at.y + _FEET
    right = at.x + CARD_WIDTH - cards.BORDER
    return [
        Fill(black, 0.0),
        Words(say("targets_card", number=number), Point(at.x + cards.BORDER, feet), SMALL),
        Words(say("targets_side"), Point(right, feet), SMALL, anchor="end"),
    ]


@cache
def _black(number: int) -> tuple[Path, ...]:
    """All that is black, from the lower left corner of the squares.

    Cells that touch are one area, so that no viewer or printer shows a seam between them.
    """
    import cv2
    import numpy as np

    board = cards.board_of(number)
    ids = [int(marker) for marker in np.ravel(board.getIds())]
    taken, paths = set(), []
    for marker, corners in zip(ids, board.getObjPoints(), strict=True):
        left, top = float(corners[0][0]), float(corners[0][1])
        taken.add((int(left // cards.SQUARE), int(top // cards.SQUARE)))
        bits = cv2.aruco.generateImageMarker(board.getDictionary(), marker, _CELLS)
        cell = cards.MARKER / _CELLS
        to_card = Affine(cell, 0, 0, -cell, left, cards.HEIGHT - top)
        paths += [path.moved(to_card) for path in _merged(bits.tolist())]
    for row in range(cards.ROWS):
        for column in range(cards.COLUMNS):
            if (column, row) not in taken:
                left, top = column * cards.SQUARE, cards.HEIGHT - row * cards.SQUARE
                paths.append(_box(Bounds(left, top - cards.SQUARE, left + cards.SQUARE, top)))
    return tuple(paths)


def _merged(bits: list[list[int]]) -> list[Path]:
    """The black cells of a marker, each 1 wide and high, y down, with holes run the other way."""
    dark = [
        shapely.box(column, row, column + 1, row + 1)
        for row, line in enumerate(bits)
        for column, bit in enumerate(line)
        if not bit
    ]
    whole: BaseGeometry = shapely.union_all(dark)
    paths = []
    for part in shapely.get_parts(whole):
        turned = shapely.geometry.polygon.orient(shapely.simplify(part, 0.0))
        for ring in (turned.exterior, *turned.interiors):
            points = shapely.get_coordinates(ring)[:-1].tolist()
            paths.append(polyline([Point(x, y) for x, y in points], closed=True))
    return paths


def _box(box: Bounds) -> Path:
    left, bottom, right, top = box
    corners = [Point(left, bottom), Point(left, top), Point(right, top), Point(right, bottom)]
    return polyline(corners, closed=True)
