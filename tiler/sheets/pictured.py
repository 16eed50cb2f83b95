"""One piece of the picture: small, with all that is said of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from tiler.drafting.pairs import partner_of
from tiler.drafting.seamlines import seam_lines
from tiler.layout.ink import paths_of
from tiler.pattern.affine import STILL, Affine
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.pattern.model import Lies, Line, Pattern, Piece, Role
from tiler.pattern.path import Path
from tiler.pattern.units import format_inch, format_mm
from tiler.pattern.wishes import Paper
from tiler.sheets.allowances import allowance_words
from tiler.sheets.arrow import arrowhead
from tiler.sheets.bracket import draw_small_bracket
from tiler.sheets.drawing import Fill, Item, Pen, Stroke
from tiler.sheets.edgetags import MANY, allowance_number, edge_tag, tagged_edges
from tiler.sheets.extent import word_boxes
from tiler.sheets.label import LabelLine, cut_words, fitted, number_words, part_words
from tiler.sheets.labelling import spots_in
from tiler.sheets.lettering import BODY, LARGE, SMALL, evenly
from tiler.sheets.pens import PENS
from tiler.sheets.piece import pattern_strokes
from tiler.sheets.room import Room, as_line
from tiler.sheets.words import say

#: Lines of the small drawing are thinner, and their dashes shorter, than at true size.
THINNER, SHORTER, THINNEST = 0.6, 0.5, 0.15
#: Free paper round the words inside a piece, millimetres, and how many places are tried.
_CLEAR, _SPOTS = 1.2, 6000
#: Widths (millimetres) and turns (degrees) of the words inside a piece, best first.
_SHAPES = (
    *((widest, 0.0) for widest in (75.0, 55.0, 42.0, 33.0)),
    *((widest, 90.0) for widest in (75.0, 55.0, 42.0)),
    (26.0, 0.0),
)
#: Type size of sizes and allowances.
_FACTS = SMALL + 0.5


@dataclass(frozen=True)
class Pictured:
    """A piece with its words; `extent` is the room that all of it takes, millimetres."""

    name: str
    items: tuple[Item, ...]
    extent: Bounds


def draw_pictured(piece: Piece, pattern: Pattern, factor: float) -> Pictured:
    """A drafted piece at a fraction of its size, with edges, allowances, fold and instructions.

    Args:
        piece: With the letters of its tracing.
        pattern: What it belongs to.
        factor: From true size to the picture.
    """
    at = Affine.scale(factor, factor)
    order = tuple(name for name, _ in pattern.styles)
    seams = _undrawn_seams(piece)
    items: list[Item] = []
    for style in ("", *piece.style_keys):
        strokes = pattern_strokes(piece, style, order)
        strokes += [Stroke((s.path,), PENS[s.role]) for s in seams if s.style == style]
        items += [_small(stroke, at) for stroke in strokes]
    heads = _arrowheads(piece.grain.moved(at)) if piece.grain else []
    lines = [as_line(path, at) for path in (*paths_of(piece), *(seam.path for seam in seams))]
    room = Room([*lines, *(as_line(path) for head in heads for path in head.paths)])
    items += heads
    for run in piece.runs:
        if run.edge.lies is Lies.FOLD:
            items += draw_small_bracket(run.edge.path.moved(at), fold_words(piece, pattern), room)
    banded = bool(piece.stitch) or any(line.role is Role.STITCH for line in piece.lines)
    tagged = tagged_edges(piece, banded and piece.outlines[0].role is Role.CUT)
    numbers = {each: allowance_number(each, at, room) for each in tagged}
    crowded = len(tagged) > MANY
    for each in tagged:
        told = bool(numbers[each])
        items += [*numbers[each], *edge_tag(each, at, room, numbered=told, crowded=crowded)]
    items += _block(piece, pattern, at, room, items)
    return Pictured(piece.name, tuple(items), _extent(piece, at, items))


def fold_words(piece: Piece, pattern: Pattern) -> str:
    """How a fold edge comes to paper: as it is, opened, or joined to another half."""
    if piece.wishes.paper is Paper.WHOLE:
        return say("picture_opened")
    partner = partner_of(piece, pattern)
    return say("picture_joined", partner=partner) if partner else say("fold_edge_short")


def _undrawn_seams(piece: Piece) -> tuple[Line, ...]:
    """The stitch lines that are known but not drawn on the sheets."""
    if not piece.stitch or piece.outlines[0].role is not Role.CUT:
        return ()
    widths = [{e.letter: piece.allowance_of(e) or 0.0 for e in r.edges} for r in piece.stitch]
    return seam_lines(piece.stitch, widths, piece.lines)


def _small(stroke: Stroke, at: Affine) -> Stroke:
    pen = stroke.pen
    dash = tuple(length * SHORTER for length in pen.dash)
    small = Pen(max(THINNEST, pen.width * THINNER), pen.grey, dash)
    return Stroke(tuple(path.moved(at) for path in stroke.paths), small)


def _arrowheads(grain: Path) -> list[Fill]:
    start, end = grain.start, grain.end
    size = start.to(end)
    if size == 0:
        return []
    along = ((end.x - start.x) / size, (end.y - start.y) / size)
    length = min(2.5, size / 3)
    return [arrowhead(end, along, length), arrowhead(start, (-along[0], -along[1]), length)]


def _block(piece: Piece, pattern: Pattern, at: Affine, room: Room, items: list[Item]) -> list[Item]:
    """The cutting instruction inside the piece where nothing is near, or else below it."""
    rings = [
        shapely.make_valid(shapely.Polygon(outline.path.moved(at).flattened(0.05)))
        for outline in piece.outlines
    ]
    inside = shapely.intersection_all(rings)
    # A name within the place of a pocket would be taken for the pocket's.
    inside = inside.difference(_places(piece, at))
    if inside.is_empty:
        return _below(piece, pattern, at, items)
    for widest, turn in _SHAPES:
        block = fitted(_lines(piece, pattern, widest))
        spots = spots_in(inside, [Bounds(*inside.bounds)], block, turn, _SPOTS)
        spot = room.first_free(spots, _CLEAR, turn)
        if spot is not None:
            return block.placed(spot, turn)
    return _below(piece, pattern, at, items)


def _below(piece: Piece, pattern: Pattern, at: Affine, items: list[Item]) -> list[Item]:
    drawn = _extent(piece, at, items)
    wide = max(60.0, min(drawn.width, 95.0))
    block = fitted(_lines(piece, pattern, wide))
    left, top = piece.bounds.moved(at).left, drawn.bottom - 0.8
    return block.placed(Bounds(left, top - block.height, left + block.width, top))


def _places(piece: Piece, at: Affine) -> BaseGeometry:
    """What pockets and other things cover where they are laid on the piece."""
    drawn = (line.path for line in piece.lines if line.role in (Role.INSIDE, Role.POCKET))
    rings = [path.moved(at).flattened(0.1) for path in drawn]
    closed = [shapely.make_valid(shapely.Polygon(ring)) for ring in rings if len(ring) > 2]
    return shapely.union_all(closed)


def _lines(piece: Piece, pattern: Pattern, widest: float) -> list[LabelLine]:
    return [
        LabelLine(part, size, bold)
        for text, size, bold in _texts(piece, pattern)
        for part in evenly(text, size, widest, bold=bold)
    ]


def _texts(piece: Piece, pattern: Pattern) -> Iterator[tuple[str, float, bool]]:
    bounds = bounds_of([outline.path.bounds for outline in piece.outlines])
    yield piece.name, LARGE, True
    which = " · ".join(w for w in (number_words(piece, pattern), part_words(piece)) if w)
    if which:
        yield which, _FACTS, False
    for cut in piece.cuts or (None,):
        yield cut_words(cut), BODY, True
    if piece.side:
        yield say("side", side=piece.side.value), BODY, True
    partner = partner_of(piece, pattern)
    if piece.wishes.paper is Paper.WHOLE:
        yield say("picture_opened_long"), _FACTS, False
    if partner:
        yield say("picture_joined_long", partner=partner), _FACTS, False
    yield f"{format_mm(bounds.width, 0)} × {format_mm(bounds.height, 0)}", _FACTS, False
    yield f"{format_inch(bounds.width)} × {format_inch(bounds.height)}", _FACTS, False
    yield allowance_words(piece), _FACTS, False
    styles = [name for name, _ in pattern.styles if name in piece.styles]
    if styles:
        yield say("picture_styles", styles=", ".join(styles)), _FACTS, False


def _extent(piece: Piece, at: Affine, items: list[Item]) -> Bounds:
    boxes = [piece.bounds.moved(at).grown(0.3)]
    for item in items:
        if isinstance(item, Stroke | Fill):
            boxes += [path.bounds for path in item.paths]
    return bounds_of([*boxes, *word_boxes(tuple(items), STILL)])
