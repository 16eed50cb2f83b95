"""Paper sizes. A new paper is one line here."""

from __future__ import annotations

import difflib
from dataclasses import dataclass

from tiler.pattern.errors import PaperError
from tiler.pattern.units import MM_PER_INCH

#: Sheets with no side shorter than this are large, millimetres: A2 and up. Printers at home and in
#: offices go up to A3 or 11 x 17 in, so these come from a plotter in a copy shop, which charges by
#: the sheet (common practice, no source); and most pieces of a garment go on them whole.
LARGE_SIDE = 420.0


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet of paper standing upright, in millimetres.

    Args:
        name: What people call it.
        width: From side to side.
        height: From foot to head.
        roll: Whether it is cut from a roll, as long as needed.
    """

    name: str
    width: float
    height: float
    roll: bool = False

    @property
    def large(self) -> bool:
        """Whether pieces are laid on it whole, without a page that only tells how to tape."""
        return self.roll or min(self.width, self.height) >= LARGE_SIDE


def _iso_series(letter: str, width: int, height: int) -> list[Paper]:
    """Sizes 0 to 10 of an ISO 216 series.

    ISO 216: each size is the one before, halved along its long side and rounded down to a whole
    millimetre.
    """
    papers = []
    for number in range(11):
        papers.append(Paper(f"{letter}{number}", float(width), float(height)))
        width, height = height // 2, width
    return papers


#: ISO 216 A and B, and the North American sizes in inches (ASME Y14.1: A is 8.5 x 11, B is
#: 11 x 17; Legal, 8.5 x 14, is an office size: common practice, no source).
PAPERS: dict[str, Paper] = {
    paper.name.lower(): paper
    for paper in (
        *_iso_series("A", 841, 1189),
        *_iso_series("B", 1000, 1414),
        Paper("Letter", 8.5 * MM_PER_INCH, 11 * MM_PER_INCH),
        Paper("Legal", 8.5 * MM_PER_INCH, 14 * MM_PER_INCH),
        Paper("Tabloid", 11 * MM_PER_INCH, 17 * MM_PER_INCH),
    )
}


def find_paper(name: str) -> Paper:
    """The paper of that name, capitals or not.

    Raises:
        PaperError: No such paper.
    """
    paper = PAPERS.get(name.strip().lower())
    if paper is None:
        near = difflib.get_close_matches(name.strip().lower(), PAPERS, n=1)
        hint = f"Did you mean {near[0]}? " if near else ""
        raise PaperError(
            f"there is no paper called {name!r}",
            remedy=f"{hint}Use a0 to a5, b0 to b5, letter, legal or tabloid.",
        )
    return paper
