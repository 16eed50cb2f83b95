"""Measuring a printer, judging it, and keeping what was found under its owner's name for it."""

from __future__ import annotations

import math
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.job import keeping

if TYPE_CHECKING:
    from tiler.layout.scale import Judgement, Printer, Rule
    from tiler.pattern.model import Pattern

#: Which page is measured: the calibration page, or any page of a pattern.
PAGES = ("calibration", "pattern")
_KIND = "printers"
#: How near two proportions are that count as the same.
_ALIKE = 0.015


def bars_of(paper: str, page: str = "calibration", margin: float = 10.0) -> tuple[float, float]:
    """What the bars of a page measure at true size, millimetres.

    Args:
        paper: The paper that the page was made for.
        page: One of `PAGES`.
        margin: What was left free round a page of a pattern, as ``publish --margin``.

    Returns:
        Along the short side of the paper, and along its long side; also on landscape pages.

    Raises:
        PaperError: There is no such paper, or it is too small.
    """
    from tiler.layout.papers import find_paper
    from tiler.layout.tiles import PageSetup
    from tiler.sheets.bars import bar_lengths
    from tiler.sheets.scalesheet import bar_lengths_on_sheet

    if page == "calibration":
        return bar_lengths_on_sheet(paper)
    return bar_lengths(PageSetup(find_paper(paper), margin=margin))


def bars_meant(paper: str, read: tuple[float, float], margin: float = 10.0) -> tuple[float, float]:
    """The bars of the calibration page, when nobody has said which page was measured.

    Args:
        paper: The paper that the page was made for.
        read: What was measured, short side first.
        margin: As in `bars_of`.

    Raises:
        MeasureError: The readings are in proportion to the bars of a page of a pattern.
        PaperError: There is no such paper, or it is too small.
    """
    from tiler.pattern.errors import MeasureError
    from tiler.pattern.units import format_mm

    sheet, pattern = bars_of(paper), bars_of(paper, "pattern", margin)

    def alike(bars: tuple[float, float]) -> bool:
        # Almost every setting keeps the proportions of a page, and so those of its two bars.
        return min(read) > 0 and abs(read[0] * bars[1] / (read[1] * bars[0]) - 1) <= _ALIKE

    if alike(pattern) and not alike(sheet):
        told = [" and ".join(format_mm(bar) for bar in bars) for bars in (pattern, sheet)]
        raise MeasureError(
            f"these are in proportion to the bars of a page of a pattern, {told[0]}; those of the "
            f"calibration page have {told[1]}",
            remedy="Say which one you measured: --page pattern or --page calibration.",
        )
    return sheet


def sheet_name(paper: str, printer: Printer | None = None) -> str:
    """What the file of a calibration page is called: its paper, and whose error it makes up for."""
    from tiler.job.naming import slug

    return f"calibration-{slug(paper)}{f'-for-{slug(printer.name)}' if printer else ''}.pdf"


def judge_print(
    paper: str,
    bars: tuple[float, float],
    read: tuple[float, float],
    rule: Rule,
    pattern: Pattern | None = None,
) -> Judgement:
    """Judge a printed page by its two bars, and what its error does to a pattern.

    Args:
        paper: The paper that the page was made for.
        bars: What the bars measure at true size, short side first, millimetres.
        read: What they measure in print, in the same order.
        rule: What they were measured with.
        pattern: Drafted; without one the error is told on a hip of 1 m.

    Raises:
        MeasureError: The readings cannot be those of the two bars.
        PaperError: There is no such paper.
    """
    from tiler.layout.papers import find_paper
    from tiler.layout.scale import HIP, Reading, judge, reach_of

    (across, up), (read_across, read_up) = bars, read
    return judge(
        Reading(across, read_across, rule),
        Reading(up, read_up, rule),
        find_paper(paper),
        reach_of(pattern) if pattern else HIP,
    )


