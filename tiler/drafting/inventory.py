"""What a pattern holds, in numbers: the facts behind ``blocksheet look``."""

from __future__ import annotations

from collections import Counter
from dataclasses import asdict, dataclass
from typing import Any

from tiler.pattern.model import Outline, Pattern, Piece


@dataclass(frozen=True)
class EdgeFacts:
    """One edge: length in millimetres."""

    letter: str
    name: str
    lies: str
    length: float
    style: str


@dataclass(frozen=True)
class PieceFacts:
    """One piece: sizes in millimetres, area in square millimetres (one layer, as drawn)."""

    name: str
    drawing: str
    outline: str
    width: float
    height: float
    area: float
    edges: tuple[EdgeFacts, ...]
    lines: dict[str, int]
    marks: dict[str, int]
    grain: float | None
    cut: tuple[dict[str, object], ...]
    allowance: float | None
    styles: tuple[str, ...]


def inventory(pattern: Pattern) -> tuple[PieceFacts, ...]:
    """The facts of every piece, in the pattern's order."""
    return tuple(_piece(piece) for piece in pattern.pieces)


def as_json(pattern: Pattern) -> dict[str, Any]:
    """The whole pattern's facts as plain values; lengths in mm, areas in mm2."""
    return {
        "title": pattern.title,
        "maker": pattern.maker,
        "version": pattern.version,
        "digest": pattern.digest,
        "units": {"length": "mm", "area": "mm2"},
        "pieces": [asdict(facts) for facts in inventory(pattern)],
        "findings": [
            {"code": f.code, "severity": f.severity.value, "where": f.where, "text": f.text}
            for f in pattern.findings
        ],
    }


def _piece(piece: Piece) -> PieceFacts:
    biggest = max(piece.outlines, key=lambda outline: outline.area)
    bounds = biggest.path.bounds
    return PieceFacts(
        name=piece.name,
        drawing=piece.drawing,
        outline=biggest.role.value,
        width=bounds.width,
        height=bounds.height,
        area=biggest.area,
        edges=tuple(edge for outline in piece.outlines for edge in _edges(outline)),
        lines=dict(Counter(line.role.value for line in piece.lines)),
        marks=dict(Counter(mark.role.value for mark in piece.marks)),
        grain=piece.grain.length if piece.grain else None,
        cut=tuple(
            {"count": cut.count, "cloth": cut.cloth, "lay": cut.lay.value} for cut in piece.cuts
        ),
        allowance=piece.allowance,
        styles=piece.styles,
    )


def _edges(outline: Outline) -> list[EdgeFacts]:
    return [
        EdgeFacts(edge.letter, edge.name, edge.lies.value, edge.path.length, outline.style)
        for edge in outline.edges
    ]
