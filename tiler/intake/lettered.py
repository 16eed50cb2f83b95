"""What is said of edges by their letters, put on the drawn outlines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from tiler.intake.words.model import EdgeWord, PieceWords
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Lies, Outline
from tiler.pattern.units import format_mm


def with_words(outlines: tuple[Outline, ...], words: PieceWords) -> tuple[Outline, ...]:
    """The outlines with lies, names, widths and finishes on their edges.

    Args:
        outlines: As drawn; edges on a drawn fold line lie on the fold already.
        words: What the pattern file says of the piece.

    Raises:
        PatternError: A letter that no outline has, an edge that lies in two ways, or one on the
            fold that is given a width.
    """
    known = {edge.letter for edge in _edges(outlines)}
    by_letter: dict[str, list[EdgeWord]] = {}
    for word in words.edges:
        if word.letter not in known:
            refuse_unknown(outlines, word.letter, word.where)
        by_letter.setdefault(word.letter, []).append(word)
    return tuple(
        replace(
            outline,
            edges=tuple(
                _with_words(edge, by_letter.get(edge.letter, ())) for edge in outline.edges
            ),
        )
        for outline in outlines
    )


def refuse_unasked(outlines: Sequence[Outline], words: PieceWords) -> None:
    """See that every edge that a wish names is there.

    Raises:
        PatternError: A letter that no outline has, or the fold of a piece without one.
    """
    known = {edge.letter for edge in _edges(outlines)}
    if any(edge.lies is Lies.FOLD for edge in _edges(outlines)):
        known.add("")
    for letter in words.letters:
        if letter.letter in known:
            continue
        if letter.letter:
            refuse_unknown(outlines, letter.letter, letter.where)
        else:
            raise PatternError(
                "the grainline is to lie along the fold, but no edge is on the fold",
                where=letter.where,
                remedy='Say which edge is, as in fold = "A", or name an edge, as in grain = "A".',
            )


def refuse_unknown(outlines: Sequence[Outline], letter: str, where: str) -> None:
    """See that an outline has an edge.

    Args:
        outlines: Of one piece.
        letter: The edge.
        where: File, line, piece and key that name it.

    Raises:
        PatternError: None has; the message says which there are.
    """
    edges = {edge.letter: edge for edge in reversed(_edges(outlines))}
    if letter in edges:
        return
    letters = list(dict.fromkeys(edge.letter for edge in _edges(outlines)))
    named = [known for known in letters if edges[known].name.upper() == letter]
    meant = f'The edge with this name is "{named[0]}". ' if named else ""
    raise PatternError(
        f'there is no edge "{letter}"',
        where=where,
        remedy=f"{meant}The outline has {_span(letters)}, clockwise from the lower left.",
    )


def _edges(outlines: Sequence[Outline]) -> list[Edge]:
    return [edge for outline in outlines for edge in outline.edges]


def _with_words(edge: Edge, words: Sequence[EdgeWord]) -> Edge:
    for word in words:
        edge = _with_word(edge, word)
    for word in words:
        if word.allowance and edge.lies is Lies.FOLD:
            raise PatternError(
                f"edge {word.letter} is on the fold and is given an allowance of "
                f"{format_mm(word.allowance, 2)}",
                where=word.where,
                remedy="Take the width away: nothing is added on a fold.",
            )
    return edge


def _with_word(edge: Edge, word: EdgeWord) -> Edge:
    if word.allowance is not None:
        edge = replace(edge, allowance=word.allowance)
    if word.finish is not None:
        edge = replace(edge, finish=word.finish)
    if word.name:
        edge = replace(edge, name=word.name)
    if word.lies is None:
        return edge
    if edge.lies not in (Lies.SEWN, word.lies):
        raise PatternError(
            f"edge {edge.letter} has a {edge.lies} line on it and is given as {word.lies}",
            where=word.where,
            remedy=f"Take the letter out of {word.lies}, or move the line in the drawing.",
        )
    return replace(edge, lies=word.lies)


def _span(letters: Sequence[str]) -> str:
    if len(letters) == 1:
        return f"one edge, {letters[0]}"
    return f"the edges {letters[0]} to {letters[-1]}"
