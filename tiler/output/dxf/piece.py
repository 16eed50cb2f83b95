"""A piece -> the entities of its block."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tiler.intake.dxf.layers import LINE_ROLES, Layer
from tiler.output.dxf.entities import extended, field, line, point, polyline
from tiler.output.dxf.sampling import Sample, sampled
from tiler.output.dxf.tags import Tag
from tiler.pattern.affine import Point
from tiler.pattern.model import Edge, Lies, Line, Mark, Outline, Piece, Role, styles_in
from tiler.pattern.path import Path
from tiler.pattern.segment import Straight
from tiler.pattern.units import format_mm

#: Heights of letters in millimetres: in the middle of a piece, and at its corners.
HEIGHT, SMALL = 4.0, 2.0


def block_tags(piece: Piece, outline: Outline, styles: Sequence[str]) -> Iterator[Tag]:
    """What stands in the block of one piece, or of one style of it.

    Args:
        piece: The piece.
        outline: The one outline that the block is for.
        styles: All styles of the pattern; their place, from 1 on, is the number of each.
    """

    def number(style: str) -> str:
        return "+".join(str(styles.index(each) + 1) for each in styles_in(style))

    def belongs(thing: Line | Mark) -> bool:
        own = {o.style for o in piece.outlines}
        if not thing.style or outline.style in styles_in(thing.style):
            return True
        return own.isdisjoint(styles_in(thing.style)) and outline is piece.outlines[0]

    dots: dict[tuple[Layer, Point], None] = {}
    yield from _drawn(Layer.BOUNDARY, outline.path, extended("", number(outline.style)), dots)
    for each in filter(belongs, piece.lines):
        layer = _layer(each)
        role = "" if LINE_ROLES[layer] is each.role else each.role.value
        yield from _drawn(layer, each.path, extended(role, number(each.style)), dots)
    for layer, at in dots:
        yield from point(layer, at)
    for edge in outline.edges:
        if edge.lies is Lies.FOLD and _straight(edge.path):
            yield from line(Layer.MIRROR, edge.path.start, edge.path.end)
    for mark in filter(belongs, piece.marks):
        layer = Layer.NOTCH if mark.role is Role.NOTCH else Layer.DRILL
        role = "" if mark.role in (Role.NOTCH, Role.DRILL) else mark.role.value
        yield from point(layer, mark.at, extended(role, number(mark.style), mark.path))
    if piece.grain:
        yield from line(Layer.GRAIN, piece.grain.start, piece.grain.end)
    yield from _words(piece, outline)


def _layer(each: Line) -> Layer:
    """Where a line goes.

    Only the mirror line may lie on layer 6, since a reader would unfold the piece about it; a
    fold inside is an internal line. A line to cut along for one style is no cutout: a cutter
    that obeys the layers would cut through the larger style.
    """
    if each.role is Role.STITCH:
        return Layer.SEW
    return Layer.CUTOUT if each.role is Role.CUT and not each.style else Layer.INTERNAL


def _drawn(
    layer: Layer, path: Path, said: Sequence[Tag], dots: dict[tuple[Layer, Point], None]
) -> list[Tag]:
    samples = sampled(path)
    for sample in samples:
        dots[_kind(sample), sample.at] = None
    points = [sample.at for sample in samples]
    if len(points) == 2 and not path.closed:
        return line(layer, points[0], points[1], said)
    return polyline(layer, points, path.closed, said)


def _kind(sample: Sample) -> Layer:
    return Layer.TURN if sample.turn else Layer.CURVE


def _straight(path: Path) -> bool:
    return len(path.segments) == 1 and isinstance(path.segments[0], Straight)


def _words(piece: Piece, outline: Outline) -> Iterator[Tag]:
    """The texts of a piece.

    "Piece Name", "Size", "Quantity" and "Material" are fields of ASTM D6673 on layer 1 [from
    memory]; the rest is annotation on layer 15, in words of our own that the reader knows.
    """
    system = [("Piece Name", piece.name)]
    if outline.style:
        system.append(("Size", outline.style))
    if piece.cuts:
        system.append(("Quantity", str(piece.cuts[0].count)))
        system.append(("Material", piece.cuts[0].cloth))
    annotation = [("Boundary", _boundary(outline, piece.allowance))]
    if piece.allowance is not None:
        annotation.append(("Allowance", format_mm(piece.allowance, 4)))
    for cut in piece.cuts:
        cloth = f" of {cut.cloth}" if cut.cloth else ""
        annotation.append(("Cut", f"{cut.count} {cut.lay.value}{cloth}"))
    annotation += [("Part", piece.part.value)] if piece.part else []
    annotation += [("Side", piece.side.value)] if piece.side else []
    annotation += [("Note", note) for note in piece.notes]
    at = outline.path.bounds.centre
    for layer, fields in ((Layer.BOUNDARY, system), (Layer.ANNOTATION, annotation)):
        for key, value in fields:
            yield from field(layer, at, HEIGHT, key, value)
            at = Point(at.x, at.y - HEIGHT * 1.5)
    for edge in outline.edges:
        for key, value in _edge(edge):
            yield from field(Layer.ANNOTATION, edge.path.start, SMALL, key, value)


def _boundary(outline: Outline, allowance: float | None) -> str:
    if outline.role is Role.STITCH:
        return "stitch line, seam allowance not included"
    return "cut line, seam allowance " + ("included" if allowance is not None else "not stated")


def _edge(edge: Edge) -> Iterator[tuple[str, str]]:
    name = f", {edge.name}" if edge.name else ""
    yield f"Edge {edge.letter}", f"{edge.lies.value}{name}"
    if edge.allowance is not None:
        yield f"Edge {edge.letter} Allowance", format_mm(edge.allowance, 4)
    if edge.finish:
        yield f"Edge {edge.letter} Corners", edge.finish.value
