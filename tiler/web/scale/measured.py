"""What a form says of a printed page, and what follows from it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from tiler.job.scaling import PAGES, bars_meant, bars_of, judge_print
from tiler.layout.papers import find_paper
from tiler.pattern.errors import BlocksheetError, MeasureError
from tiler.pattern.units import parse_length
from tiler.web.lengths import bare, typed_length

if TYPE_CHECKING:
    from collections.abc import Callable

    from tiler.layout.scale import Judgement
    from tiler.pattern.model import Pattern
    from tiler.web.asking import Asked

#: Papers that home and office printers hold, the commonest first (common practice, no source).
PAPERS = ("a4", "letter", "a3", "legal", "tabloid", "a5", "b4", "b5")
#: The finest marks of usual rulers, as a length is written.
RULERS = ("1 mm", "0.5 mm", "1/16 in", "1/32 in", "1/8 in", "2 mm")
GRADES = ("", "1", "2", "3")
_MARGIN = 10.0


@dataclass(frozen=True)
class Printed:
    """Which page was printed, and for which garment.

    Args:
        paper: Its name.
        page: One of `PAGES`.
        margin: Of a page of a pattern, millimetres.
        garment: Name of the pattern's folder; empty for none.
    """

    paper: str = PAPERS[0]
    page: str = PAGES[0]
    margin: float = _MARGIN
    garment: str = ""

    @classmethod
    def of(cls, asked: Asked, said: Callable[[str, str], str]) -> Printed:
        """As an address or a form says.

        Args:
            asked: The request.
            said: Gives a field by its name, or the default.

        Raises:
            BlocksheetError: There is no such paper or pattern, or the margin is no length.
        """
        paper = find_paper(said("paper", PAPERS[0])).name.lower()
        page = said("page", PAGES[0])
        typed = said("margin", "")
        garment = said("for", "")
        if garment:
            asked.library.folder(garment)
        units = asked.settings.units
        # What stood in the field before anybody typed means the usual margin to the last digit.
        usual = typed in ("", bare(_MARGIN, units))
        margin = _MARGIN if usual else typed_length(typed, units)
        return cls(paper, page if page in PAGES else PAGES[0], margin, garment)

    @cached_property
    def bars(self) -> tuple[float, float]:
        """What the bars measure at true size: along the short and the long side, millimetres.

        Raises:
            PaperError: The paper is too small, or the margin leaves no room.
        """
        return bars_of(self.paper, self.page, self.margin)


@dataclass(frozen=True)
class Measured:
    """What was measured on it.

    Args:
        printed: The page.
        read: Both bars; None for one that was not typed yet.
        ruler: One of `RULERS`.
        grade: One of `GRADES`.
        judgement: What follows; None while something is missing or cannot be.
        trouble: Why there is none, where something was typed that cannot be.
        mistaken: Whether the lengths look like those of a page of a pattern.
    """

    printed: Printed
    read: tuple[float | None, float | None] = (None, None)
    ruler: str = RULERS[0]
    grade: str = ""
    judgement: Judgement | None = None
    trouble: BlocksheetError | None = None
    mistaken: bool = False


def measured(asked: Asked, pattern: Pattern | None) -> Measured:
    """Read a form and judge what it says; what cannot be is told, and not raised.

    Args:
        asked: The form.
        pattern: The garment's; None for none.

    Raises:
        BlocksheetError: There is no such page.
    """
    from tiler.layout.scale import Rule

    printed = Printed.of(asked, asked.field)
    ruler = asked.field("ruler", RULERS[0])
    grade = asked.field("grade")
    ruler = ruler if ruler in RULERS else RULERS[0]
    grade = grade if grade in GRADES else ""
    found = Measured(printed, ruler=ruler, grade=grade)
    try:
        across, up = (asked.typed(name) if asked.field(name) else None for name in ("across", "up"))
        if across is None or up is None:
            return Measured(printed, (across, up), ruler, grade)
        rule = Rule(parse_length(ruler), grade)
        judgement = judge_print(printed.paper, printed.bars, (across, up), rule, pattern)
    except BlocksheetError as error:
        return Measured(printed, found.read, ruler, grade, trouble=error)
    mistaken = printed.page == PAGES[0] and _of_pattern(printed, (across, up))
    return Measured(printed, (across, up), ruler, grade, judgement, mistaken=mistaken)


def _of_pattern(printed: Printed, read: tuple[float, float]) -> bool:
    try:
        bars_meant(printed.paper, read, printed.margin)
    except MeasureError:
        return True
    return False
