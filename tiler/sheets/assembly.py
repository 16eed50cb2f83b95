"""The assembly map: every page and every piece, small."""

from __future__ import annotations

import shapely
from shapely.geometry.base import BaseGeometry

from tiler.layout.plan import Plan
from tiler.layout.tiles import Cell
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import Path, circle, polyline, rectangle
from tiler.sheets.drawing import Drawing, Fill, Item, Pen, Stroke, Words
from tiler.sheets.lettering import SMALL, height_of, width_of
from tiler.sheets.room import Room, as_line, boxes_in, nearest_first

#: Type size of page names, and radius of the rings round the pieces' numbers.
NAME = 8.0
RING = 2.1

_GROUND = 0.965
PAGE_LINE = Pen(0.15, grey=0.35)
_BLANK = Pen(0.12, grey=0.6, dash=(0.8, 1.2))
_PIECE = Pen(0.25, grey=0.15)
_THUMB_PAGE = Pen(0.08, grey=0.5)
_THUMB_PIECE = Pen(0.12, grey=0.15)


def fit(plan: Plan, frame: Bounds) -> Affine:
    """Sheet -> frame: as large as fits, in the middle across, at the top."""
    sheet = plan.grid.bounds
    factor = min(frame.width / sheet.width, frame.height / sheet.height)
    left = frame.left + (frame.width - sheet.width * factor) / 2
    return Affine(factor, 0, 0, factor, left, frame.top - sheet.height * factor)


def draw_map(plan: Plan, frame: Bounds) -> list[Item]:
    """Page cells with their names, piece outlines with numbers, in a frame of the page.

    Page names stand in the upper left of their cells, or as near to it as no line runs; a piece's
    number always stands within the piece.
    """
    at = fit(plan, frame)
    printed = set(plan.cells)
    items: list[Item] = []
    for row in range(plan.grid.rows):
        for column in range(plan.grid.columns):
            cell = Cell(row, column)
            box = plan.grid.core(cell).moved(at)
            if cell not in printed:
                items.append(Stroke((rectangle(box.grown(-0.2)),), _BLANK))
    outlines = [path for piece in _outlines(plan, at) for path in piece]
    names = Room(
        [as_line(path) for path in outlines]
        + [as_line(rectangle(plan.grid.core(cell).moved(at))) for cell in plan.cells]
    )
    for cell in plan.cells:
        box = plan.grid.core(cell).moved(at)
        items.append(Fill((rectangle(box),), _GROUND))
        items.append(Stroke((rectangle(box),), PAGE_LINE))
    items.append(Stroke(tuple(outlines), _PIECE))
    for number, paths in enumerate(_outlines(plan, at), start=1):
        items += _numbered(number, _filled(paths), names)
    for cell in plan.cells:
        box = plan.grid.core(cell).moved(at)
        items += _named(cell.name, box, names)
    return items


def _named(text: str, box: Bounds, room: Room) -> list[Item]:
    """A page's name in the upper left of its cell, or as near to it as no line runs.

    Where lines run everywhere, the name stands on a light ground that takes them away.
    """
    corner = Point(box.left, box.top)
    for size in (NAME, SMALL):
        width, height = width_of(text, size, bold=True) + 0.6, height_of(size) + 0.6
        spots = nearest_first(boxes_in(box.grown(-0.3), width, height, 0.6), corner)
        free = room.first_free(spots)
        if free:
            at = Point(free.left + 0.3, free.bottom + 0.3)
            return [Words(text, at, size, bold=True)]
    spot = room.first_untaken(spots)
    if spot is None:
        spot = Bounds(box.left, box.top - height, box.left + width, box.top)
    at = Point(spot.left + 0.3, spot.bottom + 0.3)
    return [Fill((rectangle(spot),), _GROUND), Words(text, at, SMALL, bold=True)]


def _numbered(number: int, shape: BaseGeometry, room: Room) -> list[Item]:
    """A piece's number within the piece: in a ring, or bare where the piece is small."""
    box, digits = Bounds(*shape.bounds), width_of(str(number), SMALL, bold=True) + 0.5
    ring, bare = (2 * RING + 0.4, 2 * RING + 0.4), (digits, height_of(SMALL) + 0.5)
    middle = Point(*shape.representative_point().coords[0])
    near = box.centre if shape.contains(shapely.Point(*box.centre)) else middle
    for width, height in (ring, bare):
        spots = nearest_first(boxes_in(box, width, height, 0.6), near)
        spot = room.first_free([s for s in spots if shape.contains(shapely.box(*s))])
        if spot:
            in_ring = (width, height) == ring
            return numbered_ring(number, spot.centre) if in_ring else _bare(number, spot.centre)
    # Over lines if need be, but not over the number of another piece.
    spots = nearest_first(boxes_in(box.grown(1.0), *bare, 0.4), middle)
    spot = room.first_untaken([s for s in spots if shape.intersects(shapely.box(*s))])
    return _bare(number, spot.centre if spot else middle)


def _bare(number: int, at: Point) -> list[Item]:
    """A number without a ring, on a light ground."""
    text, height = str(number), height_of(SMALL)
    width = width_of(text, SMALL, bold=True)
    ground = Bounds(at.x, at.y, at.x, at.y)._replace(
        left=at.x - width / 2 - 0.25,
        right=at.x + width / 2 + 0.25,
        bottom=at.y - height / 2 - 0.25,
        top=at.y + height / 2 + 0.25,
    )
    baseline = Point(at.x, at.y - height / 2)
    return [
        Fill((rectangle(ground),), _GROUND),
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


def _filled(paths: list[Path]) -> BaseGeometry:
    """What the outlines of a piece enclose on the map."""
    rings = [shapely.Polygon([(p.x, p.y) for p in path.nodes()]) for path in paths]
    return shapely.union_all([shapely.make_valid(ring) for ring in rings])


def thumbnail(plan: Plan, width: float, height: float) -> tuple[Drawing, Affine]:
    """A very small map for every page, and the map from sheet to thumbnail millimetres."""
    sheet = plan.grid.bounds
    factor = min(width / sheet.width, height / sheet.height)
    at = Affine.scale(factor, factor)
    cells = tuple(rectangle(plan.grid.core(cell).moved(at)) for cell in plan.cells)
    pieces = tuple(path for piece in _outlines(plan, at) for path in piece)
    items = (Stroke(cells, _THUMB_PAGE), Stroke(pieces, _THUMB_PIECE))
    return Drawing(sheet.moved(at).grown(0.2), items), at


def _outlines(plan: Plan, at: Affine) -> list[list[Path]]:
    """The outlines of each piece on the map, as polygons fine enough for their size."""
    found = []
    for placement in plan.placements:
        whole = placement.at.then(at)
        tolerance = 0.05 / max(abs(at.a), 1e-6)
        found.append(
            [
                polyline([whole(p) for p in outline.path.flattened(tolerance)], closed=True)
                for outline in placement.piece.outlines
            ]
        )
    return found
