"""The whole piece from its half."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from tiler.drafting.rings import refuse_unsound
from tiler.drafting.unfold.half import Half, half_of, place_of, refuse_not_numbers
from tiler.drafting.unfold.lines import opened_line, opened_mark, pinned
from tiler.drafting.unfold.mirror import Axis
from tiler.intake.edges import edges_of
from tiler.intake.ring import MEETS
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Cut, Edge, Lay, Line, Outline, Piece, Role
from tiler.pattern.path import Path
from tiler.pattern.segment import Segment, Straight
from tiler.pattern.units import format_mm


def unfolded(piece: Piece) -> Piece:
    """The whole piece: the half, and the half mirrored across its fold.

    Edges are lettered anew by the rule for drawn outlines; both halves keep the names and what
    lies on them. An edge that meets the fold within the angle that makes no corner (squarely,
    when it is well drawn) is one edge across it. Lines that end on the fold go on in their
    mirror image, those that lie along it and the grainline stay single, and the fold becomes a
    line inside. What is cut on the fold is cut as copies of the whole, as many.

    Args:
        piece: Every outline has one straight fold, and all lie in one line.

    Raises:
        PatternError: There is no such fold, the whole outline would cross itself, or a
            coordinate is not a number.
    """
    where = place_of(piece)
    refuse_not_numbers(piece, where)
    halves = [half_of(outline, where) for outline in piece.outlines]
    axis = max((half.fold for half in halves), key=lambda fold: fold.length)
    for half in halves:
        _refuse_elsewhere(half, axis, where)
    outlines = tuple(_opened(half, axis) for half in halves)
    for outline in outlines:
        refuse_unsound(outline, where)
    lines = (line for drawn in piece.lines for line in opened_line(drawn, axis))
    marks = (mark for drawn in piece.marks for mark in opened_mark(drawn, axis))
    return replace(
        piece,
        outlines=outlines,
        lines=(*lines, *_fold_lines(halves, axis)),
        marks=tuple(marks),
        cuts=tuple(_opened_cut(cut) for cut in piece.cuts),
    )


def _refuse_elsewhere(half: Half, axis: Axis, where: str) -> None:
    off = max(abs(axis.offset(half.fold.start)), abs(axis.offset(half.fold.end)))
    if off > MEETS:
        raise PatternError(
            f"its fold lies {format_mm(off, 2)} off the fold of another style",
            where=f"{where}, style {half.outline.style}",
            remedy="Draw the folds of all styles in one straight line.",
        )


def _opened(half: Half, axis: Axis) -> Outline:
    sources: dict[Segment, Edge] = {}
    drawn = Path(tuple(segment for edge in half.rest for segment in edge.path.segments))
    right = pinned(drawn, axis.foot(drawn.start), axis.foot(drawn.end))
    left = right.moved(axis.mirror).reversed()
    left = pinned(left, right.end, right.start)
    owners = [edge for edge in half.rest for _ in edge.path.segments]
    sources.update(zip(right.segments, owners, strict=True))
    sources.update(zip(left.segments, reversed(owners), strict=True))
    ring = Path(right.segments + left.segments, closed=True)
    # Corners that a mark made have no turn to be found by; those at the fold are gone.
    corners = [edge.path.start for edge in half.rest[1:]]
    corners += [axis.mirror(corner) for corner in corners]
    edges = tuple(
        replace(sources[edge.path.segments[0]], letter=edge.letter, path=edge.path)
        for edge in edges_of(ring, corners)
    )
    return Outline(half.outline.role, edges, half.outline.style)


def _fold_lines(halves: Sequence[Half], axis: Axis) -> tuple[Line, ...]:
    """The folds as lines inside: one, shared, where the styles fold alike."""
    folds = [
        (half.outline.style, Straight(axis.foot(half.fold.start), axis.foot(half.fold.end)))
        for half in halves
    ]
    first = folds[0][1]
    if all(f.start.to(first.start) <= MEETS and f.end.to(first.end) <= MEETS for _, f in folds):
        style = folds[0][0] if len(folds) == 1 else ""
        return (Line(Role.FOLD, Path((first,)), style),)
    return tuple(Line(Role.FOLD, Path((fold,)), style) for style, fold in folds)


def _opened_cut(cut: Cut) -> Cut:
    return replace(cut, lay=Lay.COPIES) if cut.lay is Lay.FOLD else cut
