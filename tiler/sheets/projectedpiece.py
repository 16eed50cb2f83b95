"""A piece on the mat: its lines in projected widths, and the cloth that it is."""

from __future__ import annotations

import shapely
from shapely.geometry.base import BaseGeometry

from tiler.layout.ink import paths_of
from tiler.layout.mats.windows import Shown
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Piece, Role
from tiler.pattern.path import Path, rectangle
from tiler.sheets.arrow import arrowhead
from tiler.sheets.drawing import Fill, Stroke
from tiler.sheets.layers import drawn_keys
from tiler.sheets.piece import pattern_strokes
from tiler.sheets.projectedpens import Brush
from tiler.sheets.room import as_line

#: How long the heads of a grainline are, mm.
HEAD = 24.0
_PLACES = (Role.INSIDE, Role.POCKET)


def projected_lines(
    shown: Shown, order: tuple[str, ...], brush: Brush, field: Bounds
) -> list[Stroke]:
    """The pattern lines of a piece that come into the field, mat coordinates.

    Args:
        shown: The piece and where it lies.
        order: The pattern's styles.
        brush: The pens.
        field: The part of the mat that shows pieces.
    """
    strokes = []
    for key in ("", *drawn_keys(shown.piece)):
        for stroke in pattern_strokes(shown.piece, key, order):
            paths = tuple(path.moved(shown.at) for path in stroke.paths)
            paths = tuple(path for path in paths if _near(path, field))
            if paths:
                strokes.append(Stroke(paths, brush.of(stroke.pen)))
    return strokes


def _near(path: Path, field: Bounds) -> bool:
    left, bottom, right, top = path.bounds
    near = left <= field.right and field.left <= right
    return near and bottom <= field.top and field.bottom <= top


def grain_heads(shown: Shown, field: Bounds | None) -> list[Fill]:
    """The heads of the grainline that lie in the field whole; all of them without a field."""
    grain = shown.piece.grain
    if grain is None:
        return []
    start, end = shown.at(grain.start), shown.at(grain.end)
    length = start.to(end)
    dx, dy = (end.x - start.x) / length, (end.y - start.y) / length
    size = min(HEAD, length / 4)
    heads = [arrowhead(end, (dx, dy), size), arrowhead(start, (-dx, -dy), size)]
    return [head for head in heads if field is None or field.holds(head.paths[0].bounds)]


def drawn_on(piece: Piece, at: Affine) -> list[BaseGeometry]:
    """All that words keep clear of: the lines of a piece and the heads of its grain, moved."""
    heads = grain_heads(Shown(piece, at), None)
    return [*lines_on(piece, at), *(as_line(head.paths[0]) for head in heads)]


def lines_on(piece: Piece, at: Affine) -> list[BaseGeometry]:
    """All lines of a piece, moved."""
    return [as_line(path, at) for path in paths_of(piece)]


def cloth_of(piece: Piece, at: Affine) -> BaseGeometry:
    """What the outlines of all styles enclose together, moved."""
    return shapely.union_all([_area(outline.path, at) for outline in piece.outlines])


def open_cloth_of(piece: Piece, at: Affine) -> BaseGeometry:
    """The same without the places of pockets: words in there would be taken for the pocket's."""
    paths = [line.path for line in piece.lines if line.role in _PLACES]
    # A pocket across the fold is drawn to the fold alone: its place is the box round its line.
    rings = [path if path.closed else rectangle(path.bounds) for path in paths]
    places = shapely.union_all([_area(ring, at) for ring in rings])
    return cloth_of(piece, at).difference(places)


def _area(path: Path, at: Affine) -> BaseGeometry:
    return shapely.make_valid(shapely.Polygon([at(Point(*p)) for p in path.flattened(0.1)]))
