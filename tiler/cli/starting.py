"""``blocksheet new``: a pattern folder from drawings; asks only what no drawing can say."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tiler.cli.answering import ask_rest, somebody_there, with_answers
from tiler.cli.telling import quoted, tell, tell_findings
from tiler.job.cutanswers import cuts_said
from tiler.job.starting import Answers, start, words_said
from tiler.job.takingup import take_up
from tiler.pattern.errors import ExitCode

if TYPE_CHECKING:
    from tiler.job.starting import Started


@click.command("new")
@click.argument("folder", metavar="DIR", type=click.Path(path_type=Path))
@click.option(
    "--from",
    "sources",
    type=click.Path(path_type=Path),
    multiple=True,
    required=True,
    help="A drawing (.svg), a table of points (.csv), a DXF file, or a folder of these; may be "
    "given again.",
)
@with_answers
def new_command(
    folder: Path,
    sources: tuple[Path, ...],
    title: str,
    maker: str,
    traced: str | None,
    allowance: float | None,
    cloth: str,
    cuts: tuple[str, ...],
    ask_nothing: bool,
) -> ExitCode:
    """Begin a pattern folder DIR from drawings: copies of them, and a commented pattern.toml.

    At a terminal it asks what the drawings do not say; Enter leaves a question for later. Nothing
    that is there is written over.
    """
    from tiler.output.newfolder import refuse_filled
    from tiler.pattern.model import Role

    refuse_filled(folder)
    taken = take_up(sources)
    answers = Answers(
        words_said(title, "--title"),
        words_said(maker, "--maker"),
        allowance,
        Role(traced) if traced else None,
        words_said(cloth, "--cloth"),
        cuts_said(cuts, taken),
    )
    if somebody_there() and not ask_nothing:
        answers = ask_rest(taken, folder, answers, "save the drawing at true size")
    _tell(start(taken, folder, answers), folder)
    return ExitCode.DONE


def _tell(done: Started, folder: Path) -> None:
    tell_findings(done.findings)
    for file in done.files:
        tell(str(file))
    still_open = ", ".join(left_open(done))
    if still_open:
        tell(f"Not said yet: {still_open}. It waits in pattern.toml behind a #.")
    tell(f"Next: blocksheet look {quoted(folder)} --picture {quoted(folder / 'pieces.png')}")


def left_open(done: Started) -> Iterator[str]:
    """What nobody has said yet, a few words each."""
    if done.untraced:
        yield f"which line was traced ({', '.join(done.untraced)})"
    if done.no_allowance:
        yield "the seam allowance"
    if done.no_cloth:
        yield "the cloth"
    if done.uncut:
        yield f"how many to cut ({', '.join(done.uncut)})"
