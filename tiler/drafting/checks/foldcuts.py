"""Can a piece be cut on the fold: does an edge lie on it, and the whole half on one side of it?"""

from __future__ import annotations

from collections.abc import Iterator

from tiler.drafting.checks.bench import Bench, own_style
from tiler.drafting.checks.fault import Fault, Spot
from tiler.drafting.unfold.half import half_of
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Lay, Lies, Outline, Piece, Severity

#: What is wrong with a cut on the fold without a fold, and what to do, for whoever lays it as well.
NO_FOLD = "it is to be cut on the fold, but no edge of it is on the fold"
SAY_FOLD = (
    'Say which edge lies on the fold, such as fold = "A"; or, when it is drawn whole, write '
    'lay = "copies" in its cut.'
)


def fold_cuts(bench: Bench) -> Iterator[Fault]:
    """Pieces that are to be cut on the fold and cannot be."""
    return bench.each_piece(cannot_be_cut)


def cannot_be_cut(piece: Piece) -> Iterator[Fault]:
    """Why a piece cannot be cut as it is drawn, once for each style where its outline differs.

    Args:
        piece: Drafted.
    """
    folded = [outline for outline in piece.outlines if _letters(outline)]
    if not folded and any(cut.lay is Lay.FOLD for cut in piece.cuts):
        yield Fault(
            "fold-unsaid",
            Severity.ERROR,
            piece.name,
            f"{_sentence(NO_FOLD)}: half of the cloth would be missing.",
            SAY_FOLD,
            spots=(Spot(piece.name, paths=(piece.outlines[0].path,)),),
        )
    for outline in folded:
        try:
            half_of(outline, piece.place)
        except PatternError as wrong:
            letters = _letters(outline)
            edges = tuple(edge for edge in outline.edges if edge.lies is Lies.FOLD)
            yield Fault(
                "fold-no-half",
                Severity.ERROR,
                piece.name,
                f"It cannot be cut on the fold: {wrong.problem}.",
                wrong.remedy,
                detail=f"edge {letters}",
                style=own_style(piece, outline, edges[0]),
                spots=(
                    Spot(
                        piece.name,
                        paths=tuple(edge.path for edge in edges),
                        style=outline.style,
                    ),
                ),
            )


def _letters(outline: Outline) -> str:
    return ", ".join(edge.letter for edge in outline.edges if edge.lies is Lies.FOLD)


def _sentence(words: str) -> str:
    return words[0].upper() + words[1:]
