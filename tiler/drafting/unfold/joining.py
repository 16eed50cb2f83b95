"""Two half pieces on one sheet, their folds in one line."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.drafting.unfold.common import fold_of_the_first
from tiler.drafting.unfold.half import Half, half_of, refuse_not_numbers
from tiler.drafting.unfold.mirror import Axis
from tiler.drafting.unfold.moving import moved_piece
from tiler.pattern.affine import Affine, Point
from tiler.pattern.model import Lies, Piece


@dataclass(frozen=True, slots=True)
class _Hanging:
    """How a half hangs on its fold: from its hem's end up, and on which side it lies."""

    hem: Point
    up: tuple[float, float]
    on_the_right: bool
    length: float


def joined(first: Piece, second: Piece) -> tuple[Piece, Piece]:
    """Two half pieces in the first one's coordinates, one on each side of one fold line.

    The second one is turned and shifted, and mirrored where it lies on the same side as the first:
    a half piece opens to the same whole either way. The lower ends of the folds (those that a hem
    meets, or else the lower ones as drawn) lie on one another. The piece with the longer fold keeps
    it among its runs, the other one only what that leaves out in some style, so that the common
    line is drawn once.

    Args:
        first: Stays where it is.
        second: Comes to it.

    Returns:
        Both, each with its own name, letters, lines and marks.

    Raises:
        PatternError: One of them has no straight fold.
    """
    one, other = _hanging(first), _hanging(second)
    to_axis = Affine(
        other.up[0], -other.up[1], other.up[1], other.up[0], 0.0, 0.0
    )  # turns `up` to (1, 0)
    home = Affine.move(-other.hem.x, -other.hem.y).then(to_axis)
    if one.on_the_right == other.on_the_right:
        home = home.then(Affine.scale(1.0, -1.0))
    back = Affine(one.up[0], one.up[1], -one.up[1], one.up[0], one.hem.x, one.hem.y)
    moved = moved_piece(second, home.then(back))
    if one.length >= other.length:
        return fold_of_the_first(first, moved)
    return fold_of_the_first(moved, first)[::-1]


def _hanging(piece: Piece) -> _Hanging:
    where = piece.place
    refuse_not_numbers(piece, where)
    halves = [half_of(outline, where) for outline in piece.outlines]
    longest = max(halves, key=lambda half: half.fold.length)
    hem_first = _hem_at_start(longest)
    fold = longest.fold if hem_first else Axis(longest.fold.end, longest.fold.start)
    # Outlines run clockwise, so the piece lies on the right of its fold's own direction.
    return _Hanging(fold.start, fold.direction, hem_first, fold.length)


def _hem_at_start(half: Half) -> bool:
    """Whether the fold starts at its lower end."""
    at_end, at_start = (half.rest[k].lies is Lies.HEM for k in (0, -1))
    if at_start != at_end:
        return at_start
    return half.fold.start.y <= half.fold.end.y
