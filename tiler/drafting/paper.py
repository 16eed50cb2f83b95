"""How drafted pieces come to paper: the chosen styles, opened where wished, joined in pairs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from tiler.drafting.styles.chosen import only_styles
from tiler.drafting.unfold.joining import joined
from tiler.drafting.unfold.whole import unfolded
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Lies, Pattern, Piece
from tiler.pattern.wishes import Paper


def for_paper(pattern: Pattern, styles: Sequence[str] = ()) -> Pattern:
    """The pattern as its sheets show it.

    Args:
        pattern: Drafted; half pieces are half.
        styles: Names of the styles to keep; empty for all.

    Returns:
        Pieces in the same order. Those wished whole are opened across their fold and lettered
        anew, so seams that name one of them are left out. Both pieces of a joined pair lie in the
        first one's coordinates and must be placed by one and the same turn and shift; a piece whose
        partner belongs to other styles only is left alone.

    Raises:
        PatternError: There is no such style, a piece to be opened or joined has no straight fold,
            or a piece is joined twice, to itself, or while it is printed whole.
    """
    _refuse_pairs(pattern, {piece.name: piece for piece in pattern.pieces})
    if styles:
        pattern = only_styles(pattern, styles)
    pieces = {piece.name: piece for piece in pattern.pieces}
    pairs = tuple(pair for pair in pattern.joined if all(name in pieces for name in pair))
    whole = {name for name, piece in pieces.items() if piece.wishes.paper is Paper.WHOLE}
    for name in whole:
        pieces[name] = _opened(pieces[name])
    for one, other in pairs:
        pieces[one], pieces[other] = _joined(pieces[one], pieces[other])
    return replace(
        pattern,
        pieces=tuple(pieces[piece.name] for piece in pattern.pieces),
        joined=pairs,
        seams=tuple(
            seam
            for seam in pattern.seams
            if not any(edge.piece in whole for edge in (*seam.first, *seam.second))
        ),
    )


def has_fold(piece: Piece) -> bool:
    """Whether an edge of the piece lies on the fold."""
    return any(edge.lies is Lies.FOLD for outline in piece.outlines for edge in outline.edges)


def _opened(piece: Piece) -> Piece:
    if not has_fold(piece):
        raise PatternError(
            'paper = "whole" opens a half piece, but no edge of this one is on the fold',
            where=piece.place,
            remedy='Say which edge is, such as fold = "A", or leave paper out: the piece is whole '
            "as it is drawn.",
        )
    return unfolded(piece)


def _joined(first: Piece, second: Piece) -> tuple[Piece, Piece]:
    for piece, partner in ((first, second), (second, first)):
        if not has_fold(piece):
            raise PatternError(
                f"it is joined to {partner.name}, but no edge of it is on the fold",
                where=piece.place,
                remedy="Pieces are joined along their folds: say which edge it is, such as fold = "
                '"A", or take the pair out of joined.',
            )
    return joined(first, second)


def _refuse_pairs(pattern: Pattern, pieces: dict[str, Piece]) -> None:
    """Check that every joined pair is two half pieces of the pattern, and none is in two pairs."""
    seen: dict[str, str] = {}
    for pair in pattern.joined:
        for name, partner in (pair, pair[::-1]):
            where = f"joined, {pair[0]} and {pair[1]}"
            if name not in pieces:
                raise PatternError(
                    f"there is no piece called {name!r}",
                    where=where,
                    remedy=f"The pieces are: {', '.join(pieces)}.",
                )
            if name == partner:
                raise PatternError(
                    "a piece cannot be joined to itself",
                    where=where,
                    remedy='To print it opened, give the piece paper = "whole".',
                )
            if name in seen:
                raise PatternError(
                    f"{name} is joined to {seen[name]} already",
                    where=where,
                    remedy="A fold has two sides: each piece can be in one pair only.",
                )
            if pieces[name].wishes.paper is Paper.WHOLE:
                raise PatternError(
                    f"{name} is printed whole and cannot be joined as a half",
                    where=where,
                    remedy='Take paper = "whole" off the piece, or the pair out of joined.',
                )
            seen[name] = partner
