"""How many pieces to cut and how they lie, in a maker's few words."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tiler.pattern.errors import PatternError

if TYPE_CHECKING:
    from tiler.job.takingup import Found, TakenUp
    from tiler.pattern.model import Cut

_CUT = re.compile(r"\s*(\d{1,4})\s*(?:x\s*)?(fold|pair|copies)(?:\s+([a-z]{1,3}))?\s*", re.I)
#: What the words of a cut look like.
CUTS = "1 fold A, 2 pair or 2 copies"


@dataclass(frozen=True, slots=True)
class CutAnswer:
    """How a piece is cut, and which edge lies on the fold (empty when the drawing says)."""

    cut: Cut
    fold: str = ""


def cut_answer(words: str, found: Found) -> CutAnswer:
    """What is said of a piece's cutting, such as ``1 fold A`` or ``2 pair``.

    Raises:
        PatternError: It is none of these, or the fold is not where the words say.
    """
    from tiler.intake.lettered import refuse_unknown
    from tiler.output.folder.edgehints import hints_of, possible_folds
    from tiler.pattern.model import Cut, Lay, Lies

    match = _CUT.fullmatch(words)
    if match is None or not 1 <= int(match[1]) <= 1000:
        raise PatternError(
            f'"{words}" does not say how many to cut and how they lie',
            where=found.name,
            remedy=f"Write it as {CUTS}.",
        )
    lay, edge = Lay(match[2].lower()), (match[3] or "").upper()
    if lay is Lay.PAIR and int(match[1]) % 2:
        raise PatternError(
            f"{int(match[1])} cannot be cut as mirrored pairs: a pair is two pieces",
            where=found.name,
            remedy=f"Write {int(match[1]) + 1} pair or {int(match[1])} copies.",
        )
    hints = hints_of(found.piece)
    drawn = [hint.letter for hint in hints if hint.lies is Lies.FOLD]
    if lay is not Lay.FOLD and edge:
        raise PatternError(
            f"only a piece on the fold names an edge, and {lay} is not",
            where=found.name,
            remedy=f"Write it as {CUTS}.",
        )
    if edge:
        refuse_unknown(found.piece.outlines, edge, found.name)
    if drawn and edge and edge not in drawn:
        raise PatternError(
            f"edge {edge} is given as the fold, and the drawing has it on {', '.join(drawn)}",
            where=found.name,
            remedy=f"Write {match[1]} fold.",
        )
    if lay is Lay.FOLD and not drawn and not edge:
        could = possible_folds(hints)
        some = f" Edges that could: {', '.join(could)}." if could else ""
        raise PatternError(
            "it is not said which edge lies on the fold, and the drawing does not say",
            where=found.name,
            remedy=f"Name the edge, as in {match[1]} fold {could[0] if could else 'A'}.{some}",
        )
    return CutAnswer(Cut(int(match[1]), "main", lay), "" if drawn else edge)


def edges_told(found: Found) -> tuple[str, ...]:
    """What a person needs to know of the edges to answer how a piece lies, line by line."""
    from tiler.output.folder.edgehints import hints_of, possible_folds
    from tiler.pattern.model import Lies
    from tiler.pattern.units import format_mm
    from tiler.sheets.words import say

    hints = hints_of(found.piece)
    drawn = dict.fromkeys(hint.letter for hint in hints if hint.lies is Lies.FOLD)
    if drawn:
        return (say("new_told_fold", letters=", ".join(drawn)),)
    known = {hint.letter: hint for hint in reversed(hints)}
    could = [
        f"{letter} ({format_mm(known[letter].length)}, {say(f'new_side_{known[letter].side}')})"
        for letter in possible_folds(hints)
    ]
    return (say("new_told_folds", letters=", ".join(could)),) if could else ()


def cuts_said(options: Sequence[str], taken: TakenUp) -> dict[str, CutAnswer]:
    """The cuts that options say: ``Front=1 fold A``, or ``2 pair`` for all that are not named.

    Raises:
        PatternError: No such piece, or words that say no cut.
    """
    from tiler.intake.tomltable import near_miss

    by_name = {found.name.casefold(): found for found in taken.pieces}
    cuts: dict[str, CutAnswer] = {}
    for words in sorted(options, key=lambda option: "=" in option):
        name, named, cut = words.rpartition("=")
        if not named:
            cuts.update((found.name, cut_answer(cut, found)) for found in taken.uncut)
            continue
        one = by_name.get(name.strip().casefold())
        if one is None:
            names = [found.name for found in taken.pieces]
            raise PatternError(f'there is no piece "{name}"', remedy=near_miss(name, names))
        if one.piece.cuts:
            raise PatternError("the DXF file says already how it is cut", where=one.name)
        cuts[one.name] = cut_answer(cut, one)
    return cuts
