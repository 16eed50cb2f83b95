"""Some of a pattern's styles, the others left away."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace
from itertools import pairwise
from typing import TypeVar

from tiler.drafting.styles.runs import key_of
from tiler.intake.tomltable import near_miss
from tiler.pattern.errors import PatternError
from tiler.pattern.model import (
    Finding,
    Line,
    Mark,
    Outline,
    Pattern,
    Piece,
    Run,
    Severity,
    styles_in,
)
from tiler.pattern.path import Path

_Thing = TypeVar("_Thing", Line, Mark, Run)


def only_styles(pattern: Pattern, styles: Sequence[str]) -> Pattern:
    """The pattern with some of its styles alone.

    Pieces without styles stay. A piece with an outline a style keeps those that are chosen; what
    these share, and no others any more, becomes common to all. Where none is chosen, the piece is
    left out, as a NOTE among the findings says. A piece whose outline all styles share stays,
    without the lines and marks of styles that are not chosen.

    Args:
        pattern: Drafted; half pieces are half.
        styles: Names of the styles to keep, at least one.

    Returns:
        The pattern; `Pattern.styles` still names all styles, so that a style looks the same
        whichever others are printed with it. Seams that name a piece which is left out are gone,
        and so is the piece from a group that is kept together.

    Raises:
        PatternError: There is no such style, or no piece is left.
    """
    known = dict.fromkeys(
        (*(name for name, _ in pattern.styles), *(s for p in pattern.pieces for s in p.styles))
    )
    for style in styles:
        if style not in known:
            raise PatternError(
                f'there is no style "{style}"',
                remedy=near_miss(style, list(known)) if known else "The pattern has no styles.",
            )
    kept = {piece.name: _only(piece, styles) for piece in pattern.pieces}
    pieces = tuple(piece for piece in kept.values() if piece is not None)
    if not pieces:
        raise PatternError(
            f"no piece belongs to {_words(styles)}", remedy="Choose another style as well."
        )
    out = [piece for piece in pattern.pieces if kept[piece.name] is None]
    findings = (
        Finding(
            "style-left-out",
            Severity.NOTE,
            f"piece {piece.name}",
            f"The piece has only {_words(piece.styles)} and is left out, for that is not chosen.",
        )
        for piece in out
    )
    names = {piece.name for piece in out}
    groups = [tuple(n for n in group if n not in names) for group in pattern.together]
    return replace(
        pattern,
        pieces=pieces,
        findings=(*pattern.findings, *findings),
        seams=tuple(
            seam
            for seam in pattern.seams
            if not any(edge.piece in names for edge in (*seam.first, *seam.second))
        ),
        joined=tuple(pair for pair in pattern.joined if not names & set(pair)),
        together=tuple(group for group in groups if len(group) > 1),
    )


def _words(styles: Sequence[str]) -> str:
    return f"the style{'s' if len(styles) > 1 else ''} {', '.join(styles)}"


def _only(piece: Piece, chosen: Collection[str]) -> Piece | None:
    before = [outline.style for outline in piece.outlines if outline.style]
    order = [style for style in before if style in chosen]
    if before and not order:
        return None
    if not before:
        return replace(
            piece,
            lines=tuple(_kept(piece.lines, chosen)),
            marks=tuple(_kept(piece.marks, chosen)),
        )
    if order == before:
        return piece
    outlines = tuple(outline for outline in piece.outlines if outline.style in order)
    lines = _named(piece.lines, order)
    return replace(
        piece,
        outlines=outlines,
        stitch=tuple(outline for outline in piece.stitch if outline.style in order),
        shared=_runs(outlines, _named(piece.shared, order)) if piece.shared else (),
        lines=_end_to_end(lines, piece.lines),
        marks=_named(piece.marks, order),
    )


def _kept(things: Sequence[_Thing], chosen: Collection[str]) -> list[_Thing]:
    return [thing for thing in things if not thing.style or thing.style in chosen]


def _named(things: Sequence[_Thing], order: Sequence[str]) -> tuple[_Thing, ...]:
    """What the styles that are left have, under the names that are left."""
    named = []
    for thing in things:
        left = [style for style in styles_in(thing.style) if style in order]
        if left or not thing.style:
            style = key_of(left, order) if left else ""
            named.append(thing if style == thing.style else replace(thing, style=style))
    return tuple(named)


def _runs(outlines: Sequence[Outline], runs: Sequence[Run]) -> tuple[Run, ...]:
    """Runs that follow one another on an edge and belong to the same styles now, as one."""
    # One and the same line is two runs where it is a hem of one style and a seam of another.
    starts = {(run.edge.path.segments[0], run.edge.lies): run for run in runs}
    rows: list[list[Run]] = []
    for outline in outlines:
        for edge in outline.edges:
            row: list[Run] = []
            at = 0
            while at < len(edge.path.segments):
                run = starts[edge.path.segments[at], edge.lies]
                at += len(run.edge.path.segments)
                row.append(run)
            rows.append(row)
    parted = _parted(rows)
    made: dict[tuple[int, ...], Run] = {}
    for row in rows:
        for same in _alike(row, parted):
            key = tuple(id(run) for run in same)
            made.setdefault(key, _one(same))
    return tuple(made.values())


def _parted(rows: Sequence[Sequence[Run]]) -> set[tuple[int, int]]:
    """Neighbours on an edge that are not neighbours on an edge of each style that has one of them.

    Where one style has a corner and another one runs on, what they share ends for both.
    """
    pairs = [{(id(a), id(b)) for a, b in pairwise(row)} for row in rows]
    holds = [{id(run) for run in row} for row in rows]
    return {
        pair
        for pair in set().union(*pairs)
        if any(
            held & set(pair) and pair not in there for held, there in zip(holds, pairs, strict=True)
        )
    }


def _alike(row: Sequence[Run], parted: Collection[tuple[int, int]]) -> list[list[Run]]:
    """Neighbours with the same style and letter together."""
    groups: list[list[Run]] = []
    for run in row:
        last = groups[-1][-1] if groups else None
        if (
            last is not None
            and (last.style, last.edge.letter) == (run.style, run.edge.letter)
            and (id(last), id(run)) not in parted
        ):
            groups[-1].append(run)
        else:
            groups.append([run])
    return groups


def _one(runs: Sequence[Run]) -> Run:
    if len(runs) == 1:
        return runs[0]
    path = Path(tuple(segment for run in runs for segment in run.edge.path.segments))
    return replace(runs[0], edge=replace(runs[0].edge, path=path))


def _end_to_end(lines: Sequence[Line], before: Sequence[Line]) -> tuple[Line, ...]:
    """Lines that were parted only where styles part, in one again."""
    old = set(before)
    made: list[Line] = []
    for line in lines:
        while (mate := next((m for m in made if _follows(m, line, old)), None)) is not None:
            made.remove(mate)
            first, last = mate.path, line.path
            if first.end != last.start:
                first, last = last, first
            segments = first.segments + last.segments
            line = replace(line, path=Path(segments, segments[0].start == segments[-1].end))
        made.append(line)
    return tuple(made)


def _follows(one: Line, other: Line, old: Collection[Line]) -> bool:
    """Whether two lines are one now, and were not before."""
    if (one in old and other in old) or (one.role, one.style) != (other.role, other.style):
        return False
    ends = (one.path.start, one.path.end), (other.path.start, other.path.end)
    if any(start == end for start, end in ends):
        return False
    return ends[0][1] == ends[1][0] or ends[1][1] == ends[0][0]
