"""Where a piece's label goes: inside the piece, on one page, clear of every line."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import cached_property, partial

import numpy as np
import shapely
import shapely.affinity
from shapely.geometry.base import BaseGeometry

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Pattern, Piece
from tiler.sheets.drawing import Item
from tiler.sheets.ground import Ground
from tiler.sheets.label import WIDEST, Block, LabelLine, fitted, label_lines, short_label_lines
from tiler.sheets.lettering import SMALL
from tiler.sheets.places import Boxes, Mask, Sifted, boxes_in, nearest_first, shapes_of
from tiler.sheets.room import Room
from tiler.sheets.upright import turned_corners, upright

#: How far apart the places are that are tried, millimetres.
STEP = 2.0
#: On large pieces places are further apart, so that no more than these are tried for each block.
MOST_SPOTS = 1500
#: How far the words at joints reach into a frame, millimetres.
WORDS_AT_JOINTS = 4.0
#: A strip is this many times as long as it is wide, and narrower than a label: the words on it
#: run along it.
SLENDER = 3.0
#: Degrees by which a strip may lean and still count as level or upright.
_LEVEL = 0.05


def draw_label(
    piece: Piece,
    pattern: Pattern,
    room: Room,
    inside: BaseGeometry,
    outlined: BaseGeometry,
    ground: Ground,
) -> tuple[list[Item], bool]:
    """The label as large as it fits, whole on one page if that is possible at all.

    It stands upright on the page; on a narrow strip it runs along the strip, and where there is
    no other way it stands turned by a quarter, to be read from the right.

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
    turns = turns_for(inside)
    open_ground = inside.difference(outlined) if not outlined.is_empty else inside
    frames, whole = list(ground.frames), ground.whole
    clear = [frame.grown(-WORDS_AT_JOINTS) for frame in frames]
    full, short = list(_full(piece, pattern)), list(short_label_lines(piece, pattern))
    name = [[LabelLine(piece.name, SMALL, bold=True)]]
    best, others = turns[:1], turns[1:]
    for lines_of, within, areas, air, tried in (
        (full, open_ground, clear, 3.0, best),
        (full, inside, frames, 1.5, best),
        (full, open_ground, clear, 3.0, others),
        (full, inside, frames, 1.5, others),
        (short, open_ground, clear, 2.0, turns),
        (short, inside, frames, 0.5, turns),
        (full, inside, [whole], 0.5, turns),
        (short, inside, [whole], 0.5, turns),
        (name, inside, [whole], 0.0, turns),
    ):
        for lines, turn in _in_order(lines_of, tried, upright_first=lines_of is full):
            block = fitted(lines)
            spots = spots_in(within, areas, block, turn)
            if areas[0] is whole:
                spots = Sifted(spots.all(), partial(_printed, turn, ground), others=False)
            spot = room.first_free(spots, air, turn)
            if spot is not None:
                return block.placed(spot, turn), lines_of is full or not piece.notes
    # No room for even the name: beside the piece, where the gap to the next one is.
    block = fitted(name[0])
    left, top = inside.bounds[0], inside.bounds[3]
    spot = Bounds(left, top + 0.5, left + block.width, top + 0.5 + block.height)
    return block.placed(spot), not piece.notes


def _in_order(
    lines_of: Sequence[list[LabelLine]], turns: Sequence[float], *, upright_first: bool
) -> Iterator[tuple[list[LabelLine], float]]:
    """A long label is rather set smaller than turned, a short one rather turned than smaller."""
    if upright_first:
        yield from ((lines, turn) for turn in turns for lines in lines_of)
    else:
        yield from ((lines, turn) for lines in lines_of for turn in turns)


def _full(piece: Piece, pattern: Pattern) -> Iterator[list[LabelLine]]:
    for shrink in (1.0, 0.8, 0.65):
        for widest in (1.0, 0.6, 0.42, 1.7, 2.6):
            yield label_lines(piece, pattern, shrink, widest * WIDEST)


