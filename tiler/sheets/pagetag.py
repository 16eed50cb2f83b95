"""A page's name, to be read at arm's length, with its place in its sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property

import shapely

from tiler.layout.plan import Plan
from tiler.layout.tiles import Block, Cell
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.pattern.path import Path, rectangle
from tiler.sheets.bodies import Bodies
from tiler.sheets.drawing import Drawing, Fill, Group, Item, Pen, Stroke, Use, Words
from tiler.sheets.lettering import TITLE, height_of, width_of
from tiler.sheets.outlined import small_outlines
from tiler.sheets.places import boxes_in
from tiler.sheets.room import Room

#: The most room for a page's place in its sheet, across and up, millimetres.
THUMB = (28.0, 25.0)
#: Between the name and the small sheet, millimetres.
_BESIDE = 3.0
#: Free paper round both, millimetres.
_AIR = 1.5
#: Type sizes of the name: READABLE at arm's length, and LEAST where there is little room, points.
READABLE, LEAST = 20.0, 14.0
_PAGE = Pen(0.08, grey=0.5)
_PIECE = Pen(0.12, grey=0.15)
_MINE = 0.4


class PageTags:
    """The names of the pages of a plan; sheets of several pages are drawn small beside them."""

    def __init__(self, plan: Plan, bodies: Bodies) -> None:
        self._plan = plan
        self._bodies = bodies
        self._thumbs: dict[Block, _Thumb | None] = {}

    def draw(self, cell: Cell, room: Room, to_page: Affine) -> list[Item]:
        """The tag of a page, page coordinates, where no line runs.

        Outside the pieces first, large first, with its place in the sheet first; nothing where
        the page is full of lines: the strip at its top tells its name too.

        Args:
            cell: The page.
            room: What is on the sheet; the tag's place is taken in it.
            to_page: From the sheet to the page.
        """
        core = self._plan.grid.core(cell)
        thumb = self._thumb(self._plan.grid.block_of(cell))
        full = self._bodies.fill(core)
        for size_pt, with_thumb, outside, step in _tries(thumb is not None):
            if outside and full:
                continue
            beside = thumb if with_thumb else None
            width, height = _size(cell, size_pt, beside)
            spots = boxes_in(core.grown(-5.0), width + 2 * _AIR, height + 2 * _AIR, step)
            spot = room.first_free(self._bodies.outside(spots) if outside else spots)
            if spot is not None:
                return _drawn(cell, spot.grown(-_AIR).moved(to_page), size_pt, beside)
        return []

    def _thumb(self, block: Block) -> _Thumb | None:
        if block not in self._thumbs:
            cells = [cell for cell in self._plan.cells if block.holds(cell)]
            small = _Thumb(self._plan, block, cells) if len(cells) > 1 else None
            self._thumbs[block] = small
        return self._thumbs[block]


class _Thumb:
    """A sheet drawn very small, the same for all its pages."""

    def __init__(self, plan: Plan, block: Block, cells: Sequence[Cell]) -> None:
        self._plan, self._cells = plan, cells
        self._frame = bounds_of([plan.grid.core(cell) for cell in cells])
        width, height = THUMB
        factor = min(width / self._frame.width, height / self._frame.height)
        move = Affine.move(-self._frame.left, -self._frame.bottom)
        self.at = move.then(Affine.scale(factor, factor))

    @cached_property
    def drawing(self) -> Drawing:
        """Pages, and the outlines of the pieces on them."""
        cells = tuple(rectangle(self.place(cell)) for cell in self._cells)
        pieces = tuple(self._outlines())
        items = (
            (Stroke(cells, _PAGE), Stroke(pieces, _PIECE)) if pieces else (Stroke(cells, _PAGE),)
        )
        return Drawing(self._frame.moved(self.at).grown(0.2), items)

    def place(self, cell: Cell) -> Bounds:
        """Where a page lies on it."""
        return self._plan.grid.core(cell).moved(self.at)

    def _outlines(self) -> Iterator[Path]:
        """Of the pieces that come on to this sheet."""
        frame = shapely.box(*self._frame.moved(self.at))
        for placement in self._plan.placements:
            for outline in small_outlines(placement, self.at):
                if frame.intersects(shapely.LinearRing(list(outline.nodes()))):
                    yield outline


def _tries(thumb: bool) -> Iterator[tuple[float, bool, bool, float]]:
    """Size, whether the small sheet is beside it, whether outside the pieces, and the step."""
    if thumb:
        for outside in (True, False):
            for size in (TITLE, READABLE):
                yield size, True, outside, 8.0
    for size in (TITLE, READABLE, LEAST):
        yield size, False, True, 5.0
    for size in (TITLE, READABLE, LEAST):
        yield size, False, False, 3.0


def _size(cell: Cell, size_pt: float, thumb: _Thumb | None) -> tuple[float, float]:
    width, height = width_of(cell.name, size_pt, bold=True), height_of(size_pt)
    if thumb is None:
        return width, height
    bounds = thumb.drawing.bounds
    return width + _BESIDE + bounds.width, max(height, bounds.height)


def _drawn(cell: Cell, spot: Bounds, size_pt: float, thumb: _Thumb | None) -> list[Item]:
    baseline = Point(spot.left, spot.top - height_of(size_pt))
    items: list[Item] = [Words(cell.name, baseline, size_pt, bold=True, grey=0.35)]
    if thumb:
        bounds = thumb.drawing.bounds
        at = Affine.move(spot.right - bounds.right, spot.top - bounds.top)
        mine = rectangle(thumb.place(cell).moved(at))
        items.append(Group((Fill((mine,), _MINE), Use(thumb.drawing, at))))
    return items
