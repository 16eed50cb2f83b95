"""``blocksheet``: commands and options, one obvious next step after each."""

from __future__ import annotations

import json
import signal
import sys
from contextlib import suppress
from pathlib import Path
from typing import NoReturn

import click

from tiler import __version__
from tiler.cli.cloth import cloth_command
from tiler.cli.mats import mat_group
from tiler.cli.opening import open_command
from tiler.cli.publish import publish_command
from tiler.cli.scaling import scale_command
from tiler.cli.starting import new_command
from tiler.cli.telling import data_for_scripts, quoted, tell, tell_findings
from tiler.job import export, look, prove_file, read
from tiler.pattern.errors import BlocksheetError, ExitCode, Terminated

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


main.add_command(new_command)


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
    tell_findings(found.findings)
    if picture:
        tell(f"Picture: {picture}")
    tell(f"Next: blocksheet publish {quoted(pattern)} --on a4")


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


main.add_command(publish_command)
main.add_command(cloth_command)


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
    tell_findings(verdict.findings)
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
    tell(f"Next: blocksheet look {quoted(target)} --picture pieces.png")


main.add_command(open_command)
main.add_command(scale_command)
main.add_command(mat_group)


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