def turns_for(inside: BaseGeometry) -> tuple[float, ...]:
    """The turns at which words may stand in an area, best first, degrees.

    Args:
        inside: Sheet coordinates, not empty.
    """
    corners = shapely.get_coordinates(shapely.oriented_envelope(inside))
    if len(corners) < 4:
        return 0.0, 90.0
    sides = sorted(
        ((b - a) for a, b in ((corners[0], corners[1]), (corners[1], corners[2]))),
        key=lambda side: float(np.hypot(*side)),
    )
    short, long = (float(np.hypot(*side)) for side in sides)
    turn = upright((float(sides[1][0] / long), float(sides[1][1] / long)))[1]
    for exact in (-90.0, 0.0, 90.0):
        if abs(turn - exact) < _LEVEL:
            turn = abs(exact)
    order = (turn, 0.0, 90.0) if long >= SLENDER * short and short < WIDEST else (0.0, turn, 90.0)
    return tuple(dict.fromkeys(order))


def spots_in(
    inside: BaseGeometry,
    areas: Sequence[Bounds],
    block: Block,
    turn: float = 0.0,
    most: int = MOST_SPOTS,
) -> Sifted:
    """Places of a block within an area, the nearest to its middle first.

    Args:
        inside: Sheet coordinates.
        areas: Upright parts of the sheet, of which one has to hold all of the block.
        block: The words.
        turn: Of the words, degrees anticlockwise.
        most: How many places are tried, roughly.

    Returns:
        Boxes of the block's size, upright in a frame turned by `turn` about the origin.
    """
    return Turned(inside, turn).spots(areas, block, most)


class Turned:
    """An area in which several blocks are tried at one turn, see `spots_in`."""

    def __init__(self, inside: BaseGeometry, turn: float) -> None:
        self._inside, self._turn = inside, turn
        self._back = Affine.turn(-turn)

    @cached_property
    def _there(self) -> BaseGeometry:
        inside, turn = self._inside, self._turn
        there = shapely.affinity.rotate(inside, -turn, origin=(0, 0)) if turn else inside
        shapely.prepare(there)
        return there

    @cached_property
    def _bounds(self) -> tuple[Bounds, Bounds]:
        """In the turned frame and on the sheet."""
        return Bounds(*self._there.bounds), Bounds(*self._inside.bounds)

    @cached_property
    def _middle(self) -> Point:
        return self._back(Point(*self._inside.centroid.coords[0]))

    def spots(self, areas: Sequence[Bounds], block: Block, most: int = MOST_SPOTS) -> Sifted:
        """As `spots_in`."""
        return self.in_order(self.boxes(areas, block, most))

    def in_order(self, boxes: Boxes) -> Sifted:
        """Those of some boxes that lie within the area, the nearest to its middle first."""
        ordered = nearest_first(boxes, self._middle) if len(boxes) else boxes
        return Sifted(ordered, self._within, others=False)

    def boxes(self, areas: Sequence[Bounds], block: Block, most: int = MOST_SPOTS) -> Boxes:
        """The places of `spots_in`, unordered, with some that do not lie within the area."""
        bounds, around = self._bounds
        turn, back = self._turn, self._back
        step = max(STEP, math.sqrt(bounds.width * bounds.height / most))
        found = [np.empty((0, 4))]
        for area in areas:
            if not area.meets(around):
                continue
            reach = area.cut(around).moved(back).cut(bounds)
            if block.width > reach.width or block.height > reach.height:
                continue
            boxes = boxes_in(reach, block.width, block.height, step)
            found.append(boxes[_held(area, boxes, turn)] if turn else boxes)
        return np.concatenate(found)

    def _within(self, boxes: Boxes) -> Mask:
        return np.asarray(shapely.contains_properly(self._there, shapes_of(boxes)))


def _held(area: Bounds, boxes: Boxes, turn: float) -> Mask:
    """Of boxes that are upright in a turned frame, whether an upright area holds them."""
    at = Affine.turn(turn)
    held = np.ones(len(boxes), dtype=bool)
    for across, up in ((0, 1), (2, 1), (2, 3), (0, 3)):
        x = at.a * boxes[:, across] + at.c * boxes[:, up]
        y = at.b * boxes[:, across] + at.d * boxes[:, up]
        held &= (area.left <= x) & (x <= area.right) & (area.bottom <= y) & (y <= area.top)
    return held


def _printed(turn: float, ground: Ground, boxes: Boxes) -> Mask:
    """Of boxes that are upright in a turned frame, whether their corners are on printed pages."""
    corners = (turned_corners(Bounds(*box), turn) for box in boxes.tolist())
    return np.array([all(map(ground.on_paper, each)) for each in corners])
