"""``blocksheet capture``: photos or scans of a tracing become the drawings of a pattern folder."""

from __future__ import annotations

import os
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tiler.cli.answering import ask_rest, somebody_there, with_answers
from tiler.cli.telling import quoted, tell, tell_findings
from tiler.cli.values import LENGTH
from tiler.pattern.errors import ExitCode

if TYPE_CHECKING:
    from tiler.job.capturing import CapturedFolder
    from tiler.job.takingup import TakenUp


@click.command("capture")
@click.argument("photos", metavar="PHOTO...", type=click.Path(path_type=Path), nargs=-1)
@click.option(
    "--out",
    "folder",
    metavar="DIR",
    type=click.Path(path_type=Path),
    required=True,
    help="The new pattern folder.",
)
@click.option("--across", type=LENGTH, help="What the bar across beside the cards measures.")
@click.option("--up", type=LENGTH, help="What the bar up beside the cards measures.")
@click.option(
    "--ruler",
    type=LENGTH,
    default="1 mm",
    show_default=True,
    help="Distance between your ruler's finest marks, such as 0.5mm or 1/16in.",
)
@click.option(
    "--printer",
    metavar="NAME",
    default="",
    help="Instead of the bars: the kept printer of the cards.",
)
@click.option(
    "--style",
    "styles",
    multiple=True,
    metavar="NAME=LETTERS",
    help="The areas that a style covers, as the picture letters them, or the colour of its line; "
    "may be given again.",
)
@click.option(
    "--piece",
    "pieces",
    multiple=True,
    metavar="NAME=LETTERS",
    help="The areas of a piece, where pieces touch or cross; may be given again.",
)
@with_answers
def capture_command(
    photos: tuple[Path, ...],
    folder: Path,
    across: float | None,
    up: float | None,
    ruler: float,
    printer: str,
    styles: tuple[str, ...],
    pieces: tuple[str, ...],
    title: str,
    maker: str,
    traced: str | None,
    allowance: float | None,
    cloth: str,
    cuts: tuple[str, ...],
    ask_nothing: bool,
) -> ExitCode:
    """Begin a pattern folder DIR from photos or scans of a tracing with target cards round it.

    Write the cards with blocksheet targets. Give all photos of one table together; each shows
    three cards or more. DIR gets the drawings, a commented pattern.toml and capture.jpg, which
    shows what was found and how sure it is. At a terminal it asks for the bars and for what no
    photo says; Enter leaves a question for later.

    Where a photo shows why it cannot be used, a picture beside DIR marks the place.
    """
    from tiler.intake.photo.needs import refuse_without_libraries
    from tiler.job.areanames import areas_said
    from tiler.job.capturing import CaptureWishes, capture_folder
    from tiler.job.starting import Answers, words_said
    from tiler.output.newfolder import refuse_filled
    from tiler.pattern.model import Role

    if not photos:
        raise click.UsageError("Missing argument 'PHOTO...': a photo or a scan of the tracing.")
    # The matrices are small: threads would only wait for one another.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    refuse_without_libraries()
    refuse_filled(folder)
    asking = somebody_there() and not ask_nothing
    if asking and not printer:
        across, up = _bars(across, up)
    wishes = CaptureWishes(
        across,
        up,
        ruler,
        printer,
        areas_said("--style", styles),
        areas_said("--piece", pieces),
        Answers(
            words_said(title, "--title"),
            words_said(maker, "--maker"),
            allowance,
            Role(traced) if traced else None,
            words_said(cloth, "--cloth"),
        ),
        cuts,
    )
    from tiler.cli.progress import Ticker

    with Ticker() as ticker:

        def ask(taken: TakenUp, said: Answers) -> Answers:
            ticker.clear()
            return ask_rest(taken, folder, said, "measure the bars again")

        done = capture_folder(photos, folder, wishes, ticker.tick, ask if asking else None)
    _tell(done, folder)
    return ExitCode.DONE


def _bars(across: float | None, up: float | None) -> tuple[float, float]:
    """Both bars, asked for where they have not been said."""
    if across is not None and up is not None:
        return across, up
    from tiler.cli.asking import ask_bars
    from tiler.job.printedcards import bars_of_cards

    tell("True size comes from the two long bars on the page that the cards were cut from.")
    return ask_bars(bars_of_cards(), (across, up))


def _tell(done: CapturedFolder, folder: Path) -> None:
    from tiler.cli.starting import left_open

    # That nobody has said which line was traced is told below, for all pieces at once.
    noticed = [each for each in done.started.findings if each.code != "outline-role-assumed"]
    tell_findings((*done.findings, *noticed))
    for file in done.started.files:
        tell(str(file))
    tell(f"{done.accuracy[:1].upper()}{done.accuracy[1:]}.")
    if done.causes:
        tell(f"{done.causes[:1].upper()}{done.causes[1:]}.")
    still_open = ", ".join(left_open(done.started))
    if still_open:
        tell(f"Not said yet: {still_open}. It waits in pattern.toml behind a #.")
    pictures = " and ".join(str(picture) for picture in done.pictures)
    tell(f"Look at {pictures}: is every line where you drew it?")
    tell(f"Next: blocksheet look {quoted(folder)} --picture {quoted(folder / 'pieces.png')}")
