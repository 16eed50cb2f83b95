"""Corners that a drawing must mark, since they turn too little to be found."""

from __future__ import annotations

from collections.abc import Sequence

from tiler.intake.edges import CORNER_TURN, edges_of
from tiler.pattern.affine import Point
from tiler.pattern.model import Edge, Piece
from tiler.pattern.segment import turn_between

#: Corners this little sharper (degrees) than the rule asks are marked as well, since the numbers
#: of a drawing are rounded.
_SPARE = 0.5
#: The same place, millimetres.
_SAME = 1e-6


def marks_of(piece: Piece) -> tuple[Point, ...]:
    """The corners of a piece's outlines that need a mark."""
    marks: dict[Point, None] = {}
    for outline in piece.outlines:
        starts = [edge.path.start for edge in outline.edges]
        found = [edge.path.start for edge in edges_of(outline.path)]
        if _same(starts, found) and not _doubtful(outline.edges):
            continue
        marks.update(dict.fromkeys(_weak(outline.edges)))
    return tuple(marks)


def _weak(edges: Sequence[Edge]) -> list[Point]:
    return [edge.path.start for nth, edge in enumerate(edges) if _turn(edges, nth) <= _limit()]


def _doubtful(edges: Sequence[Edge]) -> bool:
    turns = [_turn(edges, nth) for nth in range(len(edges))]
    return any(CORNER_TURN < turn <= _limit() for turn in turns)


def _limit() -> float:
    return CORNER_TURN + _SPARE


def _turn(edges: Sequence[Edge], nth: int) -> float:
    """Degrees by which the way turns where an edge begins."""
    return abs(turn_between(edges[nth - 1].path.segments[-1], edges[nth].path.segments[0]))


def _same(one: Sequence[Point], other: Sequence[Point]) -> bool:
    return len(one) == len(other) and all(a.to(b) <= _SAME for a, b in zip(one, other, strict=True))
