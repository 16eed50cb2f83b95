"""Names and numbers on the assembly map: of pages, pieces and joints."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from tiler.layout.plan import Plan
from tiler.layout.tiles import Cell
from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import Path, circle, rectangle
from tiler.sheets.drawing import Fill, Item, Pen, Stroke, Words
from tiler.sheets.lettering import (
    BODY,
    LARGE,
    SMALL,
    depth_of,
    evenly,
    height_of,
    leading_of,
    width_of,
)
from tiler.sheets.outlined import enclosed_by
from tiler.sheets.places import Boxes, Mask, Places, Sifted, boxes_in, nearest_first, shapes_of
from tiler.sheets.room import Room, as_line

#: Type size of joints' numbers.
JOINTS = 8.0
#: Type sizes, best first.
PAGES = (10.0, BODY, 8.0, SMALL)
PIECES = (LARGE, 10.0, BODY, 8.0)
#: Radius of the rings round the pieces' numbers.
RING = 2.1
#: Shares of a joint's length at which its number may stand.
_ALONG = tuple(0.5 + sign * step / 20 for step in range(9) for sign in (1, -1))
#: A page's name keeps to this share of its cell's width.
_OF_CELL = 0.62


@dataclass(frozen=True)
class Shown:
    """A piece on the map."""

    number: int
    name: str
    outlines: list[Path]

    @cached_property
    def area(self) -> BaseGeometry:
        """What its outlines enclose."""
        return enclosed_by(self.outlines)


@dataclass(frozen=True)
class Numbers:
    """What joints and pieces are called on the pages, also where only some of them are printed."""

    joints: dict[tuple[Cell, Cell], int]
    pieces: dict[str, int]

    @staticmethod
    def of(whole: Plan) -> Numbers:
        """Joints in reading order, pieces in the pattern's order, from 1."""
        names = [placement.piece.name for placement in whole.placements]
        return Numbers(
            {pair: number for number, pair in enumerate(whole.joints, start=1)},
            {name: number for number, name in enumerate(names, start=1)},
        )


class MapRoom:
    """The room between the lines of the pieces, with or without that between pages' edges."""

    def __init__(self, pieces: Sequence[Path], pages: Sequence[Path]) -> None:
        lines = [as_line(path) for path in pieces]
        self._within = Room([*lines, *(as_line(path) for path in pages)])
        self._across = Room(lines)

    def free(self, boxes: Places, air: float = 0.3) -> tuple[Bounds, bool] | None:
        """The first box that no line runs through; or else only edges of pages do.

        Returns:
            The box, and whether edges of pages run through it.
        """
        for room, other, across in (
            (self._within, self._across, False),
            (self._across, self._within, True),
        ):
            box = room.first_free(boxes, air)
            if box:
                other.take(box)
                return box, across
        return None

    def within_a_page(self, boxes: Places, air: float = 0.0) -> Bounds | None:
        """The first box that no line at all runs through."""
        box = self._within.first_free(boxes, air)
        if box:
            self._across.take(box)
        return box

    def between_pieces(self, boxes: Places, air: float = 0.2) -> Bounds | None:
        """The first box that no line of a piece runs through."""
        box = self._across.first_free(boxes, air)
        if box:
            self._within.take(box)
        return box

    def untaken(self, boxes: Places) -> Bounds | None:
        """The first box without words, whatever lines run through it."""
        box = self._across.first_untaken(boxes)
        if box:
            self._within.take(box)
        return box


def draw_page_name(text: str, box: Bounds, room: MapRoom) -> list[Item]:
    """A page's name in the upper left of its cell, or as near to it as no line runs.

    Where lines run everywhere, the name stands on a white ground that takes them away.
    """
    corner = Point(box.left, box.top)
    inner = box.grown(-0.5)
    for size in PAGES:
        width, height = width_of(text, size, bold=True) + 0.6, height_of(size) + 0.6
        if width > box.width * _OF_CELL and size > SMALL:
            continue
        best = Bounds(inner.left, inner.top - height, inner.left + width, inner.top)
        free = room.within_a_page([best]) if inner.holds(best) else None
        if free is None:
            spots = nearest_first(boxes_in(inner, width, height, max(0.7, box.width / 25)), corner)
            free = room.within_a_page(spots)
        if free:
            return [Words(text, Point(free.left + 0.3, free.bottom + 0.3), size, bold=True)]
    spot = room.untaken(spots)
    if spot is None:
        spot = Bounds(box.left, box.top - height, box.left + width, box.top)
    at = Point(spot.left + 0.3, spot.bottom + 0.3)
    return [Fill((rectangle(spot),), 1.0), Words(text, at, SMALL, bold=True)]


def draw_joint_number(number: int, under: Bounds, over: Bounds, room: MapRoom) -> list[Item]:
    """A joint's number on the line between two pages, if there is room beside the pieces."""
    text = str(number)
    width, height = width_of(text, JOINTS) + 0.8, height_of(JOINTS) + 0.7
    upright = over.left > under.left + 0.01
    boxes = []
    for share in _ALONG:
        if upright:
            x, y = under.right, under.bottom + under.height * share
        else:
            x, y = under.left + under.width * share, under.bottom
        boxes.append(Bounds(x - width / 2, y - height / 2, x + width / 2, y + height / 2))
    box = room.between_pieces(boxes)
    if box is None:
        return []
    base = Point(box.centre.x, box.bottom + 0.35)
    ground = Fill((rectangle(box),), 1.0)
    return [ground, Words(text, base, JOINTS, anchor="middle", grey=0.2)]


