"""A piece as it is printed: its lines by layer, its label, the fold bracket."""

from __future__ import annotations

from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from tiler.drafting.pairs import partner_of
from tiler.layout.ink import paths_of
from tiler.layout.plan import Placement
from tiler.pattern.affine import STILL, Affine
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.pattern.model import Lies, Line, Mark, Pattern, Piece, Role, Run, styles_in
from tiler.pattern.path import Path
from tiler.sheets.arrow import ARROW, arrowhead
from tiler.sheets.bracket import draw_bracket
from tiler.sheets.drawing import Drawing, Group, Item, Stroke, Use
from tiler.sheets.extent import line_boxes, word_boxes
from tiler.sheets.ground import Ground
from tiler.sheets.labelling import draw_label
from tiler.sheets.pens import GRAIN, line_pen
from tiler.sheets.room import Room, as_line
from tiler.sheets.runstrokes import run_strokes
from tiler.sheets.stylename import name_style_lines

#: Lines round the place of something else: a label in there would be taken for that piece's.
_PLACES = (Role.INSIDE, Role.POCKET)


@dataclass(frozen=True)
class PlacedDrawing:
    """A layer of a piece and where it lies on the sheet."""

    drawing: Drawing
    at: Affine


@dataclass(frozen=True)
class LayerNames:
    """What a reader of the file can switch; no name is there twice.

    Args:
        styles: Style -> its layer, which has the style's own name.
        pieces: Piece -> its layer, which has the piece's own name unless a style has it.
    """

    styles: dict[str, str]
    pieces: dict[str, str]

    def of(self, key: str) -> tuple[str, ...]:
        """The layers of the styles that a style key names."""
        return tuple(self.styles[style] for style in styles_in(key))


def layer_names(pattern: Pattern) -> LayerNames:
    """A layer for each piece, and one for each style that has lines of its own anywhere."""
    drawn = {s for p in pattern.pieces for key in drawn_keys(p) for s in styles_in(key)}
    order = dict.fromkeys((*(style for style, _ in pattern.styles), *sorted(drawn)))
    styles = {style: style for style in order if style in drawn}
    taken = set(styles)
    pieces: dict[str, str] = {}
    for piece in pattern.pieces:
        name, count = piece.name, 1
        while name in taken:
            count += 1
            name = f"{piece.name} ({count})"
        taken.add(name)
        pieces[piece.name] = name
    return LayerNames(styles, pieces)


def drawn_keys(piece: Piece) -> tuple[str, ...]:
    """The style keys of what is drawn for some styles only, single styles first."""
    things: tuple[Run | Line | Mark, ...] = (*piece.runs, *piece.lines, *piece.marks)
    drawn = {thing.style for thing in things}
    return tuple(key for key in piece.style_keys if key in drawn)


def draw_piece(
    placement: Placement, pattern: Pattern, ground: Ground
) -> tuple[PlacedDrawing, bool]:
    """A placed piece with its label and fold brackets, and its styles as layers inside its own.

    What belongs to one style shows when both the piece and the style do; what several styles
    share, when one of them does.

    Args:
        placement: The piece and where it lies on the sheet.
        pattern: What it belongs to.
        ground: The pages on which words can be printed whole.

    Returns:
        The drawing, and whether the label says all that the maker wants said.
    """
    piece = placement.piece
    order = tuple(name for name, _ in pattern.styles)
    names = layer_names(pattern)
    words, complete = _words(placement, pattern, ground)
    items: list[Item] = list(pattern_strokes(piece, "", order))
    parts: list[Drawing] = []
    for key in drawn_keys(piece):
        own: list[Item] = list(pattern_strokes(piece, key, order))
        if words[key]:
            own.append(Group(tuple(words[key]), furniture=True))
        layers = names.of(key)
        layer, any_of = (layers[0], ()) if len(layers) == 1 else ("", layers)
        parts.append(Drawing(_bounds(piece, key, own), tuple(own), layer, any_of))
    items += [Use(part) for part in parts]
    marks = [*_arrowheads(piece), *words[""]]
    if marks:
        items.append(Group(tuple(marks), furniture=True))
    bounds = bounds_of([_bounds(piece, "", items), *(part.bounds for part in parts)])
    drawing = Drawing(bounds, tuple(items), names.pieces[piece.name])
    return PlacedDrawing(drawing, placement.at), complete


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


def _bounds(piece: Piece, style: str, items: list[Item]) -> Bounds:
    parts = [run.edge.path.bounds for run in piece.runs if run.style == style]
    parts += [line.path.bounds for line in piece.lines if line.style == style]
    parts += [mark.path.bounds for mark in piece.marks if mark.style == style]
    if not style and piece.grain:
        parts.append(piece.grain.bounds)
    taken = [*word_boxes(tuple(items), STILL), *line_boxes(tuple(items), STILL)]
    grown = bounds_of(parts or [piece.bounds]).grown(1.0)
    return bounds_of([grown, *(box.grown(0.5) for box in taken)])


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
    outlined = _enclosed([line.path for line in piece.lines if line.role in _PLACES], at)
    room = Room([as_line(path, at) for path in paths_of(piece)])
    items: list[Item] = []
    shared = bool(partner_of(piece, pattern))
    for edge in (run.edge for run in piece.runs):
        if edge.lies is Lies.FOLD:
            items += draw_bracket(edge, at, room, ground, shared=shared)
    home = _inverse(at)
    words: dict[str, list[Item]] = {}
    for style in drawn_keys(piece):
        named = name_style_lines(piece, style, at, room, inside, ground)
        words[style] = [Group(tuple(named), at=home)] if named else []
    label, complete = draw_label(piece, pattern, room, _kept(piece, at), outlined, ground)
    words[""] = [Group((*items, *label), at=home)]
    return words, complete


def _kept(piece: Piece, at: Affine) -> BaseGeometry:
    """What every style keeps of the piece on the sheet: a label there is never cut away."""
    shapes = [_enclosed([outline.path], at) for outline in piece.outlines]
    kept = shapely.intersection_all(shapes)
    return shapely.union_all(shapes) if kept.is_empty else kept


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
