"""The assembly map: every page and every piece, small."""

from __future__ import annotations

from tiler.layout.plan import Plan
from tiler.layout.tiles import Cell
from tiler.pattern.affine import Affine, Point
from tiler.pattern.path import Bounds, Path, polyline, rectangle
from tiler.sheets.drawing import Drawing, Fill, Item, Pen, Stroke, Words
from tiler.sheets.lettering import SMALL, depth_of, height_of, width_of
from tiler.sheets.room import Room, as_line, boxes_in, nearest_first

_PAGE = Pen(0.15, grey=0.35)
_BLANK = Pen(0.12, grey=0.6, dash=(0.8, 1.2))
_PIECE = Pen(0.35)
_THUMB_PAGE = Pen(0.08, grey=0.5)
_THUMB_PIECE = Pen(0.12, grey=0.15)


def fit(plan: Plan, frame: Bounds) -> Affine:
    """Sheet -> frame: as large as fits, in the middle across, at the top."""
    sheet = plan.grid.bounds
    factor = min(frame.width / sheet.width, frame.height / sheet.height)
    left = frame.left + (frame.width - sheet.width * factor) / 2
    return Affine(factor, 0, 0, factor, left, frame.top - sheet.height * factor)


def draw_map(plan: Plan, frame: Bounds) -> list[Item]:
    """Page cells with their names, piece outlines with theirs, in a frame of the page.

    Page names stand in the upper left of their cells; a piece's name goes where it covers
    neither a line nor a page name, or is left out when its piece is too small for it.
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
        items.append(Fill((rectangle(box),), 0.965))
        items.append(Stroke((rectangle(box),), _PAGE))
    items.append(Stroke(tuple(outlines), _PIECE))
    for cell in plan.cells:
        box = plan.grid.core(cell).moved(at)
        items += _named(cell.name, box, names, True, Point(box.left, box.top))
    for placement, paths in zip(plan.placements, _outlines(plan, at), strict=True):
        bounds = paths[0].bounds
        inside = _named(placement.piece.name, bounds, names, False, bounds.centre)
        items += inside or _named(
            placement.piece.name, bounds.grown(9.0), names, False, bounds.centre
        )
    return items


def _named(text: str, box: Bounds, room: Room, must: bool, to: Point) -> list[Item]:
    size = 8.0 if must else SMALL
    width = width_of(text, size, bold=must) + 0.8
    height = height_of(size) + depth_of(size) + 0.6
    spots = nearest_first(boxes_in(box.grown(-0.3), width, height, 1.2), to)
    spot = room.first_free(spots)
    if spot is None and must and spots:
        spot = spots[0]
    if spot is None:
        return []
    at = Point(spot.left + 0.4, spot.bottom + depth_of(size) + 0.3)
    return [Words(text, at, size, bold=must, grey=0.0 if must else 0.1)]


def thumbnail(plan: Plan, width: float, height: float) -> tuple[Drawing, Affine]:
    """A very small map for every page, and the map from sheet to thumbnail millimetres."""
    at = fit(plan, Bounds(0, 0, width, height))
    cells = tuple(rectangle(plan.grid.core(cell).moved(at)) for cell in plan.cells)
    pieces = tuple(path for piece in _outlines(plan, at) for path in piece)
    items = (Stroke(cells, _THUMB_PAGE), Stroke(pieces, _THUMB_PIECE))
    return Drawing(Bounds(-0.2, -0.2, width + 0.2, height + 0.2), items), at


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
