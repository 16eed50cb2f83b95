"""What a pattern holds, in numbers: the facts behind ``blocksheet look``."""

from __future__ import annotations

from collections import Counter
from dataclasses import asdict, dataclass
from typing import Any

from tiler.drafting.pairs import partner_of
from tiler.pattern.model import Outline, Pattern, Piece, Role, Seam, styles_in


@dataclass(frozen=True)
class EdgeFacts:
    """One edge, millimetres.

    Args:
        length: Along the outline.
        stitched: Along the stitch line; None when that is not known.
        allowance: Width of the seam allowance; None when nobody has said.
        finish: How its allowance ends at the corners; None for the usual way.
    """

    letter: str
    name: str
    lies: str
    length: float
    style: str
    stitched: float | None
    allowance: float | None
    finish: str | None


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
    part: str | None
    side: str | None
    paper: str
    joined_to: str
    darts: int
    notes: tuple[str, ...]


def inventory(pattern: Pattern) -> tuple[PieceFacts, ...]:
    """The facts of every piece, in the pattern's order."""
    return tuple(_piece(piece, pattern) for piece in pattern.pieces)


def as_json(pattern: Pattern) -> dict[str, Any]:
    """The whole pattern's facts as plain values; lengths in mm, areas in mm2."""
    return {
        "title": pattern.title,
        "maker": pattern.maker,
        "version": pattern.version,
        "digest": pattern.digest,
        "units": {"length": "mm", "area": "mm2"},
        "cloths": dict(pattern.cloths),
        "styles": dict(pattern.styles),
        "joined": [list(pair) for pair in pattern.joined],
        "seams": [_seam(seam) for seam in pattern.seams],
        "traced_stretch": pattern.traced_stretch,
        "cloth_stretch": dict(pattern.cloth_stretch),
        "pieces": [asdict(facts) for facts in inventory(pattern)],
        "findings": [
            {"code": f.code, "severity": f.severity.value, "where": f.where, "text": f.text}
            for f in pattern.findings
        ],
    }


def _seam(seam: Seam) -> dict[str, Any]:
    return {
        "name": seam.name,
        "first": [str(edge) for edge in seam.first],
        "second": [str(edge) for edge in seam.second],
        "ease": list(seam.ease),
        "times": list(seam.times),
    }


def _piece(piece: Piece, pattern: Pattern) -> PieceFacts:
    biggest = max(piece.outlines, key=lambda outline: outline.area)
    bounds = biggest.path.bounds
    return PieceFacts(
        name=piece.name,
        drawing=piece.drawing,
        outline=biggest.role.value,
        width=bounds.width,
        height=bounds.height,
        area=biggest.area,
        edges=tuple(
            edge
            for number, outline in enumerate(piece.outlines)
            for edge in _edges(piece, outline, piece.stitch[number : number + 1])
        ),
        lines=dict(Counter(line.role.value for line in piece.lines)),
        marks=dict(Counter(mark.role.value for mark in piece.marks)),
        grain=piece.grain.length if piece.grain else None,
        cut=tuple(
            {"count": cut.count, "cloth": cut.cloth, "lay": cut.lay.value} for cut in piece.cuts
        ),
        allowance=piece.allowance,
        styles=piece.styles,
        part=piece.part.value if piece.part else None,
        side=piece.side.value if piece.side else None,
        paper=piece.wishes.paper.value,
        joined_to=partner_of(piece, pattern),
        darts=darts_of(piece),
        notes=piece.notes,
    )


def darts_of(piece: Piece) -> int:
    """How many darts are drawn in one style of the piece (the one that has most)."""
    counts = Counter(line.style for line in piece.lines if line.role is Role.DART)
    shared = counts.pop("", 0)
    styles = {style for key in counts for style in styles_in(key)}
    own = (sum(n for key, n in counts.items() if style in styles_in(key)) for style in styles)
    return shared + max(own, default=0)


def _edges(piece: Piece, outline: Outline, stitch: tuple[Outline, ...]) -> list[EdgeFacts]:
    seams = {edge.letter: edge.path.length for ring in stitch for edge in ring.edges}
    return [
        EdgeFacts(
            edge.letter,
            edge.name,
            edge.lies.value,
            edge.path.length,
            outline.style,
            seams.get(edge.letter),
            piece.allowance_of(edge),
            edge.finish.value if edge.finish else None,
        )
        for edge in outline.edges
    ]
