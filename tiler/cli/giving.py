"""``blocksheet give``: a pattern as one file for a friend."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from tiler.cli.progress import Ticker
from tiler.cli.publishing import tell_published
from tiler.cli.telling import quoted, tell, tell_findings
from tiler.cli.values import LENGTH, PAPER
from tiler.job import EFFORTS, JOINTS, Packing, Surface, read

if TYPE_CHECKING:
    from tiler.job.giving import Given
    from tiler.pattern.model import Pattern

_UNITS = ("mm", "inch", "both")


@click.command("give")
@click.argument("pattern", type=click.Path(path_type=Path))
@click.option(
    "--on",
    "papers",
    type=PAPER,
    multiple=True,
    default=("a4", "letter"),
    show_default=True,
    help="Paper to print on: a4, letter, a0 …, or a roll such as roll:914mm; may be given again.",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path, dir_okay=False),
    help="The ZIP file.  [default: the pattern's title]",
)
@click.option(
    "--language",
    default="",
    metavar="TAG",
    help="Language of notes and first page, such as en, de or uk.  [default: the maker's]",
)
@click.option(
    "--private",
    is_flag=True,
    help="Leave out who made it, where it lives on the web, its version, what it was traced from, "
    "and the pattern itself with the names of its files. Your own words in it stay; where they "
    "hold one of these, it is refused.",
)
@click.option(
    "--licence",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Text file that says what others may do with it.  [default: what the pattern says]",
)
@click.option(
    "--style",
    "styles",
    multiple=True,
    help="Give the sheets of this style only; may be given again. All are nested otherwise.",
)
@click.option(
    "--cloth-width",
    "widths",
    type=LENGTH,
    multiple=True,
    help="Make lay plans for cloth of this width, such as 150cm; may be given again.  [default: "
    "the maker's]",
)
@click.option(
    "--units",
    type=click.Choice(_UNITS),
    default="both",
    show_default=True,
    help="In which units the notes tell lengths.",
)
@click.option(
    "--joint",
    type=click.Choice(JOINTS),
    default="overlap",
    show_default=True,
    help="How pages are taped, as for publish.",
)
@click.option(
    "--effort",
    type=click.Choice(EFFORTS),
    default="normal",
    show_default=True,
    help="How long to look for fewer pages and less cloth.",
)
def give_command(
    pattern: Path,
    papers: tuple[str, ...],
    out: Path | None,
    language: str,
    private: bool,
    licence: Path | None,
    styles: tuple[str, ...],
    widths: tuple[float, ...],
    units: str,
    joint: str,
    effort: str,
) -> None:
    """Pack everything that a friend needs into one ZIP file.

    Sheets for each paper, proven; notes to print and to read on a screen; lay plans for the
    cloth; the licence; the pattern itself; and checksums. READ-ME-FIRST.txt says where to begin.
    """
    from tiler.job.bundling import Giving
    from tiler.job.giving import bundle_name, give, licence_from

    found = read(pattern)
    styles = tuple(dict.fromkeys(styles))
    _tell_spoilt(found, pattern, styles)
    giving = Giving(
        language=language,
        private=private,
        styles=styles,
        packing=Packing(effort),
        cloth_widths=tuple(dict.fromkeys(widths)),
        licence=licence_from(licence) if licence else None,
        units=units,
    )
    surfaces = [Surface(name, joint=joint) for name in dict.fromkeys(papers)]
    target = out or Path(bundle_name(found, styles))
    with Ticker() as ticker:
        given = give(found, surfaces, target, giving, ticker.tick)
    tell_findings((*found.findings, *given.findings))
    _tell_given(given, private=private)


def _tell_spoilt(found: Pattern, source: Path, styles: tuple[str, ...]) -> None:
    """What would spoil the garment is told before it is given away."""
    from tiler.job.giving import spoilt

    faults = spoilt(found, styles)
    for fault in faults:
        tell(f"{fault.severity.value}: {fault}", err=True)
    if faults:
        tell(
            "warning: A friend gets it as it is. Look at it first: blocksheet check "
            f"{quoted(source)}",
            err=True,
        )


def _places(names: tuple[str, ...]) -> dict[str, int]:
    """Files at the top and folders, each with how many files it holds."""
    places: dict[str, int] = {}
    for name in names:
        folder, slash, _ = name.partition("/")
        places[folder + slash] = places.get(folder + slash, 0) + 1
    return places


def _tell_given(given: Given, *, private: bool) -> None:
    for sheet in given.sheets:
        tell_published(sheet)
    tell(f"{given.file}: {len(given.names)} files, {given.size / 1e6:.1f} MB")
    for place, count in _places(given.names).items():
        tell(f"  {place}" + (f", {count} files" if count > 1 else ""))
    if not given.licensed:
        tell(
            "note: Nobody has said what a friend may do with it, and LICENCE.txt says so. Write "
            "licence in pattern.toml, or give --licence FILE.",
            err=True,
        )
    if private:
        tell("Nothing in it tells whose pattern it is, and the pattern itself is not in it.")
    tell("Next: unpack it as your friend would, and read READ-ME-FIRST.txt.")
