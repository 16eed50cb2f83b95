"""What a person needs to know of an edge to tell it from the others, and to say what it is."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from tiler.drafting.soundness import FOLD_STRAIGHT
from tiler.pattern.affine import Point
from tiler.pattern.model import Edge, Lies, Piece
from tiler.pattern.path import Path

#: A side of the piece for each eighth of a turn, from the right on, anticlockwise.
SIDES = (
    "right",
    "upper_right",
    "top",
    "upper_left",
    "left",
    "lower_left",
    "bottom",
    "lower_right",
)
#: An edge whose ends are nearer to one another than this share of its length runs all round.
_ROUND = 0.01
#: How far (millimetres) a half piece may reach over its fold; more, and it is no half piece.
_OVER = 0.5
#: Shorter edges (millimetres) are no fold of a garment piece; common practice, no source.
_SHORTEST_FOLD = 20.0
#: Nor is one that so many others of the outline are longer than.
_LONGEST = 40
#: An edge leans from upright by less than this share of its length when it counts as upright.
_UPRIGHT = 0.05


@dataclass(frozen=True, slots=True)
class EdgeHint:
    """An edge as somebody sees it who has the drawing before them.

    Args:
        letter: A, B, C …
        length: Millimetres along the traced line.
        straight: Whether it is straight enough to lie on a fold.
        side: One of `SIDES`, where it lies on the piece; ``round`` when it runs all round.
        upright: Whether it runs up and down the drawing.
        style: The style whose outline it belongs to; empty when all share it.
        lies: What is known of it.
        could_fold: Whether the piece could be mirrored there.
    """

    letter: str
    length: float
    straight: bool
    side: str
    upright: bool
    style: str
    lies: Lies
    could_fold: bool


def hints_of(piece: Piece) -> tuple[EdgeHint, ...]:
    """The edges of a piece, by outlines and letters."""
    found: list[EdgeHint] = []
    for outline in piece.outlines:
        ring = outline.path.flattened()
        longest = sorted(outline.edges, key=lambda edge: -edge.path.length)[:_LONGEST]
        letters = {edge.letter for edge in longest}
        found += [
            _hint(edge, ring if edge.letter in letters else (), outline.style)
            for edge in outline.edges
        ]
    return tuple(found)


def possible_folds(hints: Sequence[EdgeHint]) -> tuple[str, ...]:
    """Letters of the edges that could lie on the fold, the likeliest first; none if one does.

    Upright edges come before others, and long ones before short ones.
    """
    if any(hint.lies is Lies.FOLD for hint in hints):
        return ()
    free = set(free_letters(hints))
    found = [hint for hint in hints if hint.could_fold and hint.letter in free]
    found.sort(key=lambda hint: (not hint.upright, -hint.length))
    return tuple(dict.fromkeys(hint.letter for hint in found))


def free_letters(hints: Sequence[EdgeHint]) -> tuple[str, ...]:
    """Letters of the edges of which nothing is known in any outline."""
    known = {hint.letter for hint in hints if hint.lies is not Lies.SEWN}
    return tuple(dict.fromkeys(hint.letter for hint in hints if hint.letter not in known))


def _hint(edge: Edge, ring: Sequence[Point], style: str) -> EdgeHint:
    path = edge.path
    dx, dy = path.end.x - path.start.x, path.end.y - path.start.y
    across = math.hypot(dx, dy)
    length = path.length
    closed = across <= _ROUND * length
    straight = not closed and all(
        abs(off) <= FOLD_STRAIGHT for off in _left_of(path, path.flattened())
    )
    # Edges run clockwise, so that the outside is on the left of the way.
    turn = math.atan2(dx, -dy) / math.tau
    return EdgeHint(
        edge.letter,
        length,
        straight,
        "round" if closed else SIDES[round(turn * len(SIDES)) % len(SIDES)],
        not closed and abs(dx) <= _UPRIGHT * across,
        style,
        edge.lies,
        straight and length >= _SHORTEST_FOLD and all(off <= _OVER for off in _left_of(path, ring)),
    )


def _left_of(line: Path, points: Iterable[Point]) -> Iterator[float]:
    """How far points lie to the left of the straight line through a path's ends, millimetres."""
    start, end = line.start, line.end
    length = start.to(end)
    return (_cross(start, end, point) / length for point in points)


def _cross(start: Point, end: Point, point: Point) -> float:
    return (end.x - start.x) * (point.y - start.y) - (end.y - start.y) * (point.x - start.x)
