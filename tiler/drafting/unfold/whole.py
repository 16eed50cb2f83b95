"""The whole piece from its half."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from tiler.drafting.rings import refuse_unsound
from tiler.drafting.unfold.half import Half, half_of, refuse_not_numbers
from tiler.drafting.unfold.lines import opened_line, opened_mark
from tiler.drafting.unfold.mirror import Axis
from tiler.drafting.unfold.ring import Lettering, lettering, opened_ring
from tiler.drafting.unfold.runs import opened_run
from tiler.intake.ring import MEETS
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Cut, Lay, Lies, Line, Piece, Role, styles_in
from tiler.pattern.path import Path
from tiler.pattern.segment import Straight
from tiler.pattern.units import format_mm


def unfolded(piece: Piece) -> Piece:
    """The whole piece: the half, and the half mirrored across its fold.

    Edges are lettered anew by the rule for drawn outlines, alike in the outline, its stitch line
    and all styles whose halves have the same letters; both halves keep the names, the allowances
    and what lies on them. An edge that meets the fold within the angle that makes no corner
    (squarely, when it is well drawn) is one edge across it. Lines that end on the fold go on in
    their mirror image, those that lie along it, marks on it and the grainline stay single, and
    the fold becomes a line inside. What is cut on the fold is cut as copies of the whole, as many.

    Args:
        piece: Every outline has one straight fold, and all lie in one line.

    Raises:
        PatternError: There is no such fold, the whole outline would cross itself, or a
            coordinate is not a number.
    """
    where = piece.place
    refuse_not_numbers(piece, where)
    halves = [half_of(outline, where) for outline in piece.outlines]
    seams = [half_of(outline, where) for outline in piece.stitch]
    axis = max((half.fold for half in halves), key=lambda fold: fold.length)
    for half in (*halves, *seams):
        _refuse_elsewhere(half, axis, where)
    made = _letterings(seams or halves, axis)
    made = made if len(made) == len(halves) else _letterings(halves, axis)
    outlines = tuple(opened_ring(half, axis, m) for half, m in zip(halves, made, strict=True))
    stitch = tuple(opened_ring(half, axis, m) for half, m in zip(seams, made, strict=False))
    for outline in (*outlines, *stitch):
        refuse_unsound(outline, where)
    by_style = {half.outline.style: m for half, m in zip(halves, made, strict=True)}
    lines = (line for drawn in piece.lines for line in opened_line(drawn, axis))
    marks = (mark for drawn in piece.marks for mark in opened_mark(drawn, axis))
    shared = (
        run
        for drawn in piece.shared
        for run in opened_run(drawn, axis, _of_style(by_style, drawn.style, made[0]))
    )
    return replace(
        piece,
        outlines=outlines,
        stitch=stitch,
        shared=tuple(shared),
        lines=(*lines, *_fold_lines(piece, halves, axis)),
        marks=tuple(marks),
        cuts=tuple(_opened_cut(cut) for cut in piece.cuts),
    )


def _letterings(halves: Sequence[Half], axis: Axis) -> list[Lettering]:
    """Styles whose halves have the same letters get the same letters in the whole."""
    known: dict[tuple[str, ...], Lettering] = {}
    found = []
    for half in halves:
        letters = tuple(edge.letter for edge in half.rest)
        if letters not in known:
            known[letters] = lettering(half, axis)
        found.append(known[letters])
    return found


def _of_style(by_style: dict[str, Lettering], key: str, other: Lettering) -> Lettering:
    first = next(iter(styles_in(key)), "")
    return by_style.get(first, other)


def _refuse_elsewhere(half: Half, axis: Axis, where: str) -> None:
    off = max(abs(axis.offset(half.fold.start)), abs(axis.offset(half.fold.end)))
    if off > MEETS:
        style = half.outline.style
        raise PatternError(
            f"its fold lies {format_mm(off, 2)} off the fold of another "
            + ("style" if style else "line"),
            where=f"{where}, style {style}" if style else where,
            remedy="Draw the folds of all styles in one straight line.",
        )


def _fold_lines(piece: Piece, halves: Sequence[Half], axis: Axis) -> tuple[Line, ...]:
    """The folds as lines inside: one, shared, where the styles fold alike."""
    folds = [
        (run.style, Straight(axis.foot(run.edge.path.start), axis.foot(run.edge.path.end)))
        for run in piece.shared
        if run.edge.lies is Lies.FOLD
    ] or [
        (half.outline.style, Straight(axis.foot(half.fold.start), axis.foot(half.fold.end)))
        for half in halves
    ]
    if piece.shared:
        return tuple(Line(Role.FOLD, Path((fold,)), style) for style, fold in folds)
    first = folds[0][1]
    if all(f.start.to(first.start) <= MEETS and f.end.to(first.end) <= MEETS for _, f in folds):
        style = folds[0][0] if len(folds) == 1 else ""
        return (Line(Role.FOLD, Path((first,)), style),)
    return tuple(Line(Role.FOLD, Path((fold,)), style) for style, fold in folds)


def _opened_cut(cut: Cut) -> Cut:
    return replace(cut, lay=Lay.COPIES) if cut.lay is Lay.FOLD else cut
