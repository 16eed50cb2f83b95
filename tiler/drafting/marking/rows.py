"""Buttons, buttonholes and drill points in rows beside an edge."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from shapely import LineString
from shapely import Point as ShapelyPoint
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from tiler.drafting.marking.across import once
from tiler.drafting.marking.places import (
    BEYOND,
    edge_named,
    sewn_distance,
    stitch_rings,
)
from tiler.drafting.marking.symbols import symbol
from tiler.drafting.rings import FLAT, polygon_of
from tiler.drafting.unfold.mirror import Axis
from tiler.drafting.walking.sewn import sewn_edge
from tiler.drafting.walking.side import SewnEdge
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Lies, Mark, Outline, Pattern, Piece
from tiler.pattern.units import format_mm
from tiler.pattern.wishes import EdgeName, MarkWish

#: How far (millimetres) a mark may reach out of the piece: what its chords leave.
_ROUNDING = 0.05
#: Marks of a row stand this far (millimetres) apart at least.
_NEAREST = 1.0


def with_marks(piece: Piece) -> Piece:
    """Put the wished buttons, buttonholes and drill points on a piece.

    The first mark of a row stands at its place on the stitch line of the edge, measured as it is
    sewn, with its darts closed, and so many millimetres inside, square to the edge there. The
    next ones follow along the edge, away from the end that the place is counted from.

    Args:
        piece: With its stitch rings and outlines, one a style.

    Raises:
        PatternError: A place is off its edge, the stitch line is not known, or a mark does not
            lie inside of the piece.
    """
    if not piece.wishes.marks:
        return piece
    styles = [ring.style for ring in piece.stitch if ring.style]
    made: list[Mark] = []
    for wish in piece.wishes.marks:
        where = wish.where or piece.place
        rings = stitch_rings(piece, where, f"the place of the {wish.kind}")
        for ring, outline in zip(rings, piece.outlines, strict=True):
            named = f"{where}, style {ring.style}" if ring.style else where
            made += (
                replace(mark, style=ring.style) for mark in _row(wish, piece, ring, outline, named)
            )
    return replace(piece, marks=(*piece.marks, *once(made, styles)))


def _row(
    wish: MarkWish, piece: Piece, ring: Outline, outline: Outline, where: str
) -> Iterator[Mark]:
    edge = edge_named(ring, wish.at.edge, where)
    sewn = sewn_edge(_alone(piece), EdgeName(piece.name, edge.letter), ring.style, where)
    first = sewn_distance(sewn.length, edge.letter, wish.at, where)
    if wish.count > 1 and not wish.apart >= _NEAREST:
        raise PatternError(
            f"{wish.count} marks {format_mm(wish.apart)} apart are one spot",
            where=where,
            remedy='Say how far it is from one to the next: apart = "80 mm".',
        )
    back = -1.0 if wish.at.from_end else 1.0
    within, paper = polygon_of(ring.path).buffer(_ROUNDING), _opened(outline)
    for number in range(wish.count):
        along = first + back * number * wish.apart
        if number:
            along = _checked(sewn, along, number, wish, where)
        point, (x, y) = edge.path.point_at(sewn.along(along))
        # Clockwise, so the inside is on the right of the way.
        at = Point(point.x + y * wish.inside, point.y - x * wish.inside)
        try:
            mark = symbol(wish.kind, at, (y, -x), wish.size)
        except PatternError as error:
            raise error.within(where) from None
        if not within.covers(ShapelyPoint(at)) or not paper.covers(
            LineString(mark.path.flattened(FLAT))
        ):
            raise PatternError(
                f"the {wish.kind} at ({at.x:.1f}, {at.y:.1f}) mm does not lie inside of the piece",
                where=where,
                remedy=f"Change the {format_mm(wish.inside)} from edge {edge.letter}, its place "
                "or its size.",
            )
        yield mark


def _opened(outline: Outline) -> BaseGeometry:
    """The paper, with its mirror image across each fold."""
    paper = polygon_of(outline.path)
    folds = [edge.path for edge in outline.edges if edge.lies is Lies.FOLD]
    mirrors = [Axis(fold.start, fold.end).mirror for fold in folds if fold.start != fold.end]
    others = [polygon_of(outline.path.moved(mirror)) for mirror in mirrors]
    return unary_union([paper, *others]).buffer(_ROUNDING)


def _alone(piece: Piece) -> Pattern:
    return Pattern("", (piece,))


def _checked(sewn: SewnEdge, along: float, number: int, wish: MarkWish, where: str) -> float:
    """The place of a later mark of a row, refused off the edge with its number."""
    if -BEYOND <= along <= sewn.length + BEYOND:
        return along
    raise PatternError(
        f"mark {number + 1} of {wish.count} would lie beyond the end of edge "
        f"{sewn.edge.letter}, which is {format_mm(sewn.length)} long",
        where=where,
        remedy="Take fewer marks, or less from one to the next.",
    )
