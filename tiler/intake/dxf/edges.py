"""The edges of a boundary, by the texts that name them at their corners."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from tiler.intake.dxf.words import EdgeText
from tiler.intake.edges import edges_of, letter_of
from tiler.pattern.model import Edge, Finding, Severity
from tiler.pattern.path import Path

#: How far (millimetres) the text of an edge may stand from the corner where the edge begins.
_AT_CORNER = 0.05


def told_edges(
    ring: Path, texts: Sequence[EdgeText], where: str, findings: list[Finding]
) -> tuple[Edge, ...]:
    """The edges between the corners at which texts name them, else between all corners.

    A corner of the way that no text names is part of its edge, such as the step of a squared
    allowance.

    Args:
        ring: The boundary, clockwise.
        texts: What the file says of the edges.
        where: File and piece.
        findings: Receives texts that no longer stand at corners.
    """
    parts = edges_of(ring, [text.at for text in texts])
    return _told(parts, texts) or _named(parts, texts, where, findings)


def _told(parts: tuple[Edge, ...], texts: Sequence[EdgeText]) -> tuple[Edge, ...]:
    """The parts, those that no text names joined to the one before; none when texts are amiss."""
    found = [
        next((t for t in texts if t.at.to(part.path.start) <= _AT_CORNER), None) for part in parts
    ]
    if not texts or texts[0] not in found:
        return ()
    first = found.index(texts[0])
    told: list[tuple[EdgeText, Edge]] = []
    for part, text in zip(
        parts[first:] + parts[:first], found[first:] + found[:first], strict=True
    ):
        if text:
            told.append((text, part))
        else:
            text, before = told[-1]
            told[-1] = text, replace(before, path=Path(before.path.segments + part.path.segments))
    # A half that is joined to another one is mirrored, and its letters run the other way round.
    letters = {text.letter for text in texts}
    if [text for text, _ in told] != list(texts) or len(letters) < len(texts):
        return ()
    return tuple(text.on(edge) for text, edge in told)


def _named(
    edges: tuple[Edge, ...], texts: Sequence[EdgeText], where: str, findings: list[Finding]
) -> tuple[Edge, ...]:
    """The edges with what the texts at their corners say, lettered as there."""
    if not texts:
        return edges
    starts = [edge.path.start for edge in edges]
    found = [next((t for t in texts if t.at.to(start) <= _AT_CORNER), None) for start in starts]
    letters = [text.letter if text else "" for text in found]
    first = letters.index("A") if "A" in letters else 0
    turned = [*found[first:], *found[:first]]
    wanted = [letter_of(number) for number in range(len(edges))]
    if len(texts) != len(edges) or [t.letter for t in turned if t] != wanted:
        findings.append(
            Finding(
                "edges-changed",
                Severity.WARNING,
                where,
                "The texts that name the edges no longer stand at the corners of the boundary, so "
                "the edges are lettered anew and their names are left out. Name them again.",
            )
        )
        return edges
    rows = zip([*edges[first:], *edges[:first]], turned, strict=True)
    return tuple(text.on(edge) for edge, text in rows if text)
