"""Pages for one printer, whose error they make up for."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tiler.job.options import Surface
    from tiler.layout.scale import Printer
    from tiler.layout.tiles import PageSetup
    from tiler.pattern.model import Finding


@dataclass(frozen=True)
class Fitted:
    """Papers as one printer gets them.

    Args:
        setups: The papers.
        printer: The printer that is made up for; None where there is none, or nothing to make up.
        findings: What is good to know.
    """

    setups: list[PageSetup]
    printer: Printer | None = None
    findings: tuple[Finding, ...] = ()


def fitted(surface: Surface, setups: Sequence[PageSetup]) -> Fitted:
    """The papers, made up for the printer that is asked for.

    A page that is sent larger keeps the margin that was asked for, and the printer's own: its
    window gets that much smaller.

    Args:
        surface: What is asked for.
        setups: Its papers, as for any printer.

    Raises:
        FileError: There is no such printer.
        PaperError: Nobody has measured it on paper like this.
    """
    if not surface.printer:
        return Fitted(list(setups))
    from tiler.job.scaling import find_printer
    from tiler.pattern.errors import PaperError

    printer, paper = find_printer(surface.printer), setups[0].paper
    if paper.roll:
        raise PaperError(
            f"{printer.name} was measured on {printer.paper}, and that tells nothing of a roll",
            where=surface.paper,
            remedy="Leave out --printer, and measure the bars on the roll itself.",
        )
    if printer.is_true:
        words = (
            f"{printer.name} prints true within the tolerance, so there is nothing to make up for: "
            "these pages are for any printer."
        )
        return Fitted(list(setups), findings=(_note("printer-true", words),))
    made = [_kept_free(replace(setup, printer=printer)) for setup in setups]
    return Fitted(made, printer, tuple(_other_paper(printer, paper.name)))


def _kept_free(setup: PageSetup) -> PageSetup:
    """The same page with so much margin that it is still free when the page is sent larger."""
    free = max(setup.margin, (setup.printer and setup.printer.margin) or 0.0)
    sides = ((setup.width, setup.sent.a), (setup.height, setup.sent.d))
    needed = [side / 2 - (side / 2 - free) / factor for side, factor in sides]
    return replace(setup, margin=max(free, *needed))


def _other_paper(printer: Printer, paper: str) -> list[Finding]:
    if printer.paper.lower() == paper.lower():
        return []
    words = (
        f"{printer.name} was measured on {printer.paper}. It may draw {paper} in otherwise: "
        "measure the square on the first page before you print the rest."
    )
    return [_note("printer-paper", words)]


def _note(code: str, words: str) -> Finding:
    from tiler.pattern.model import Finding, Severity

    return Finding(code, Severity.NOTE, "", words)
