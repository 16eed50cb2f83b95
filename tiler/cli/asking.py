"""Asks for what has been measured, one plain question after the other."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

import click

from tiler.cli.telling import tell
from tiler.pattern.errors import BlocksheetError, MeasureError
from tiler.pattern.units import format_mm, parse_length

T = TypeVar("T")


def ask_until(question: str, read: Callable[[str], T], default: str | None = None) -> T:
    """Ask until the answer can be read; what is wrong with it is told.

    Args:
        question: Without a colon.
        read: Turns the words into what they mean, or raises a `BlocksheetError`.
        default: What Enter alone stands for; None when there must be an answer.

    Raises:
        click.Abort: The person stops, or there is nobody to ask.
    """
    while True:
        words = click.prompt(question, default=default, type=str, show_default=bool(default))
        try:
            return read(str(words))
        except BlocksheetError as error:
            tell(str(error), err=True)


def ask_name() -> str:
    """The person's name for the printer; empty for none."""
    from tiler.job.keeping import checked_name

    return ask_until(
        "Your name for the printer (Enter: only look, keep nothing)",
        lambda words: checked_name(words) if words.strip() else "",
        "",
    )


def ask_paper() -> str:
    """The paper that the page was made for."""
    from tiler.layout.papers import find_paper

    return ask_until("Paper", lambda words: find_paper(words).name.lower(), "a4")


def ask_page() -> str:
    """Which page was measured."""
    from tiler.job.scaling import PAGES

    def read(words: str) -> str:
        found = [page for page in PAGES if page.startswith(words.strip().lower())]
        if len(found) != 1:
            raise MeasureError(f"{words!r} is no page", remedy=f"Say {' or '.join(PAGES)}.")
        return found[0]

    return ask_until("Which page did you print, calibration or pattern", read, PAGES[0])


def ask_division() -> float:
    """The distance between the ruler's finest marks, millimetres."""
    from tiler.layout.scale import Rule

    return ask_until(
        "Finest marks of your ruler are apart by", lambda words: _division(words, Rule), "1 mm"
    )


def _division(words: str, rule: Callable[[float], object]) -> float:
    length = parse_length(words)
    rule(length)
    return length


def ask_bars(
    bars: tuple[float, float], known: tuple[float | None, float | None]
) -> tuple[float, float]:
    """What the two bars measure, millimetres, short side of the paper first.

    Args:
        bars: What they measure at true size.
        known: What has been said already.
    """
    tell("Lay the ruler along each bar and read from the middle of one end mark to the other.")
    across, up = (
        ask_until(
            f"Bar along the {side} side of the paper, {format_mm(bar)} when true; yours measures",
            parse_length,
        )
        if said is None
        else said
        for side, bar, said in zip(("short", "long"), bars, known, strict=True)
    )
    return across, up
