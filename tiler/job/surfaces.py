"""What follows ``--on``: a paper by its name, or a roll by its width."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from tiler.pattern.errors import LengthError, PaperError
from tiler.pattern.units import format_mm, parse_length

if TYPE_CHECKING:
    from tiler.layout.papers import Paper

ROLL = "roll:"
MAT = "mat:"
#: Widths that a roll of paper can have, millimetres: from the narrowest plotters to the widest
#: presses (common practice, no source).
LEAST_ROLL, MOST_ROLL = 300.0, 5000.0


def is_mat(word: str) -> bool:
    """Whether a surface is a projector's mat, and no paper."""
    return word.strip().lower().startswith(MAT)


def mat_name(word: str) -> str:
    """The mat's name in ``mat:NAME``."""
    return word.strip()[len(MAT) :].strip()


def paper_of(word: str) -> Paper:
    """The paper that ``a4``, ``b0`` or ``roll:914mm`` means; a roll's height is yet unknown.

    Raises:
        PaperError: No such paper, or a width that no roll has.
    """
    from tiler.layout.papers import Paper, find_paper

    plain = word.strip().lower()
    if not plain.startswith(ROLL):
        return find_paper(word)
    said = re.sub(r'["”″]', "in", plain[len(ROLL) :].strip())
    try:
        width = parse_length(said)
    except LengthError as wrong:
        raise PaperError(
            f"{word!r} does not say how wide the roll is ({wrong.problem})",
            remedy="Give the width with its unit, such as roll:914mm or roll:36in.",
        ) from None
    if not LEAST_ROLL <= width <= MOST_ROLL:
        raise PaperError(
            f"a roll {format_mm(width)} wide is not between {format_mm(LEAST_ROLL)} and "
            f"{format_mm(MOST_ROLL)}",
            remedy="Rolls for plotters are 610 to 1,118 mm (24 to 44 in) wide; look at its label.",
        )
    number, unit = re.fullmatch(r"(.*?)\s*([^\d\s]*)\s*", said).groups()  # type: ignore[union-attr]
    return Paper(f"roll {number} {unit}", width, 0.0, roll=True)


def file_word(paper: Paper) -> str:
    """What a paper is called in the name of a file: ``a4``, ``roll-914mm``."""
    if not paper.roll:
        return paper.name.lower()
    _, *number, unit = paper.name.lower().replace("/", "-").split()
    return f"roll-{'-'.join(number)}{unit}"
