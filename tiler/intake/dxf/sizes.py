"""Blocks that are one piece in several sizes -> one piece with styles."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from tiler.pattern.model import Line, Mark, Outline, Piece


def nested(pieces: Sequence[tuple[Piece, str]]) -> Piece:
    """One piece from several of the same name, each drawn in its size.

    What all sizes share is kept once; the rest belongs to the style of its size.

    Args:
        pieces: At least one, each with the name of its size; no size twice.
    """
    first = pieces[0][0]
    if len(pieces) == 1:
        return first
    outlines: list[Outline] = []
    lines: list[Line] = []
    marks: list[Mark] = []
    shared_lines = _shared([piece.lines for piece, _ in pieces])
    shared_marks = _shared([piece.marks for piece, _ in pieces])
    for piece, size in pieces:
        outlines += [replace(o, style=o.style or size) for o in piece.outlines]
        for line in piece.lines:
            lines.append(line if line in shared_lines else replace(line, style=line.style or size))
        for mark in piece.marks:
            marks.append(mark if mark in shared_marks else replace(mark, style=mark.style or size))
    return replace(
        first,
        outlines=tuple(outlines),
        lines=tuple(dict.fromkeys(lines)),
        marks=tuple(dict.fromkeys(marks)),
        grain=next((piece.grain for piece, _ in pieces if piece.grain), None),
        notes=tuple(dict.fromkeys(note for piece, _ in pieces for note in piece.notes)),
    )


def _shared(groups: Iterable[Sequence[Line]] | Iterable[Sequence[Mark]]) -> set[Line | Mark]:
    found: set[Line | Mark] | None = None
    for group in groups:
        found = set(group) if found is None else found & set(group)
    return found or set()
