"""The grainline that the maker asks for."""

from __future__ import annotations

import math
from dataclasses import replace

from tiler.drafting.grain.room import Room, longest
from tiler.drafting.marking.places import edge_named
from tiler.drafting.unfold.mirror import Axis
from tiler.intake.recall import Recall, afresh
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Lies, Outline, Piece
from tiler.pattern.path import polyline
from tiler.pattern.units import format_mm

#: Straighter than this (millimetres off the line between its ends) counts as straight.
STRAIGHT_WITHIN = 0.5
#: Folds that differ by less (degrees) run the same way.
_SAME_WAY = 0.1


def with_grain(piece: Piece, traced: Piece | None = None, recall: Recall = afresh) -> Piece:
    """Lay the grainline, parallel to the named edge or to the fold, or turned from it.

    It runs from its lower to its upper end (from left to right where it is level), at a place
    where it is long and well inside of the piece, clear of lines and marks where there is room.

    Args:
        piece: Drafted, with everything else on it.
        traced: The same piece before darts and styles; the grainline follows its edges, since a
            dart in a straight edge does not turn the grain. None to take the drafted ones.
        recall: How its place is found.

    Raises:
        PatternError: A grainline is drawn too, the edge is not there or not straight, there is no
            fold, or the piece has no room for a line.
    """
    wish = piece.wishes.grain
    if wish is None:
        return piece
    where = wish.where or piece.place
    if piece.grain is not None:
        raise PatternError(
            "a grainline is drawn and another one is asked for",
            where=where,
            remedy="Take grain out of the pattern file, or the line out of the drawing.",
        )
    before = traced or piece
    ring = (before.stitch or before.outlines)[0]
    edge = edge_named(ring, wish.along, where) if wish.along else _fold(ring, where)
    along = Affine.turn(wish.turn)(Point(*_direction(edge, where)))
    way = _upwards(along.x, along.y)
    ends = recall(piece.name, longest, Room.of(piece), way)
    if ends is None:
        raise PatternError(
            "there is no room for a grainline in that direction",
            where=where,
            remedy="Look at the outline: it must be some millimetres wide.",
        )
    return replace(piece, grain=polyline(ends))


def _fold(ring: Outline, where: str) -> Edge:
    """The longest edge on the fold.

    Raises:
        PatternError: There is none, or folds run in different directions.
    """
    folds = [edge for edge in ring.edges if edge.lies is Lies.FOLD]
    if not folds:
        raise PatternError(
            "the grainline is to lie along the fold, but no edge is on the fold",
            where=where,
            remedy='Name a straight edge: grain = "A"; or say which edge is on the fold.',
        )
    longest_fold = max(folds, key=lambda edge: edge.path.length)
    x, y = _direction(longest_fold, where)
    for edge in folds:
        u, v = _direction(edge, where)
        if math.degrees(math.asin(min(1.0, abs(x * v - y * u)))) > _SAME_WAY:
            raise PatternError(
                f"the folds {longest_fold.letter} and {edge.letter} run in different directions",
                where=where,
                remedy='Name the edge for the grainline by its letter: grain = "A".',
            )
    return longest_fold


def _direction(edge: Edge, where: str) -> tuple[float, float]:
    """Unit vector of a straight edge.

    Raises:
        PatternError: It is not straight.
    """
    start, end = edge.path.start, edge.path.end
    bulge = Axis(start, end).bulge(edge.path) if start.to(end) > STRAIGHT_WITHIN else math.inf
    if bulge > STRAIGHT_WITHIN:
        off = f"bulges by {format_mm(bulge)}" if math.isfinite(bulge) else "ends where it begins"
        raise PatternError(
            f"the grainline is to lie along edge {edge.letter}, which is not straight: it {off}",
            where=where,
            remedy="Name a straight edge, or draw the grainline in the drawing.",
        )
    return Axis(start, end).direction


def _upwards(x: float, y: float) -> tuple[float, float]:
    level = abs(y) < 1e-9
    return (x, y) if (x > 0 if level else y > 0) else (-x, -y)
