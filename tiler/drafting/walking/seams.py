"""The two sides of a declared seam, each in the order in which it is sewn."""

from __future__ import annotations

from tiler.drafting.walking.sense import Ties, oriented
from tiler.drafting.walking.sewn import piece_named, sewn_edge
from tiler.drafting.walking.side import SeamPlace, SewnEdge, SewnNotch, SewnSide
from tiler.pattern.model import Pattern, Piece, Seam

__all__ = [
    "SeamPlace",
    "SewnEdge",
    "SewnNotch",
    "SewnSide",
    "pieces_in",
    "seam_styles",
    "sewn_sides",
]


def sewn_sides(
    pattern: Pattern, seam: Seam, style: str = "", ties: Ties | None = None
) -> tuple[SewnSide, SewnSide]:
    """Both sides of a seam, ready to be walked against one another from their starts.

    Which way each edge is walked is found (`walking.sense.oriented`); `Seam.turned` turns the
    second side round.

    Args:
        pattern: Drafted: its pieces have their stitch rings. Notches may still be missing.
        seam: One of the pattern's seams.
        style: The style to take; pieces that do not have it give the ring that they have.
        ties: What is sewn together in the pattern, where that is known already.

    Raises:
        PatternError: No such piece or edge, or a stitch line that is not known; with the
            seam's place.
    """
    first = [sewn_edge(pattern, name, style, seam.where) for name in seam.first]
    second = [sewn_edge(pattern, name, style, seam.where) for name in seam.second]
    one, other = oriented(first, second, ties or Ties(pattern.seams, pattern.pieces))
    return one, other.reversed() if seam.turned else other


def pieces_in(pattern: Pattern, seam: Seam) -> tuple[Piece, ...]:
    """The pieces whose edges a seam joins; all, where it names one that is not there."""
    names = {name.piece for name in (*seam.first, *seam.second)}
    found = tuple(piece for piece in pattern.pieces if piece.name in names)
    return found if len(found) == len(names) else pattern.pieces


def seam_styles(pattern: Pattern, seam: Seam) -> tuple[str, ...]:
    """The styles for which a seam is not the same, or the empty one alone when it is.

    Raises:
        PatternError: A piece is not there.
    """
    styles: dict[str, None] = {}
    for name in (*seam.first, *seam.second):
        piece = piece_named(pattern, name.piece, seam.where)
        own = {
            ring.style: edge.path
            for ring in piece.stitch
            for edge in ring.edges
            if edge.letter == name.letter
        }
        if len(set(own.values())) > 1:
            styles |= dict.fromkeys(style for style in own if style)
    return tuple(styles) or ("",)