def draw_piece_name(shown: Shown, room: MapRoom) -> tuple[list[Item], bool]:
    """A piece's name within the piece, upright or turned by a quarter; or else its number.

    Returns:
        The items, and whether it is the number.
    """
    shape = shown.area
    inner = shape.buffer(-0.4)
    if not inner.is_empty:
        shapely.prepare(inner)
        for size in PIECES:
            for lines, turn in _settings(shown.name, size):
                wide, high = _block(lines, size)
                width, height = (high, wide) if turn else (wide, high)
                found = room.free(_spots(inner, width, height))
                if found:
                    box, across = found
                    ground = [Fill((rectangle(box),), 1.0)] if across else []
                    return [*ground, *_lettered(lines, size, box, turn)], False
    return _numbered(shown.number, shape, room), True


def _settings(name: str, size: float) -> Iterator[tuple[list[str], float]]:
    """A name in one line or in two, level first."""
    one = [name]
    two = evenly(name, size, width_of(name, size, bold=True) * 0.75, bold=True)
    shapes = [one, two] if len(two) == 2 else [one]
    for turn in (0.0, 90.0):
        for lines in shapes:
            yield lines, turn


def _block(lines: list[str], size: float) -> tuple[float, float]:
    wide = max(width_of(line, size, bold=True) for line in lines) + 0.8
    high = height_of(size) + depth_of(size) + (len(lines) - 1) * leading_of(size) + 0.4
    return wide, high


def _lettered(lines: list[str], size: float, box: Bounds, turn: float) -> Iterator[Item]:
    middle = box.centre
    _, high = _block(lines, size)
    for number, line in enumerate(lines):
        # From the block's middle to the baseline, across the lines.
        down = -high / 2 + 0.2 + height_of(size) + number * leading_of(size)
        at = Point(middle.x + down, middle.y) if turn else Point(middle.x, middle.y - down)
        yield Words(line, at, size, anchor="middle", turn=turn, bold=True)


def _spots(inner: BaseGeometry, width: float, height: float) -> Sifted:
    """Places of a box within a shape, nearest to its middle first."""
    frame = Bounds(*inner.bounds)
    step = max(1.0, min(frame.width, frame.height) / 25)
    boxes = boxes_in(frame, width, height, step)
    return _within(inner, nearest_first(boxes, Point(*inner.centroid.coords[0])))


def _within(shape: BaseGeometry, boxes: Boxes) -> Sifted:
    """The boxes that do not touch the rim of a shape from within."""

    def held(batch: Boxes) -> Mask:
        return np.asarray(shapely.contains_properly(shape, shapes_of(batch)))

    return Sifted(boxes, held, others=False)


def _numbered(number: int, shape: BaseGeometry, room: MapRoom) -> list[Item]:
    """A piece's number within the piece: in a ring, or bare where the piece is small."""
    box, digits = Bounds(*shape.bounds), width_of(str(number), SMALL, bold=True) + 0.5
    ring, bare = (2 * RING + 0.4, 2 * RING + 0.4), (digits, height_of(SMALL) + 0.5)
    middle = Point(*shape.representative_point().coords[0])
    shapely.prepare(shape)
    near = box.centre if shape.contains(shapely.Point(*box.centre)) else middle
    for width, height in (ring, bare):
        spots = nearest_first(boxes_in(box, width, height, 0.6), near)
        found = room.free(_within(shape, spots), 0.0)
        if found:
            in_ring = (width, height) == ring
            at = found[0].centre
            return numbered_ring(number, at) if in_ring else _bare(number, at)
    # Over lines if need be, but not over other words.
    spots = nearest_first(boxes_in(box.grown(1.0), *bare, 0.4), middle)
    spot = room.untaken(spots[shapely.intersects(shape, shapes_of(spots))])
    return _bare(number, spot.centre if spot else middle)


def _bare(number: int, at: Point) -> list[Item]:
    """A number without a ring, on a white ground."""
    text, height = str(number), height_of(SMALL)
    width = width_of(text, SMALL, bold=True)
    ground = Bounds(
        at.x - width / 2 - 0.25,
        at.y - height / 2 - 0.25,
        at.x + width / 2 + 0.25,
        at.y + height / 2 + 0.25,
    )
    baseline = Point(at.x, at.y - height / 2)
    return [
        Fill((rectangle(ground),), 1.0),
        Words(text, baseline, SMALL, anchor="middle", bold=True),
    ]


def numbered_ring(number: int, at: Point) -> list[Item]:
    """A number in a ring, as on the map and in the list of pieces."""
    ring = circle(at, RING)
    baseline = Point(at.x, at.y - height_of(SMALL) / 2)
    return [
        Fill((ring,), 1.0),
        Stroke((ring,), Pen(0.2)),
        Words(str(number), baseline, SMALL, anchor="middle", bold=True),
    ]
