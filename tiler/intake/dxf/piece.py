"""A block of a DXF file -> a piece."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from tiler.intake.drawn import DrawnPath
from tiler.intake.dxf.drawn import Block, Strand
from tiler.intake.dxf.edges import told_edges
from tiler.intake.dxf.layers import LINE_ROLES, NOTCHES, Layer
from tiler.intake.dxf.marks import drills_of, notches_of
from tiler.intake.dxf.rebuilding import Rebuilder
from tiler.intake.dxf.words import (
    allowance_of,
    boundary_of,
    cuts_of,
    edge_texts_of,
    notes_of,
    part_of,
    side_of,
)
from tiler.intake.folds import SHARE, shares, with_folds
from tiler.intake.piece import LARGEST, SEGMENT_LIMIT
from tiler.intake.ring import gap_of, ring_from
from tiler.pattern.bounds import bounds_of
from tiler.pattern.errors import DrawingError
from tiler.pattern.model import (
    Finding,
    Lies,
    Line,
    Mark,
    Outline,
    Piece,
    Role,
    Severity,
)
from tiler.pattern.path import Path
from tiler.pattern.segment import Straight
from tiler.pattern.units import format_mm

#: More marks of one kind than any piece has.
MARK_LIMIT = 500
#: A piece has one mirror line; a few more do no harm.
MIRROR_LIMIT = 10

_Drawn = Sequence[tuple[Strand, Path]]


def piece_of(
    block: Block, name: str, styles: Sequence[str], file: str
) -> tuple[Piece, tuple[Finding, ...]]:
    """Put a piece together.

    Args:
        block: What the file holds of it.
        name: What it is called.
        styles: Names of the styles, in the order of their numbers from 1 on.
        file: The file's name.

    Returns:
        The piece, and what was noticed.

    Raises:
        DrawingError: No boundary, an open one or several, or one that is no garment's.
    """
    where = f"{file}, piece {name}"
    findings: list[Finding] = []
    rebuilder = Rebuilder(block)
    paths = [(strand, rebuilder.path(strand)) for strand in block.strands]
    drawn = [(strand, path) for strand, path in paths if path is not None]
    _refuse_large([path for _, path in drawn], where)
    if rebuilder.unsaid:
        findings.append(_points_missing(where))
    _refuse_many(block, drawn, where)
    on_boundary = [each for each in drawn if each[0].layer is Layer.BOUNDARY]
    boundary, ring = _boundary(on_boundary, where)
    if len(on_boundary) > 1:
        findings.append(_open_lines(len(on_boundary) - 1, where))
    texts = edge_texts_of(block, where, findings)
    edges = told_edges(ring, texts, where, findings)
    role = boundary_of(block, where, findings)
    outline = Outline(role, edges, boundary.said.style(styles))
    outline, folds = _folded(outline, drawn, styles, where, findings)
    lines = [
        Line(strand.said.role or LINE_ROLES[strand.layer], path, strand.said.style(styles))
        for strand, path in drawn
        if strand.layer in LINE_ROLES
    ]
    on_fold = any(edge.lies is Lies.FOLD for edge in outline.edges)
    piece = Piece(
        name=name,
        outlines=(outline,),
        lines=(*lines, *folds),
        marks=_marks(block, drawn, outline, styles, where, findings),
        grain=_grain(drawn, where, findings),
        cuts=cuts_of(block, on_fold, where, findings),
        allowance=allowance_of(block, "allowance", where, findings),
        part=part_of(block, where, findings),
        side=side_of(block, where, findings),
        notes=notes_of(block, where, findings),
        drawing=file,
    )
    return piece, tuple(findings)


def _refuse_large(paths: Sequence[Path], where: str) -> None:
    if not paths:
        return
    bounds = bounds_of([path.bounds for path in paths])
    if max(bounds.width, bounds.height) > LARGEST:
        raise DrawingError(
            f"what is drawn measures {bounds.width / 1000:.4g} by {bounds.height / 1000:.4g} m",
            where=where,
            remedy="Draw at true size: check the text Units.",
        )
    count = sum(len(path.segments) for path in paths)
    if count > SEGMENT_LIMIT:
        raise DrawingError(
            f"the lines have {count} segments",
            where=where,
            remedy=f"Simplify the lines to at most {SEGMENT_LIMIT} segments in all.",
        )


def _refuse_many(block: Block, drawn: _Drawn, where: str) -> None:
    """The work on marks and folds grows with their number times the length of the boundary."""
    for layers, what, most in (
        (NOTCHES, "notches", MARK_LIMIT),
        (frozenset((Layer.DRILL,)), "drill holes", MARK_LIMIT),
        (frozenset((Layer.MIRROR,)), "mirror lines", MIRROR_LIMIT),
    ):
        count = sum(dot.layer in layers for dot in block.dots)
        count += sum(strand.layer in layers for strand, _ in drawn)
        if count > most:
            raise DrawingError(
                f"there are {count} {what}",
                where=where,
                remedy=f"Keep at most {most}; see whether the layers are right.",
            )


def _open_lines(count: int, where: str) -> Finding:
    return Finding(
        "boundary-lines-left-out",
        Severity.WARNING,
        where,
        f"Open lines beside the boundary on layer 1 were left out: {count}. Move them to layer 8.",
    )


def _points_missing(where: str) -> Finding:
    return Finding(
        "curve-points-missing",
        Severity.NOTE,
        where,
        "The piece has neither turn points (layer 2) nor curve points (layer 3), so its lines run "
        "straight from point to point, as they are drawn.",
    )


def _boundary(drawn: _Drawn, where: str) -> tuple[Strand, Path]:
    """The one closed line on layer 1."""
    rings = [(s, p) for s, p in drawn if p.closed or gap_of(p) == 0]
    if len(rings) == 1:
        strand, path = rings[0]
        return strand, ring_from(path, f"{where}, {strand.element}")
    if rings:
        raise DrawingError(
            f"there are {len(rings)} closed lines on layer 1 (boundary), and one is wanted",
            where=where,
            remedy="Move holes to layer 11, lines that are not cut to layer 8, and give every "
            "piece and size a block of its own.",
        )
    if not drawn:
        raise DrawingError(
            "there is no line on layer 1 (boundary)",
            where=where,
            remedy="Put the outline, one closed polyline, on layer 1.",
        )
    strand, path = max(drawn, key=lambda each: each[1].length)
    start, end = path.start, path.end
    raise DrawingError(
        f"the boundary is open: its ends are {format_mm(gap_of(path), 2)} apart, at "
        f"({start.x:.2f}, {start.y:.2f}) and ({end.x:.2f}, {end.y:.2f}) mm",
        where=f"{where}, {strand.element}",
        remedy="Join all its parts into one closed polyline.",
    )


def _folded(
    outline: Outline,
    drawn: _Drawn,
    styles: Sequence[str],
    where: str,
    findings: list[Finding],
) -> tuple[Outline, list[Line]]:
    """The outline with its edge on the fold where a mirror line lies on it; the other ones."""
    lines = []
    for strand, path in drawn:
        if strand.layer is not Layer.MIRROR:
            continue
        found = shares(outline.path, outline.edges, path)
        letters = [letter for letter, share in found.items() if share >= SHARE]
        outline = replace(outline, edges=with_folds(outline.edges, letters))
        if not letters:
            lines.append(Line(Role.FOLD, path, strand.said.style(styles)))
            findings.append(
                Finding(
                    "mirror-off-edge",
                    Severity.WARNING,
                    f"{where}, {strand.element}",
                    "The mirror line does not cover an edge of the boundary, so it is taken as a "
                    "fold line inside the piece. See whether the piece is drawn half or whole.",
                )
            )
    return outline, lines


def _marks(
    block: Block,
    drawn: _Drawn,
    outline: Outline,
    styles: Sequence[str],
    where: str,
    findings: list[Finding],
) -> tuple[Mark, ...]:
    def lines(layers: frozenset[Layer]) -> list[DrawnPath]:
        return [
            # Two strokes are one cross only within one element; here, the layer.
            DrawnPath(path, None, strand.said.style(styles), False, f"layer {strand.layer:d}", ())
            for strand, path in drawn
            if strand.layer in layers
        ]

    notches = [dot for dot in block.dots if dot.layer in NOTCHES]
    drills = [dot for dot in block.dots if dot.layer is Layer.DRILL]
    return (
        *notches_of(notches, lines(NOTCHES), outline.path, styles, where, findings),
        *drills_of(drills, lines(frozenset((Layer.DRILL,))), styles),
    )


def _grain(drawn: _Drawn, where: str, findings: list[Finding]) -> Path | None:
    """The longest line on the layer of the grainline, from end to end."""
    grains = sorted(
        ((s, p) for s, p in drawn if s.layer is Layer.GRAIN and p.start.to(p.end) >= 1.0),
        key=lambda each: -each[1].start.to(each[1].end),
    )
    if not grains:
        return None
    strand, path = grains[0]
    grain = Path((Straight(path.start, path.end),))
    bent = abs(path.length - grain.length) > 0.01 * grain.length
    if bent or len(grains) > 1:
        findings.append(
            Finding(
                "grain-simplified",
                Severity.WARNING,
                f"{where}, {strand.element}",
                f"Of {len(grains)} lines on layer 7 the longest is the grainline, straight from "
                "end to end; arrowheads are added when it is drawn.",
            )
        )
    return grain
