"""Whether a pattern can be cut: what is impossible is refused, what is doubtful is told."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from tiler.drafting.placement import misplaced
from tiler.drafting.rings import refuse_not_finite, refuse_unsound
from tiler.intake.recall import Recall, afresh
from tiler.pattern.affine import Point
from tiler.pattern.model import (
    Edge,
    Finding,
    Lay,
    Lies,
    Outline,
    Pattern,
    Piece,
    Role,
    Severity,
)
from tiler.pattern.path import Path
from tiler.pattern.units import format_mm

#: A fold bulging by more than this (millimetres) opens into a point or a hollow.
FOLD_STRAIGHT = 0.2


def sound(pattern: Pattern, recall: Recall = afresh) -> Pattern:
    """Check every piece.

    Args:
        pattern: As read.
        recall: How each piece is checked.

    Returns:
        The same pattern, with what was noticed added to its findings (never twice).

    Raises:
        PatternError: An outline crosses itself, has no area, is under 1 mm or over 20 m
            across, or is not finite; with file, piece and edges.
    """
    found: list[Finding] = []
    for piece in pattern.pieces:
        found += recall(piece.name, _of_piece, piece)
    return replace(pattern, findings=tuple(dict.fromkeys((*pattern.findings, *found))))


def _of_piece(piece: Piece) -> list[Finding]:
    where = piece.place
    for outline in piece.outlines:
        refuse_unsound(outline, where)
    for path in _other_paths(piece):
        refuse_not_finite(path, where)
    return [*_not_said(piece, where), *_folds(piece, where), *misplaced(piece, where)]


def _other_paths(piece: Piece) -> Iterator[Path]:
    yield from (line.path for line in piece.lines)
    yield from (mark.path for mark in piece.marks)
    if piece.grain is not None:
        yield piece.grain


def _not_said(piece: Piece, where: str) -> Iterator[Finding]:
    """What a person who cuts would have to ask."""
    if piece.grain is None:
        yield _warning(
            "no-grainline",
            where,
            "There is no grainline. Draw one straight line with the class grain, from the lower "
            "to the upper end of the piece.",
        )
    if not piece.cuts:
        yield _warning(
            "cut-not-stated",
            where,
            "It is not said how many to cut. Add to the piece in pattern.toml: "
            'cut = { count = 1, cloth = "main", lay = "copies" }.',
        )
    if any(not cut.cloth for cut in piece.cuts):
        yield _warning(
            "cloth-not-stated",
            where,
            'It is not said which cloth to cut it from. Add cloth = "main" to its cut.',
        )
    for cut in piece.cuts:
        if cut.lay is Lay.PAIR and cut.count % 2:
            yield _warning(
                "pair-odd",
                where,
                f"A pair is one piece and one mirrored, but {cut.count} are to be cut. Count "
                'the pieces (a pair is count = 2), or write lay = "copies".',
            )
    yield from _allowance(piece, where)


def _allowance(piece: Piece, where: str) -> Iterator[Finding]:
    if all(outline.role is Role.CUT for outline in piece.outlines):
        if piece.allowance is None:
            yield _warning(
                "allowance-not-stated",
                where,
                "It is not said how much seam allowance the cut line includes. Add "
                'allowance = "15 mm" (or "0 mm") to pattern.toml.',
            )
    elif piece.allowance is None:
        yield _warning(
            "allowance-not-drawn",
            where,
            "The outline is the stitch line: no seam allowance is drawn. Add it when cutting, "
            'and say how much in pattern.toml: allowance = "15 mm".',
        )
    else:
        yield Finding(
            "allowance-not-drawn",
            Severity.NOTE,
            where,
            "The outline is the stitch line: no seam allowance is drawn. Cut "
            f"{format_mm(piece.allowance)} outside of it.",
        )


def _folds(piece: Piece, where: str) -> Iterator[Finding]:
    folds = [
        (outline, edge)
        for outline in piece.outlines
        for edge in outline.edges
        if edge.lies is Lies.FOLD
    ]
    for outline, edge in folds:
        bulge = _bulge(edge.path)
        if bulge > FOLD_STRAIGHT:
            yield _warning(
                "fold-not-straight",
                _edge_place(where, outline, edge),
                f"The edge lies on the fold but bulges by {format_mm(bulge)}: cloth folds in a "
                "straight line. Draw it straight, or take it off the fold.",
            )
    lies = [cut.lay for cut in piece.cuts]
    if Lay.FOLD in lies and not folds:
        yield _warning(
            "no-fold-edge",
            where,
            'It is to be cut on the fold, but no edge is on the fold. Add fold = "A" (the '
            "letter of that edge) or draw a fold line on the edge.",
        )
    if folds and lies and Lay.FOLD not in lies:
        letters = ", ".join(dict.fromkeys(edge.letter for _, edge in folds))
        yield _warning(
            "fold-edge-not-laid",
            where,
            f"Edge {letters} is on the fold, but the piece is not to be cut on the fold. Write "
            'lay = "fold" in its cut, or take the edge off the fold.',
        )


def _bulge(path: Path) -> float:
    """Largest distance (millimetres) of a path from the straight line through its ends."""
    start, end = path.start, path.end
    length = start.to(end)
    points = path.flattened()
    if length == 0:
        return max(start.to(point) for point in points)
    return max(abs(_cross(start, end, point)) / length for point in points)


def _cross(start: Point, end: Point, point: Point) -> float:
    return (end.x - start.x) * (point.y - start.y) - (end.y - start.y) * (point.x - start.x)


def _edge_place(where: str, outline: Outline, edge: Edge) -> str:
    style = f", style {outline.style}" if outline.style else ""
    return f"{where}{style}, edge {edge.letter}"


def _warning(code: str, where: str, text: str) -> Finding:
    return Finding(code, Severity.WARNING, where, text)
