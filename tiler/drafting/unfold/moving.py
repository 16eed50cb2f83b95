"""A piece somewhere else, or its mirror image."""

from __future__ import annotations

from dataclasses import replace

from tiler.pattern.affine import Affine
from tiler.pattern.model import Edge, Outline, Piece, Run


def moved_piece(piece: Piece, by: Affine) -> Piece:
    """The piece after a turn, a shift or a reflection, with all that is drawn on it.

    After a reflection outlines run clockwise again: each edge keeps its letter and its place, the
    edge that came first stays first, and the others follow in the opposite order.

    Args:
        piece: Any.
        by: A map that keeps lengths.
    """
    flips = by.determinant < 0
    return replace(
        piece,
        outlines=tuple(_outline(outline, by, flips) for outline in piece.outlines),
        stitch=tuple(_outline(outline, by, flips) for outline in piece.stitch),
        shared=tuple(_run(run, by, flips) for run in piece.shared),
        lines=tuple(replace(line, path=line.path.moved(by)) for line in piece.lines),
        marks=tuple(
            replace(mark, at=by(mark.at), path=mark.path.moved(by)) for mark in piece.marks
        ),
        grain=piece.grain.moved(by) if piece.grain else None,
    )


def _outline(outline: Outline, by: Affine, flips: bool) -> Outline:
    edges = tuple(_edge(edge, by, flips) for edge in outline.edges)
    if flips:
        edges = (edges[0], *reversed(edges[1:]))
    return replace(outline, edges=edges)


def _run(run: Run, by: Affine, flips: bool) -> Run:
    return replace(run, edge=_edge(run.edge, by, flips))


def _edge(edge: Edge, by: Affine, flips: bool) -> Edge:
    path = edge.path.moved(by)
    return replace(edge, path=path.reversed() if flips else path)
