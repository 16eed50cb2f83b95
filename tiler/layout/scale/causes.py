"""Wrong settings and what each makes of a page, computed from the sizes of papers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum

from tiler.layout.papers import PAPERS, Paper
from tiler.pattern.tolerance import PRINT_TRUE
from tiler.pattern.units import MM_PER_INCH, format_mm

#: What printers say that they leave free, millimetres: common practice, no source.
MARGINS = (3.0, 4.2, 5.0, 6.35, 10.0, 12.7)
#: How far a borderless print reaches past each side of the paper, millimetres, least and most:
#: common practice, no source.
OVERSPILL = (1.0, 3.2)
#: Percentages that stand ready on printers and copiers, or are typed to "make it fit".
PRESETS = (64, 70, 71, 78, 90, 93, 94, 95, 97, 98, 102, 103, 105, 110, 121, 129, 141)
#: The papers that a home or copy shop printer holds.
_USUAL = ("a3", "a4", "a5", "letter", "legal", "tabloid")
#: Ratios outside of these are not what a setting makes of a page, and those that leave it at true
#: size spoil nothing.
_RANGE = (0.2, 5.0)


class Setting(StrEnum):
    """Kinds of wrong setting; each has one remedy."""

    SHRUNK = "shrunk"
    FITTED = "fitted"
    STRETCHED = "stretched"
    BORDERLESS = "borderless"
    PERCENTAGE = "percentage"
    SEVERAL = "several"
    DOTS = "dots"
    POINTS = "points"
    ROUND_INCH = "round inch"


@dataclass(frozen=True)
class Cause:
    """A wrong setting.

    Args:
        setting: What kind it is.
        detail: What tells it from others of its kind, such as a margin; may be empty.
        across: Least and most printed length over wanted length, along the paper's short side.
        up: The same along the long side.
        seldom: How much rarer it is than the usual ones, 0 to 3: a judgement, used only to put
            the likelier first where several fit.
    """

    setting: Setting
    detail: str
    across: tuple[float, float]
    up: tuple[float, float]
    seldom: int = 0

    @property
    def uniform(self) -> bool:
        """Whether both directions change alike: all that keeps the page's proportions."""
        return self.across == self.up


def causes_for(paper: Paper) -> tuple[Cause, ...]:
    """What can have been set wrong for a page that is meant for a paper."""
    low, high = _RANGE
    return tuple(
        cause
        for cause in (
            *_shrunk(paper),
            *_fitted(paper),
            *_stretched(paper),
            _borderless(paper),
            *_typed(),
            *_several(paper),
            *_programs(),
        )
        if low < min(*cause.across, *cause.up)
        and max(*cause.across, *cause.up) < high
        and max(abs(ratio - 1) for ratio in (*cause.across, *cause.up)) > PRINT_TRUE.share
    )


def typed(percent: int) -> Cause:
    """A percentage typed, or left from the last print."""
    seldom = 1 if percent in PRESETS else 3
    return _uniform(Setting.PERCENTAGE, f"{percent} %", percent / 100, seldom)


def fit(page: Paper, paper: Paper, margin: float = 0.0) -> float:
    """The ratio that brings a whole page onto the part of a paper inside its margins."""
    return min(
        (paper.width - 2 * margin) / page.width,
        (paper.height - 2 * margin) / page.height,
    )


def _uniform(setting: Setting, detail: str, ratio: float, seldom: int = 0) -> Cause:
    return Cause(setting, detail, (ratio, ratio), (ratio, ratio), seldom)


def _shrunk(page: Paper) -> Iterator[Cause]:
    for margin in MARGINS:
        detail = f"margins of {format_mm(margin, 2)}"
        yield _uniform(Setting.SHRUNK, detail, fit(page, page, margin))


def _fitted(page: Paper) -> Iterator[Cause]:
    for paper in _others(page):
        seldom = 0 if {page.name, paper.name} == {"A4", "Letter"} else 2
        yield _uniform(Setting.FITTED, f"{paper.name}, no margins", fit(page, paper), seldom)
        for margin in MARGINS:
            detail = f"{paper.name}, margins of {format_mm(margin, 2)}"
            yield _uniform(Setting.FITTED, detail, fit(page, paper, margin), seldom)


def _stretched(page: Paper) -> Iterator[Cause]:
    """The page pulled onto the paper in each direction on its own."""
    for paper in (page, *_others(page)):
        for margin in (0.0, *MARGINS):
            across = (paper.width - 2 * margin) / page.width
            up = (paper.height - 2 * margin) / page.height
            if abs(across - up) > 1e-3:
                words = f"margins of {format_mm(margin, 2)}" if margin else "no margins"
                detail = f"{paper.name}, {words}"
                yield Cause(Setting.STRETCHED, detail, (across, across), (up, up), 2)


def _borderless(page: Paper) -> Cause:
    least, most = ((page.width + 2 * over) / page.width for over in OVERSPILL)
    return Cause(Setting.BORDERLESS, "", (least, most), (least, most), 1)


def _typed() -> Iterator[Cause]:
    yield from (typed(percent) for percent in PRESETS)


def _several(page: Paper) -> Iterator[Cause]:
    """Two pages side by side on one paper that is turned, or four."""
    half = Paper("half", page.height / 2, page.width)
    yield _uniform(Setting.SEVERAL, "2", fit(page, half), 1)
    yield _uniform(Setting.SEVERAL, "4", 0.5, 1)


def _programs() -> Iterator[Cause]:
    """What programs make of a drawing when they take its unit for another one.

    A pixel is 1/96 in (CSS Values and Units); older drawing programs took 1/90 in, and others take
    the point, 1/72 in (ISO 32000-1, 8.3.2.3). One of TeX's points is 1/72.27 in (Knuth, The
    TeXbook, chapter 10; from memory).
    """
    for written, read in ((72, 96), (96, 72), (90, 96), (96, 90), (72, 90), (90, 72)):
        seldom = 0 if 90 not in (written, read) else 2
        yield _uniform(Setting.DOTS, f"{written} read as {read}", written / read, seldom)
    for wrong in (72 / 72.27, 72.27 / 72):
        yield _uniform(Setting.POINTS, "", wrong, 3)
    for wrong in (25 / MM_PER_INCH, MM_PER_INCH / 25):
        yield _uniform(Setting.ROUND_INCH, "", wrong, 3)


def _others(page: Paper) -> list[Paper]:
    return [PAPERS[name] for name in _USUAL if PAPERS[name] != page]
