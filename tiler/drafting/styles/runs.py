"""The outlines and seam lines of several styles, each part of them drawn once."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import replace

from tiler.drafting.styles.sharing import Arc, Sharing, leaves_of
from tiler.pattern.model import AND, Edge, Lies, Line, Outline, Piece, Role, Run
from tiler.pattern.path import Path

#: Lines that are drawn once where styles share them.
_SEAMS = (Role.STITCH, Role.FOLD)


def with_shared_runs(piece: Piece) -> Piece:
    """Find what the outlines and the seam lines of a piece's styles have in common.

    Outlines within 0.04 mm of one another over at least 1 mm are one there: the first style's
    line, which the other styles' rings take over exactly. Edges are shared only where the same
    becomes of them (`Lies`).

    Args:
        piece: With one outline a style; without styles it is returned as it is.

    Returns:
        The piece with `shared` filled: what all styles share once without a style, what some
        share under their names joined by " + ", the rest under the style's own; in the order of
        the first style's outline, then of what the next ones add. Stitch and fold lines among
        `lines` are parted and joined in the same way.
    """
    styles = [outline.style for outline in piece.outlines]
    if not all(styles):
        return piece
    outlines, shared = _shared_rings(piece.outlines)
    return replace(
        piece,
        outlines=outlines,
        shared=shared,
        lines=_shared_lines(piece.lines, styles),
    )


def key_of(styles: Collection[str], order: Sequence[str]) -> str:
    """What names some styles of a piece: nothing for all of them."""
    return "" if len(styles) == len(order) else AND.join(s for s in order if s in styles)


def _shared_rings(rings: Sequence[Outline]) -> tuple[tuple[Outline, ...], tuple[Run, ...]]:
    sharing: Sharing[Lies] = Sharing()
    rows = [
        sharing.lay(owner, [(edge.path, edge.lies) for edge in ring.edges], closed=True)
        for owner, ring in enumerate(rings)
    ]
    order = [ring.style for ring in rings]
    outlines: list[Outline] = []
    runs: dict[Arc[Lies], Run] = {}
    for ring, ring_rows in zip(rings, rows, strict=True):
        edges: list[Edge] = []
        for edge, row in zip(ring.edges, ring_rows, strict=True):
            leaves = leaves_of(row)
            for arc in leaves:
                key = key_of([order[owner] for owner in arc.owners], order)
                runs.setdefault(arc, Run(ring.role, replace(edge, path=arc.path), key))
            edges.append(replace(edge, path=_joined(leaves)))
        outlines.append(replace(ring, edges=tuple(edges)))
    return tuple(outlines), tuple(runs.values())


def _shared_lines(lines: Sequence[Line], order: Sequence[str]) -> tuple[Line, ...]:
    """Lines of one style each, parted and joined; all others as they are."""
    sharing: Sharing[Role] = Sharing()
    laid: list[tuple[Line, list[Arc[Role]]]] = []
    for owner, style in enumerate(order):
        for line in lines:
            if line.style == style and line.role in _SEAMS:
                path = line.path
                [row] = sharing.lay(owner, [(path, line.role)], closed=path.closed)
                laid.append((line, row))
    drawn: list[Line] = [line for line in lines if not any(line is one for one, _ in laid)]
    seen: set[Arc[Role]] = set()
    for line, arcs in laid:
        row = leaves_of(arcs)
        keys = [key_of([order[owner] for owner in arc.owners], order) for arc in row]
        start = 0
        for stop in range(1, len(row) + 1):
            again = row[start] in seen
            if stop < len(row) and keys[stop] == keys[start] and (row[stop] in seen) is again:
                continue
            if not again:
                whole = stop - start == len(row)
                path = Path(_joined(row[start:stop]).segments, line.path.closed and whole)
                drawn.append(Line(line.role, path, keys[start]))
            start = stop
        seen.update(row)
    return tuple(drawn)


def _joined(row: Sequence[Arc[Lies]] | Sequence[Arc[Role]]) -> Path:
    return Path(tuple(segment for arc in row for segment in arc.path.segments))
