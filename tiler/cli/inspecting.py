"""``blocksheet look``, ``check``, ``prove``, ``export``: what there is, and how true it is."""

from __future__ import annotations

import json
from pathlib import Path

import click

from tiler.cli.telling import data_for_scripts, quoted, tell, tell_findings
from tiler.job import export, look, prove_file, read
from tiler.pattern.errors import ExitCode


@click.command("look")
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


@click.command("check")
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


@click.command("prove")
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


@click.command("export")
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
