"""A piece as it is printed: its lines by layer, its label, the fold bracket."""

from __future__ import annotations

from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from tiler.layout.plan import Placement
from tiler.pattern.affine import Affine, Point
from tiler.pattern.model import Edge, Lies, Line, Mark, Outline, Pattern, Piece
from tiler.pattern.path import Bounds, Path, bounds_of, polyline
from tiler.sheets.drawing import Drawing, Fill, Group, Item, Pen, Stroke, Words
from tiler.sheets.label import fitted, label_lines
from tiler.sheets.lettering import BODY, width_of
from tiler.sheets.pens import FINE, FOLD, GRAIN, PENS, style_pen
from tiler.sheets.room import Room, as_line, boxes_in, nearest_first
from tiler.sheets.words import say

#: How far inside the edge the fold bracket runs, and how long its arrowheads are, millimetres.
BRACKET = 9.0
ARROW = 4.0


@dataclass(frozen=True)
class PlacedDrawing:
    """A layer of a piece and where it lies on the sheet."""

    drawing: Drawing
    at: Affine


def layer_name(piece: Piece, style: str) -> str:
    """The name of the layer that carries a piece's shared lines, or those of one style."""
    return f"{piece.name} · {style}" if style else piece.name


def draw_piece(
    placement: Placement, pattern: Pattern, frames: list[Bounds], whole: Bounds
) -> list[PlacedDrawing]:
    """The layers of a placed piece, shared lines first, with its label and fold bracket.

    Args:
        placement: The piece and where it lies on the sheet.
        pattern: What it belongs to.
        frames: Parts of the sheet on which words can be printed whole, best without a joint.
        whole: The whole sheet.
    """
    piece, at = placement.piece, placement.at
    order = tuple(name for name, _ in pattern.styles)
    layers = []
    for style in ("", *piece.styles):
        lines = pattern_strokes(piece, style, order)
        if not lines and style:
            continue
        items: list[Item] = list(lines)
        if not style:
            words = [*_arrowheads(piece), *_words(placement, pattern, frames, whole)]
            items.append(Group(tuple(words), furniture=True))
        bounds = _bounds(piece, style)
        layers.append(
            PlacedDrawing(Drawing(bounds, tuple(items), layer=layer_name(piece, style)), at)
        )
    return layers


def pattern_strokes(piece: Piece, style: str, order: tuple[str, ...]) -> list[Stroke]:
    """The pattern lines of a piece that all styles share, or those of one style."""
    strokes: list[Stroke] = []
    for outline in piece.outlines:
        if outline.style == style:
            strokes += _outline_strokes(outline, order)
    things: tuple[Line | Mark, ...] = (*piece.lines, *piece.marks)
    for thing in things:
        if thing.style == style:
            strokes.append(Stroke((thing.path,), style_pen(PENS[thing.role], order, style)))
    if piece.grain and not style:
        strokes.append(Stroke((piece.grain,), GRAIN))
    return strokes


def _outline_strokes(outline: Outline, order: tuple[str, ...]) -> list[Stroke]:
    """The ring in as few strokes as its pens allow, so that dashes run on round corners."""
    pens = [_edge_pen(outline, edge, order) for edge in outline.edges]
    if len(set(pens)) == 1:
        return [Stroke((outline.path,), pens[0])]
    first = next(i for i, pen in enumerate(pens) if pen != pens[i - 1])
    edges = outline.edges[first:] + outline.edges[:first]
    runs: list[tuple[Pen, list[Edge]]] = []
    for edge in edges:
        pen = _edge_pen(outline, edge, order)
        if runs and runs[-1][0] == pen:
            runs[-1][1].append(edge)
        else:
            runs.append((pen, [edge]))
    return [
        Stroke((Path(tuple(s for edge in run for s in edge.path.segments)),), pen)
        for pen, run in runs
    ]


def _edge_pen(outline: Outline, edge: Edge, order: tuple[str, ...]) -> Pen:
    if edge.lies is Lies.FOLD:
        return FOLD
    return style_pen(PENS[outline.role], order, outline.style)


def _bounds(piece: Piece, style: str) -> Bounds:
    parts = [o.path.bounds for o in piece.outlines if o.style == style]
    parts += [line.path.bounds for line in piece.lines if line.style == style]
    parts += [mark.path.bounds for mark in piece.marks if mark.style == style]
    if not style and piece.grain:
        parts.append(piece.grain.bounds)
    return bounds_of(parts or [piece.bounds]).grown(1.0)


def arrowhead(tip: Point, direction: tuple[float, float], length: float = ARROW) -> Fill:
    """A filled arrowhead that points along a unit direction."""
    (x, y), (dx, dy) = tip, direction
    back, half = Point(x - dx * length, y - dy * length), length * 0.28
    left = Point(back.x - dy * half, back.y + dx * half)
    right = Point(back.x + dy * half, back.y - dx * half)
    return Fill((polyline([tip, left, right], closed=True),), 0.0)


def _arrowheads(piece: Piece) -> list[Item]:
    if piece.grain is None:
        return []
    start, end = piece.grain.start, piece.grain.end
    length = start.to(end)
    dx, dy = (end.x - start.x) / length, (end.y - start.y) / length
    size = min(ARROW, length / 4)
    return [arrowhead(end, (dx, dy), size), arrowhead(start, (-dx, -dy), size)]


