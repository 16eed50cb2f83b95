"""A piece as it is printed: its lines by layer, its label, the fold bracket."""

from __future__ import annotations

from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from tiler.layout.ink import paths_of
from tiler.layout.plan import Placement
from tiler.pattern.affine import STILL, Affine
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.pattern.model import Edge, Lies, Line, Mark, Outline, Pattern, Piece, Role
from tiler.pattern.path import Path
from tiler.sheets.arrow import ARROW, arrowhead
from tiler.sheets.bracket import draw_bracket
from tiler.sheets.drawing import Drawing, Group, Item, Pen, Stroke
from tiler.sheets.extent import word_boxes
from tiler.sheets.ground import Ground
from tiler.sheets.labelling import draw_label
from tiler.sheets.pens import FOLD, GRAIN, PENS, style_pen
from tiler.sheets.room import Room, as_line
from tiler.sheets.stylename import name_style_lines


@dataclass(frozen=True)
class PlacedDrawing:
    """A layer of a piece and where it lies on the sheet."""

    drawing: Drawing
    at: Affine


def layer_names(pattern: Pattern) -> dict[tuple[str, str], str]:
    """The layer of each piece (style "") and of each of its styles; no name is there twice."""
    names: dict[tuple[str, str], str] = {}
    taken: set[str] = set()
    for piece in pattern.pieces:
        for style in ("", *piece.styles):
            wanted = f"{piece.name} · {style}" if style else piece.name
            name, count = wanted, 1
            while name in taken:
                count += 1
                name = f"{wanted} ({count})"
            taken.add(name)
            names[piece.name, style] = name
    return names


def draw_piece(
    placement: Placement, pattern: Pattern, ground: Ground
) -> tuple[list[PlacedDrawing], bool]:
    """The layers of a placed piece, shared lines first, with its label and fold bracket.

    Args:
        placement: The piece and where it lies on the sheet.
        pattern: What it belongs to.
        ground: The pages on which words can be printed whole.

    Returns:
        The layers, and whether the label says all that the maker wants said.
    """
    piece, at = placement.piece, placement.at
    order = tuple(name for name, _ in pattern.styles)
    names = layer_names(pattern)
    layers = []
    words, complete = _words(placement, pattern, ground)
    for style in ("", *piece.styles):
        items: list[Item] = list(pattern_strokes(piece, style, order))
        marks = words[style] if style else [*_arrowheads(piece), *words[""]]
        if marks:
            items.append(Group(tuple(marks), furniture=True))
        taken = word_boxes(tuple(items), STILL)
        bounds = bounds_of([_bounds(piece, style), *taken])
        layers.append(
            PlacedDrawing(Drawing(bounds, tuple(items), layer=names[piece.name, style]), at)
        )
    return layers, complete


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


def _arrowheads(piece: Piece) -> list[Item]:
    if piece.grain is None:
        return []
    start, end = piece.grain.start, piece.grain.end
    length = start.to(end)
    dx, dy = (end.x - start.x) / length, (end.y - start.y) / length
    size = min(ARROW, length / 4)
    return [arrowhead(end, (dx, dy), size), arrowhead(start, (-dx, -dy), size)]


def _words(
    placement: Placement, pattern: Pattern, ground: Ground
) -> tuple[dict[str, list[Item]], bool]:
    """Bracket, label and names of style lines, worked out upright on the sheet, by style.

    They are turned back into the piece. Also tells whether the label is complete.
    """
    piece, at = placement.piece, placement.at
    inside = _enclosed([outline.path for outline in piece.outlines], at)
    outlined = _enclosed([line.path for line in piece.lines if line.role is Role.INSIDE], at)
    room = Room([as_line(path, at) for path in paths_of(piece)])
    items: list[Item] = []
    for edge in (edge for outline in piece.outlines for edge in outline.edges):
        if edge.lies is Lies.FOLD:
            items += draw_bracket(edge, at, room, ground)
    home = _inverse(at)
    words: dict[str, list[Item]] = {}
    for style in piece.styles:
        named = name_style_lines(piece, style, at, room, ground)
        words[style] = [Group(tuple(named), at=home)] if named else []
    label, complete = draw_label(piece, pattern, room, inside, outlined, ground)
    words[""] = [Group((*items, *label), at=home)]
    return words, complete


def _enclosed(paths: list[Path], at: Affine) -> BaseGeometry:
    """What paths enclose on the sheet; open ones are closed by a straight line."""
    shapes = []
    for path in paths:
        points = [at(p) for p in path.flattened(0.1)]
        if len(points) > 2:
            shapes.append(shapely.make_valid(shapely.Polygon(points)))
    return shapely.union_all(shapes)


def _inverse(at: Affine) -> Affine:
    """The way back of a turn and a shift."""
    return Affine(
        at.a, at.c, at.b, at.d, -(at.a * at.e + at.b * at.f), -(at.c * at.e + at.d * at.f)
    )
