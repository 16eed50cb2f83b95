"""The lines of a piece, in parts that a reader can switch and a page can leave out."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import shapely
from shapely.geometry.base import BaseGeometry

from tiler.layout.ink import CLOSE
from tiler.layout.plan import Placement
from tiler.pattern.affine import STILL, Affine
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.pattern.model import Line, Mark, Pattern, Piece
from tiler.sheets.arrow import ARROW, arrowhead
from tiler.sheets.drawing import Drawing, Fill, Group, Item, Stroke, Use
from tiler.sheets.extent import line_boxes
from tiler.sheets.layers import LayerNames, drawn_keys
from tiler.sheets.pens import GRAIN, line_pen
from tiler.sheets.runstrokes import run_strokes


@dataclass(frozen=True)
class Reach:
    """A line of a part on the sheet, and how far its ink goes to each side, millimetres."""

    line: BaseGeometry
    half: float


@dataclass(frozen=True)
class Part:
    """What all styles of a piece share, or what some of them have of their own.

    Args:
        drawing: In the piece's coordinates.
        reaches: Where on the sheet its ink is.
    """

    drawing: Drawing
    reaches: tuple[Reach, ...]


@dataclass(eq=False)
class DrawnPiece:
    """The lines of a placed piece.

    Args:
        name: Of the piece.
        layer: Its layer.
        at: From the piece to the sheet.
        parts: What all styles share, then what is drawn for some; none is empty.
    """

    name: str
    layer: str
    at: Affine
    parts: tuple[Part, ...]

    @property
    def lines(self) -> list[BaseGeometry]:
        """All lines, sheet coordinates."""
        return [reach.line for part in self.parts for reach in part.reaches]

    def showing(self, numbers: frozenset[int], to_page: Affine) -> Item:
        """The piece with some of its parts, in its layer; a part is the same drawing everywhere.

        A page gets no part of which it shows nothing.

        Args:
            numbers: Indices of parts, one at least.
            to_page: From the sheet to the page.
        """
        at = self.at.then(to_page)
        if self._alone:
            return Use(self._alone, at)
        uses = tuple(Use(self.parts[number].drawing) for number in sorted(numbers))
        return Group(uses, at=at, layers=(self.layer,))

    @cached_property
    def _alone(self) -> Drawing | None:
        """Without styles the lines themselves are the layer."""
        if len(self.parts) > 1:
            return None
        (part,) = (part.drawing for part in self.parts)
        if part.layer or part.any_of:
            return None
        return Drawing(part.bounds, part.items, self.layer)


def draw_piece(placement: Placement, pattern: Pattern, names: LayerNames) -> DrawnPiece:
    """The lines of a placed piece, its styles as layers inside its own.

    What belongs to one style shows when both the piece and the style do; what several styles
    share, when one of them does.

    Args:
        placement: The piece and where it lies on the sheet.
        pattern: What it belongs to.
        names: The layers.
    """
    piece, at = placement.piece, placement.at
    order = tuple(name for name, _ in pattern.styles)
    parts = []
    for key in ("", *drawn_keys(piece)):
        strokes = pattern_strokes(piece, key, order)
        heads = [] if key else arrowheads(piece)
        if not strokes:
            continue
        items: list[Item] = [*strokes]
        if heads:
            items.append(Group(tuple(heads), furniture=True))
        layers = names.of(key)
        layer, any_of = (layers[0], ()) if len(layers) == 1 else ("", layers)
        drawing = Drawing(_bounds(items), tuple(items), layer, any_of)
        parts.append(Part(drawing, (*_reaches(strokes, at), *_filled(heads, at))))
    return DrawnPiece(piece.name, names.pieces[piece.name], at, tuple(parts))


def pattern_strokes(piece: Piece, style: str, order: tuple[str, ...]) -> list[Stroke]:
    """The pattern lines of a piece that all styles share, or those of one style."""
    strokes = run_strokes([run for run in piece.runs if run.style == style], order)
    things: tuple[Line | Mark, ...] = (*piece.lines, *piece.marks)
    for thing in things:
        if thing.style == style:
            strokes.append(Stroke((thing.path,), line_pen(thing.role, order, style)))
    if piece.grain and not style:
        strokes.append(Stroke((piece.grain,), GRAIN))
    return strokes


def arrowheads(piece: Piece) -> list[Fill]:
    """The heads of the grainline, at both ends."""
    if piece.grain is None:
        return []
    start, end = piece.grain.start, piece.grain.end
    length = start.to(end)
    dx, dy = (end.x - start.x) / length, (end.y - start.y) / length
    size = min(ARROW, length / 4)
    return [arrowhead(end, (dx, dy), size), arrowhead(start, (-dx, -dy), size)]


def _bounds(items: list[Item]) -> Bounds:
    return bounds_of(line_boxes(tuple(items), STILL)).grown(1.0)


def _reaches(strokes: list[Stroke], at: Affine) -> list[Reach]:
    return [
        Reach(shapely.LineString([at(p) for p in path.flattened(CLOSE)]), stroke.pen.width / 2)
        for stroke in strokes
        for path in stroke.paths
    ]


def _filled(fills: list[Fill], at: Affine) -> list[Reach]:
    return [
        Reach(shapely.LinearRing([at(p) for p in path.nodes()]), 0.0)
        for fill in fills
        for path in fill.paths
    ]
