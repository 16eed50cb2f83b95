"""Which pieces are printed joined along their folds."""

from __future__ import annotations

from tiler.pattern.model import Pattern, Piece


def partner_of(piece: Piece, pattern: Pattern) -> str:
    """Name of the piece that one is joined to, or empty."""
    for pair in pattern.joined:
        if piece.name in pair:
            return pair[1] if pair[0] == piece.name else pair[0]
    return ""