def _words(
    placement: Placement, pattern: Pattern, frames: list[Bounds], whole: Bounds
) -> list[Item]:
    """Bracket and label, worked out upright on the sheet and turned back into the piece."""
    piece, at = placement.piece, placement.at
    inside = shapely.make_valid(
        shapely.union_all(
            [
                shapely.Polygon([at(p) for p in outline.path.flattened(0.1)])
                for outline in piece.outlines
            ]
        )
    )
    lines = [line.path for line in piece.lines] + [mark.path for mark in piece.marks]
    lines += [piece.grain] if piece.grain else []
    room = Room([inside.boundary, *(as_line(path, at) for path in lines)])
    items: list[Item] = []
    for edge in (edge for outline in piece.outlines for edge in outline.edges):
        if edge.lies is Lies.FOLD:
            items += _bracket(edge, at, room, frames)
    items += _label(piece, pattern, at, room, inside, frames, whole)
    home = _inverse(at)
    return [Group(tuple(items), at=home)]


def _label(
    piece: Piece,
    pattern: Pattern,
    at: Affine,
    room: Room,
    inside: BaseGeometry,
    frames: list[Bounds],
    whole: Bounds,
) -> list[Item]:
    bounds = Bounds(*inside.bounds)
    centre = Point(*inside.centroid.coords[0])
    shapely.prepare(inside)
    for shrink in (1.0, 0.8, 0.65):
        lines = label_lines(piece, pattern, shrink)
        for turn in (0.0, 90.0) if bounds.width >= bounds.height / 3 else (90.0, 0.0):
            block = fitted(lines, turn)
            spots = boxes_in(bounds.grown(-2), block.width, block.height, 6.0)
            spots = [s for s in spots if inside.contains(shapely.box(*s))]
            spots = nearest_first(spots, centre)
            unbroken = [s for s in spots if any(_holds(f, s) for f in frames)]
            spot = room.first_free(unbroken)
            if spot is None and shrink < 1:
                spot = room.first_free([s for s in spots if _holds(whole, s)])
            if spot is not None:
                return block.placed(spot)
    # Too narrow for any words inside: beside the piece, where the gap to the next one is.
    block = fitted(label_lines(piece, pattern, 0.65)[:1], 0.0)
    corner = Bounds(
        bounds.left, bounds.top + 1.5, bounds.left + block.width, bounds.top + 1.5 + block.height
    )
    return block.placed(corner)


def _holds(outer: Bounds, inner: Bounds) -> bool:
    return (
        outer.left <= inner.left
        and outer.bottom <= inner.bottom
        and inner.right <= outer.right
        and inner.top <= outer.top
    )


def _bracket(edge: Edge, at: Affine, room: Room, frames: list[Bounds]) -> list[Item]:
    """A line beside a fold edge whose two arrows point at it, with the words along it."""
    start, end = at(edge.path.start), at(edge.path.end)
    length = start.to(end)
    if length < 4 * BRACKET:
        return []
    along = ((end.x - start.x) / length, (end.y - start.y) / length)
    # Edges run clockwise, so the piece is on the right-hand side.
    inward = (along[1], -along[0])

    def spot(distance: float, depth: float) -> Point:
        return Point(
            start.x + along[0] * distance + inward[0] * depth,
            start.y + along[1] * distance + inward[1] * depth,
        )

    inset = min(length * 0.12, 60.0)
    low, high = inset, length - inset
    line = polyline([spot(low, 1), spot(low, BRACKET), spot(high, BRACKET), spot(high, 1)])
    outward = (-inward[0], -inward[1])
    items: list[Item] = [
        Stroke((line,), FINE),
        arrowhead(spot(low, 0.6), outward),
        arrowhead(spot(high, 0.6), outward),
    ]
    words = say("fold_edge")
    size = width_of(words, BODY)
    turn = _upright(along)
    for share in (0.5, 0.4, 0.6, 0.3, 0.7, 0.35, 0.65, 0.45, 0.55, 0.25, 0.75):
        middle = length * share
        if size + 4 > high - low:
            break
        depth = BRACKET + 3.4 if turn[1] else BRACKET + 1.2
        box = _box_along(spot(middle - size / 2, depth - 2.4), spot(middle + size / 2, depth + 2.4))
        if any(_holds(frame, box) for frame in frames) and room.first_free([box]):
            items.append(Words(words, spot(middle, depth), BODY, anchor="middle", turn=turn[0]))
            break
    room.take(_box_along(spot(low, 0), spot(high, BRACKET + 0.5)))
    return items


def _upright(along: tuple[float, float]) -> tuple[float, bool]:
    """The turn at which words along a direction read best, and whether they hang inward."""
    import math

    degrees = math.degrees(math.atan2(along[1], along[0]))
    if -90.001 < degrees <= 89.999:
        return degrees, True
    return (degrees + 180 if degrees < 0 else degrees - 180), False


def _box_along(a: Point, b: Point) -> Bounds:
    return Bounds(min(a.x, b.x), min(a.y, b.y), max(a.x, b.x), max(a.y, b.y))


def _inverse(at: Affine) -> Affine:
    """The way back of a turn and a shift."""
    return Affine(
        at.a, at.c, at.b, at.d, -(at.a * at.e + at.b * at.f), -(at.c * at.e + at.d * at.f)
    )