def printer_of(name: str, paper: str, judgement: Judgement, margin: float | None = None) -> Printer:
    """The printer that a judgement speaks of.

    Args:
        name: The owner's word for it.
        paper: On which it was measured.
        judgement: What was found.
        margin: How near to the edge it prints, millimetres; None when not measured.

    Raises:
        MeasureError: The name or the margin cannot be, or what was found is not the printer's own
            error: it is never made up for.
    """
    from tiler.layout.papers import find_paper
    from tiler.layout.scale import Printer
    from tiler.pattern.errors import MeasureError

    name = keeping.checked_name(name)
    if not judgement.verdict.may_be_kept:
        raise MeasureError(
            "this is no error of the printer's own, and is not kept",
            where=f"printer {name}",
            remedy="Put right what is wrong, print the page anew and measure it again.",
        )
    across, up = judgement.across, judgement.up
    return Printer(
        name, across.scale, up.scale, across.pm, up.pm, find_paper(paper).name.lower(), margin
    )


def keep_printer(printer: Printer) -> Path:
    """Keep a printer; one of the same name, capitals or not, is replaced.

    A margin that was measured earlier stays, when none is given now.

    Returns:
        The file that it is kept in.

    Raises:
        FileError: The file cannot be read or written; what was kept is still there.
    """
    entries = keeping.load(_KIND)
    facts = {key: value for key, value in asdict(printer).items() if key != "name"}
    known = keeping.same_name(entries, printer.name)
    if known is not None:
        before = entries.pop(known)
        if printer.margin is None and before.get("paper") == printer.paper:
            facts["margin"] = before.get("margin")
    return keeping.save(_KIND, {**entries, printer.name: facts})


def kept_otherwise(printer: Printer) -> Printer | None:
    """The printer that is kept under this name, when it disagrees with what was measured now.

    They disagree when they differ in a direction by more than both are unsure together. That is so
    as well when the page that was measured makes up for the printer already.

    Raises:
        FileError: The file cannot be read.
    """
    entries = keeping.load(_KIND)
    known = keeping.same_name(entries, printer.name)
    if known is None or entries[known].get("paper") != printer.paper:
        return None
    before = _read(known, entries[known])
    differ = abs(before.across - printer.across) > math.hypot(before.across_pm, printer.across_pm)
    differ |= abs(before.up - printer.up) > math.hypot(before.up_pm, printer.up_pm)
    return before if differ else None


def kept_paper(name: str) -> str:
    """The paper on which a printer was measured that is kept under this name; empty for none.

    Raises:
        FileError: The file cannot be read.
    """
    entries = keeping.load(_KIND)
    known = keeping.same_name(entries, name)
    return str(entries[known].get("paper", "")) if known else ""


def printers() -> tuple[Printer, ...]:
    """All printers that are kept, the one measured last at the end.

    Raises:
        FileError: The file cannot be read, or an entry in it is damaged.
    """
    return tuple(_read(name, facts) for name, facts in keeping.load(_KIND).items())


def find_printer(name: str) -> Printer:
    """The printer of that name, capitals or not.

    Raises:
        FileError: There is none, or what is kept is damaged.
    """
    return _read(*keeping.find(_KIND, name))


def forget_printer(name: str) -> str:
    """Keep a printer no longer.

    Returns:
        The name that it had.

    Raises:
        FileError: There is none, or the file cannot be read or written.
    """
    return keeping.forget(_KIND, name)


def _read(name: str, facts: dict[str, object]) -> Printer:
    """A printer from what is kept of it.

    Raises:
        FileError: Something is missing or cannot be; a scale that no printer in order has is
            refused as well, so that it cannot be slipped in by hand.
    """
    from tiler.layout.scale import Printer
    from tiler.pattern.errors import FileError

    try:
        paper, margin = facts.get("paper"), facts.get("margin")
        if not isinstance(paper, str):
            raise ValueError
        across, up, across_pm, up_pm = (
            _number(facts.get(key)) for key in ("across", "up", "across_pm", "up_pm")
        )
        printer = Printer(
            keeping.checked_name(name),
            across,
            up,
            across_pm,
            up_pm,
            paper,
            None if margin is None else _number(margin),
        )
        if not printer.can_be_made_up_for:
            raise ValueError
    except (ValueError, OverflowError):
        raise FileError(
            f"what is kept of printer {name!r} is damaged",
            where=str(keeping.folder() / f"{_KIND}.json"),
            remedy="Measure it again with: blocksheet scale, or forget it with: "
            f"blocksheet scale --forget {name!r}",
        ) from None
    return printer


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        raise ValueError
    return float(value)
