"""The fold of a half piece, and the rest of its outline."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.drafting.rings import refuse_not_finite
from tiler.drafting.soundness import FOLD_STRAIGHT
from tiler.drafting.unfold.mirror import Axis
from tiler.intake.ring import MEETS
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Lies, Outline, Piece
from tiler.pattern.units import format_mm


@dataclass(frozen=True, slots=True)
class Half:
    """One outline of a half piece.

    Args:
        outline: As drawn.
        fold: The line that it is mirrored across, in the outline's direction.
        rest: The edges that are not on the fold, clockwise, from the fold's end to its start.
    """

    outline: Outline
    fold: Axis
    rest: tuple[Edge, ...]


def half_of(outline: Outline, where: str) -> Half:
    """Part an outline into its fold and the rest.

    Edges on the fold that follow one another in one line count as one fold.

    Args:
        outline: Clockwise.
        where: File and piece, for messages.

    Raises:
        PatternError: No edge on the fold, nothing else, several folds, one that bulges by more
            than drafting allows, or a piece that lies on both sides of its fold.
    """
    place = f"{where}, style {outline.style}" if outline.style else where
    edges = outline.edges
    on_fold = [edge.lies is Lies.FOLD for edge in edges]
    if not any(on_fold):
        raise PatternError(
            "no edge is on the fold, so there is nothing to unfold",
            where=place,
            remedy='Add fold = "A" (the letter of that edge), or draw a fold line on the edge.',
        )
    starts = [i for i, folded in enumerate(on_fold) if folded and not on_fold[i - 1]]
    if len(starts) != 1:
        letters = ", ".join(edge.letter for edge in edges if edge.lies is Lies.FOLD)
        raise PatternError(
            f"the edges on the fold ({letters}) do not leave one open half",
            where=place,
            remedy="Leave one straight edge, or edges that follow one another in one straight "
            "line, on the fold.",
        )
    turned = edges[starts[0] :] + edges[: starts[0]]
    count = sum(on_fold)
    folded, rest = turned[:count], turned[count:]
    fold = Axis(folded[0].path.start, folded[-1].path.end)
    named = f"{place}, edge {', '.join(edge.letter for edge in folded)}"
    _refuse_bent(fold, folded, named)
    over = max(fold.offset(point) for edge in rest for point in edge.path.flattened())
    if over > MEETS:
        raise PatternError(
            f"the piece reaches {format_mm(over, 2)} over its fold",
            where=named,
            remedy="Keep the whole half piece on one side of the fold line.",
        )
    return Half(outline, fold, rest)


def _refuse_bent(fold: Axis, folded: tuple[Edge, ...], named: str) -> None:
    if fold.length <= FOLD_STRAIGHT:
        raise PatternError(
            "the fold ends where it begins", where=named, remedy="Draw it as one straight line."
        )
    bulge = max(fold.bulge(edge.path) for edge in folded)
    if bulge > FOLD_STRAIGHT:
        raise PatternError(
            f"the edge lies on the fold but bulges by {format_mm(bulge, 2)}",
            where=named,
            remedy="Draw it straight, or take it off the fold: cloth folds in a straight line.",
        )


def refuse_not_numbers(piece: Piece, where: str) -> None:
    """Check that all coordinates of a piece are numbers.

    Raises:
        PatternError: One is infinite or not a number.
    """
    rings = (*piece.outlines, *piece.stitch)
    paths = [edge.path for outline in rings for edge in outline.edges]
    paths += [run.edge.path for run in piece.shared]
    paths += [line.path for line in piece.lines] + [mark.path for mark in piece.marks]
    for path in paths:
        refuse_not_finite(path, where)
