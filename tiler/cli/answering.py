"""What no drawing can say of a new pattern: options that say it, and questions for the rest."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

from tiler.cli.asking import ask_until
from tiler.cli.telling import tell
from tiler.cli.values import LENGTH
from tiler.job.cutanswers import CUTS, cut_answer, edges_told
from tiler.job.starting import title_for, words_said
from tiler.pattern.errors import PatternError
from tiler.pattern.units import format_mm, parse_length

if TYPE_CHECKING:
    from tiler.job.starting import Answers
    from tiler.job.takingup import TakenUp
    from tiler.pattern.model import Role

T = TypeVar("T")
F = TypeVar("F", bound=Callable[..., Any])

_TRACED = ("stitch", "cut")
_LATER = "Enter: later"
_OPTIONS = (
    click.option("--title", default="", help="What it is called.  [default: the folder's name]"),
    click.option("--maker", default="", help="Who made it."),
    click.option(
        "--traced",
        type=click.Choice(_TRACED),
        help="What the outlines are that do not say it themselves: the stitch line, or the cut "
        "line with the allowance.",
    ),
    click.option("--allowance", type=LENGTH, help="Seam allowance, such as 15mm or 5/8in."),
    click.option("--cloth", default="", help="What cloth to buy, in your words."),
    click.option(
        "--cut",
        "cuts",
        multiple=True,
        metavar="[PIECE=]HOW",
        help="How many to cut and how they lie, such as 'Front=1 fold A' (edge A on the fold), "
        "'Sleeve=2 pair' or '2 copies'; may be given again.",
    ),
    click.option(
        "--ask-nothing", is_flag=True, help="Leave what is not said as examples in pattern.toml."
    ),
)


def with_answers(command: F) -> F:
    """Give a command the options that say what drawings do not."""
    for option in reversed(_OPTIONS):
        command = option(command)
    return command


def somebody_there() -> bool:
    """Whether there is a person at a terminal to be asked."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def ask_rest(taken: TakenUp, folder: Path, answers: Answers, wrong_size: str) -> Answers:
    """Ask what is not said yet; Enter leaves a question for later.

    Args:
        taken: What the drawings hold.
        folder: That is begun.
        answers: What is said already.
        wrong_size: What to do where the sizes are not those of what was traced, a clause.

    Raises:
        click.Abort: The person stops.
    """
    for found in taken.pieces:
        bounds = found.piece.bounds
        tell(f"{found.name}: {format_mm(bounds.width)} × {format_mm(bounds.height)} as drawn")
    tell(f"If what you traced has another size, stop (Ctrl-C) and {wrong_size}.")
    tell(f"What you do not know yet can wait ({_LATER}).")
    title = answers.title or ask_until("Title", _title, taken.known.title or title_for(folder))
    answers = replace(answers, title=title)
    if answers.traced is None and taken.unsaid:
        names = ", ".join(taken.unsaid)
        question = f"{names}: traced along the stitch line or the cut line, stitch or cut"
        answers = replace(answers, traced=_ask_later(question, _role))
    if answers.allowance is None and taken.needs_allowance:
        question = "Seam allowance, such as 15 mm or 5/8 in"
        answers = replace(answers, allowance=_ask_later(question, _allowance))
    if not answers.cloth and taken.needs_cloth:
        question = "Main cloth to buy, such as firm cotton twill"
        answers = replace(answers, cloth=_ask_later(question, _cloth) or "")
    asked = [found for found in taken.uncut if found.name not in answers.cuts]
    if asked:
        tell(f"How many to cut, and how do they lie: {CUTS}")
        tell("(1 fold A: edge A on the fold; pair: mirrored; copies: all the same way up)")
    cuts = dict(answers.cuts)
    for found in asked:
        for line in edges_told(found):
            tell(f"  {line}")
        cut = _ask_later(found.name, partial(cut_answer, found=found))
        if cut is not None:
            cuts[found.name] = cut
    return replace(answers, cuts=cuts)


def _ask_later(question: str, read: Callable[[str], T]) -> T | None:
    """The answer; None when Enter leaves it for later."""
    return ask_until(
        f"{question} ({_LATER})", lambda words: read(words) if words.strip() else None, ""
    )


def _title(words: str) -> str:
    return words_said(words, "--title")


def _cloth(words: str) -> str:
    return words_said(words, "--cloth")


def _role(words: str) -> Role:
    from tiler.pattern.model import Role

    if words.strip().lower() not in _TRACED:
        raise PatternError(f'"{words}" is neither', remedy="Say stitch or cut.")
    return Role(words.strip().lower())


def _allowance(words: str) -> float:
    length = parse_length(words)
    if length < 0:
        raise PatternError("it is less than nothing", remedy="Say a length of 0 mm or more.")
    return length
