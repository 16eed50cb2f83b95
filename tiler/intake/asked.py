"""What is asked for across pieces, checked once all drawings are read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from tiler.intake.lettered import refuse_unknown
from tiler.intake.tomltable import near_miss
from tiler.intake.words.model import PatternWords
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Piece
from tiler.pattern.wishes import EdgeName


def refuse_unknown_asked(words: PatternWords, pieces: Sequence[Piece]) -> None:
    """See that seams and notches name edges that there are, and wishes styles that there are.

    Args:
        words: What the pattern file says.
        pieces: All pieces, as drawn.

    Raises:
        PatternError: A letter that no outline of the piece has, or a style that is neither drawn
            nor described; with line and what there is.
    """
    known = {piece.name: piece for piece in pieces}
    for name, where in _named(words):
        refuse_unknown(known[name.piece].outlines, name.letter, f"{where}, piece {name.piece}")
    described = [style for style, _ in words.styles]
    drawn = [style for piece in pieces for style in piece.styles]
    styles = tuple(dict.fromkeys((*described, *drawn)))
    for piece in pieces:
        for wish in piece.wishes.styles:
            if wish.style not in styles:
                raise PatternError(
                    f'the style "{wish.style}" is neither drawn nor described',
                    where=wish.where,
                    remedy=f"{near_miss(wish.style, styles) if styles else ''} Describe it under "
                    "[style], or give its lines the class style:NAME.".strip(),
                )


def _named(words: PatternWords) -> Iterator[tuple[EdgeName, str]]:
    for seam in words.seams:
        names: Iterable[EdgeName] = (*seam.first, *seam.second)
        yield from ((name, seam.where) for name in names)
    for piece in words.pieces:
        for notch in piece.wishes.notches:
            if notch.meets:
                yield notch.meets, f"{notch.where}, key meets"
