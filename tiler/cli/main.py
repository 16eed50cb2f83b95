"""``blocksheet``: commands and options, one obvious next step after each."""

from __future__ import annotations

import json
import signal
import sys
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, NoReturn

import click

from tiler import __version__
from tiler.cli.mats import mat_group
from tiler.cli.progress import Ticker
from tiler.cli.projecting import next_on_mat, showing_options, tell_projected
from tiler.cli.publishing import next_step, tell_published
from tiler.cli.scaling import scale_command
from tiler.cli.telling import data_for_scripts, tell
from tiler.cli.values import LENGTH, PAPER
from tiler.job import (
    EFFORTS,
    GAP,
    JOINTS,
    MAPS,
    ORIENTATIONS,
    Packing,
    Surface,
    export,
    look,
    prove_file,
    publish,
    read,
)
from tiler.job.projecting import mats_named, project
from tiler.job.surfaces import is_mat
from tiler.pattern.errors import BlocksheetError, ExitCode, Terminated

if TYPE_CHECKING:
    from tiler.job.projecting import Showing
    from tiler.pattern.model import Finding


#: Seconds until a request to stop is made again.
_AGAIN = 0.5


class _Commands(click.Group):
    """Lists commands in the order of the work instead of by letter."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(self.commands)


@click.group(
    cls=_Commands,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 96},
    epilog="Start with: blocksheet look demo:smock --picture smock.png",
)
@click.version_option(__version__, prog_name="blocksheet")
def main() -> None:
    """From a traced block to sheets of paper at true size, proven.

    PATTERN is a folder with a pattern.toml, a single SVG drawing, a DXF file (ASTM D6673), or a
    demo (demo:smock, demo:apron, demo:trousers, demo:hat).
    """


@main.command("look", short_help="Show pieces, edges with letters and lengths, marks, area.")
@click.argument("pattern", type=click.Path(path_type=Path))
@click.option(
    "--picture",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Also draw the pieces with lettered edges: a file ending in .svg, .png or .pdf.",
)
@click.option("--json", "as_data", is_flag=True, help="Print the facts as JSON (mm, mm2).")
def look_command(pattern: Path, picture: Path | None, as_data: bool) -> None:
    """Show what a pattern holds: pieces, edges with letters and lengths, lines, marks, area."""
    from tiler.cli.table import print_table
    from tiler.drafting.inventory import as_json

    with data_for_scripts(as_data):
        found = read(pattern)
        if picture:
            look(found, pattern, picture)
    if as_data:
        tell(json.dumps(as_json(found), indent=2, ensure_ascii=False))
        return
    print_table(found)
    _tell(found.findings)
    if picture:
        tell(f"Picture: {picture}")
    tell(f"Next: blocksheet publish {_quoted(pattern)} --on a4")


@main.command("check", short_help="Walk the seams and check the pattern as a drafter would.")
@click.argument("pattern", type=click.Path(path_type=Path))
@click.option("--json", "as_data", is_flag=True, help="Print what was found as JSON (mm).")
@click.option(
    "--pictures",
    type=click.Path(path_type=Path, file_okay=False),
    help="Folder for one picture of each fault.",
)
@click.option(
    "--format",
    "kind",
    type=click.Choice(("png", "svg", "pdf")),
    default="png",
    show_default=True,
    help="What the pictures in that folder are.",
)
@click.option(
    "--picture",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Also draw all pieces with numbered rings: a file ending in .svg, .png or .pdf.",
)
def check_command(
    pattern: Path, as_data: bool, pictures: Path | None, kind: str, picture: Path | None
) -> ExitCode:
    """Walk the seams and check all else that a drafter checks on the bench.

    Ends with 1 when something would spoil the garment.
    """
    from tiler.cli.checking import run_check

    with data_for_scripts(as_data):
        return run_check(pattern, as_data=as_data, pictures=pictures, kind=kind, picture=picture)


@main.command("publish", short_help="Write a PDF for each paper and prove it.")
@click.argument("pattern", type=click.Path(path_type=Path))
@click.option(
    "--on",
    "papers",
    type=PAPER,
    multiple=True,
    help="Paper to print on: a4, letter, a0 …, or a roll such as roll:914mm or roll:36in, "
    "or mat:NAME for a projector; may be given again.",
    default=("a4",),
    show_default=True,
)
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("sheets"),
    show_default=True,
    help="Folder for the PDF files.",
)
@click.option(
    "--orientation",
    type=click.Choice(ORIENTATIONS),
    default="auto",
    show_default=True,
    help="auto takes the one that needs fewer pages.",
)
@click.option(
    "--margin",
    type=LENGTH,
    default="10 mm",
    show_default=True,
    help="What the printer leaves free on each side, such as 10mm or 3/8in.",
)
@click.option(
    "--overlap",
    type=LENGTH,
    default="10 mm",
    show_default=True,
    help="How far the printed areas of neighbouring pages cover each other.",
)
@click.option(
    "--style",
    "styles",
    multiple=True,
    help="Publish this style only; may be given again. All are nested otherwise.",
)
@click.option(
    "--piece",
    "pieces",
    multiple=True,
    metavar="NAME",
    help="Print only the pages of this piece, named as in the whole print; may be given again.",
)
@click.option(
    "--joint",
    type=click.Choice(JOINTS),
    default="overlap",
    show_default=True,
    help="How pages are taped. overlap: trim left and top, lay over the neighbour's grey band. "
    "butt: trim all joined sides, edge to edge. see-through: trim nothing, crosses on crosses at "
    "a window.",
)
@click.option(
    "--effort",
    type=click.Choice(EFFORTS),
    default="normal",
    show_default=True,
    help="How long to look for fewer pages: about a second, up to 20 seconds, up to 3 minutes. "
    "Ctrl-C ends the search and keeps the best so far.",
)
@click.option(
    "--seed",
    type=int,
    default=1,
    show_default=True,
    help="Another number tries another layout; the same one gives the same pages.",
)
@click.option(
    "--no-turn", is_flag=True, help="Keep every piece the way up it is drawn; may take more pages."
)
@click.option(
    "--small-pieces-whole",
    is_flag=True,
    help="Keep a piece that fits on a page on one page; may take more pages.",
)
@click.option(
    "--gap",
    type=LENGTH,
    default=f"{GAP:g} mm",
    show_default=True,
    help="Least free paper between two pieces.",
)
@click.option(
    "--printer",
    default="",
    metavar="NAME",
    help="Make up for the error of this printer, as blocksheet scale has kept it. For your own "
    "prints only: from any other printer the pages come out wrong.",
)
@click.option(
    "--panels",
    is_flag=True,
    help="On a roll, cut a piece that is too large for it into panels to be joined.",
)
@click.option(
    "--one-length",
    is_flag=True,
    help="On a roll, one page however long; not every program shows one over 5.08 m (200 in) in "
    "true size.",
)
@click.option(
    "--map",
    "map_as",
    type=click.Choice(MAPS),
    default=None,
    help="Also draw the assembly map as a picture beside the PDF.",
)
@showing_options
def publish_command(
    pattern: Path,
    papers: tuple[str, ...],
    out: Path,
    orientation: str,
    margin: float,
    overlap: float,
    styles: tuple[str, ...],
    pieces: tuple[str, ...],
    joint: str,
    effort: str,
    seed: int,
    no_turn: bool,
    small_pieces_whole: bool,
    gap: float,
    printer: str,
    panels: bool,
    one_length: bool,
    map_as: str | None,
    showing: Showing,
) -> None:
    """Write a PDF for each paper, read it back and prove that it is true to size.

    For a mat (--on mat:NAME, see blocksheet mat) it is a folder of pictures for the projector, and
    a PDF of the same. Options that are about paper do not count there.
    """
    mats = mats_named(word for word in dict.fromkeys(papers) if is_mat(word))
    papers = tuple(word for word in papers if not is_mat(word))
    surfaces = [
        Surface(name, orientation, margin, overlap, joint, panels, one_length, printer)
        for name in dict.fromkeys(papers)
    ]
    packing = Packing(effort, seed, not no_turn, small_pieces_whole, gap)
    with Ticker() as ticker:
        found = read(pattern)
        styles = tuple(dict.fromkeys(styles))
        results = publish(
            found,
            surfaces,
            out,
            ticker.tick,
            styles,
            packing=packing,
            pieces=pieces,
            map_as=map_as or "",
        )
        showing = replace(showing, styles=styles, pieces=pieces)
        sets = [project(found, mat, out, showing, ticker.tick) for mat in mats]
    _tell(found.findings)
    for result in results:
        _tell(result.findings)
        tell_published(result)
    for done in sets:
        _tell(done.findings)
        tell_projected(done)
    tell(next_step(results[0]) if results else next_on_mat(sets[0]))


@main.command("prove", short_help="Measure a published PDF against its pattern.")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@click.option(
    "--against",
    type=click.Path(path_type=Path),
    help="The pattern to measure against; without it, the one that the PDF carries.",
)
def prove_command(file: Path, against: Path | None) -> ExitCode:
    """Measure a published PDF: every line, on every page, against the pattern."""
    verdict = prove_file(file, against)
    _tell(verdict.findings)
    for sentence in verdict.sentences():
        tell(sentence)
    if not verdict.proven:
        return ExitCode.NOT_PROVEN
    tell(f"Next: print page 1 of {file} at 100 %, no scaling, and measure its square.")
    return ExitCode.DONE


@main.command("export", short_help="Write a DXF file, or a pattern folder.")
@click.argument("pattern", type=click.Path(path_type=Path))
@click.argument("target", type=click.Path(path_type=Path))
def export_command(pattern: Path, target: Path) -> None:
    """Write PATTERN to TARGET: a file ending in .dxf (ASTM D6673), or a folder to go on with."""
    files = export(pattern, target)
    for file in files:
        tell(f"{file}")
    if target.suffix.lower() == ".dxf":
        tell("Lines, marks and words are in it; seams and what pattern.toml asks for are not.")
    tell(f"Next: blocksheet look {_quoted(target)} --picture pieces.png")


main.add_command(scale_command)
main.add_command(mat_group)


def _tell(findings: Iterable[Finding]) -> None:
    for finding in findings:
        tell(f"{finding.severity.value}: {finding}", err=True)


def _quoted(path: Path) -> str:
    import shlex

    return shlex.quote(str(path))


def run() -> NoReturn:
    """Run the command; every known error becomes one message and its exit code."""
    # A terminal that closes or a service that is stopped leaves as little behind as Ctrl-C.
    for name in ("SIGTERM", "SIGHUP", "SIGALRM"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), _stop)
    code: object = ExitCode.DONE
    try:
        code = main.main(standalone_mode=False)
    except BlocksheetError as error:
        code = _failed(str(error), error.exit_code)
    except click.exceptions.Exit as leaving:
        code = leaving.exit_code
    except (click.Abort, KeyboardInterrupt):
        code = _failed("stopped before anything was written", ExitCode.BAD_INPUT)
    except click.exceptions.NoArgsIsHelpError as error:
        error.show()
        code = ExitCode.BAD_INPUT
    except click.UsageError as error:
        name = error.ctx.command_path if error.ctx else "blocksheet"
        code = _failed(f"{error.format_message()} See '{name} --help'.", ExitCode.BAD_INPUT)
    except MemoryError:
        code = _failed("there is not enough memory for this pattern", ExitCode.BAD_INPUT)
    except OSError as error:
        code = _failed(f"the system refuses: {error.strerror or error}", ExitCode.BAD_INPUT)
    except SystemExit:
        # click leaves like this when the pipe that its help goes into is closed.
        code = ExitCode.DONE
    if hasattr(signal, "setitimer"):
        signal.setitimer(signal.ITIMER_REAL, 0)
    sys.exit(code if isinstance(code, int) else ExitCode.DONE)


def _stop(_number: int, _frame: object) -> NoReturn:
    # A library that catches everything would swallow this one: it is asked again until it works.
    if hasattr(signal, "setitimer"):
        signal.setitimer(signal.ITIMER_REAL, _AGAIN)
    raise Terminated


def _failed(message: str, code: ExitCode) -> ExitCode:
    """Say what was wrong, if there is anybody to say it to."""
    with suppress(BlocksheetError):
        tell(f"blocksheet: {message}", err=True)
    return code
