"""The seam allowances of a piece in words."""

from __future__ import annotations

from tiler.pattern.model import Edge, Lies, Piece, Role
from tiler.pattern.units import format_mm
from tiler.sheets.words import say

#: Widths are told to a tenth of a millimetre; those that differ by less are the same.
SAME = 0.05


def allowance_words(piece: Piece) -> str:
    """What the outline holds, and the edges on which it is another width.

    Not to say so is the worst silent error of a shared pattern. Such as ``15 mm seam allowance is
    included; neck 10 mm, hem 30 mm``.
    """
    included = piece.outlines[0].role is Role.CUT
    usual, others = _usual(piece)
    if usual is None:
        words = say("allowance_in_unknown" if included else "allowance_none")
        if others:
            words = say("allowance_in_edges" if included else "allowance_add_edges")
    else:
        words = say("allowance_in" if included else "allowance_add", allowance=format_mm(usual))
    told = ", ".join(_edges_words(names, width) for width, names in others.items())
    return f"{words}; {told}" if told else words


def _usual(piece: Piece) -> tuple[float | None, dict[float, list[str]]]:
    """The piece's allowance, or the one that most of its edges have; and the edges that differ."""
    edges = _open_edges(piece)
    widths = {edge.letter: piece.allowance_of(edge) for edge in edges}
    known = [round(width, 1) for width in widths.values() if width is not None]
    usual = piece.allowance
    if usual is None and len(known) == len(edges) and known:
        usual = max(known, key=lambda width: (known.count(width), width))
    others: dict[float, list[str]] = {}
    for edge in edges:
        width = widths[edge.letter]
        if width is None or (usual is not None and abs(width - usual) < SAME):
            continue
        names = others.setdefault(round(width, 1), [])
        name = edge.name or say("edge", letter=edge.letter)
        if name not in names:
            names.append(name)
    return usual, others


def _open_edges(piece: Piece) -> list[Edge]:
    """Every edge that is not on the fold, those of all styles once, by letter."""
    edges: dict[str, Edge] = {}
    for outline in piece.outlines:
        for edge in outline.edges:
            if edge.lies is not Lies.FOLD:
                edges.setdefault(edge.letter, edge)
    return sorted(edges.values(), key=lambda edge: (len(edge.letter), edge.letter))


def _edges_words(names: list[str], width: float) -> str:
    listed = names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
    if width == 0:
        return say("allowance_edge_none", edge=listed)
    return say("allowance_edge", edge=listed, allowance=format_mm(width))
