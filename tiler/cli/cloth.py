"""``blocksheet cloth``: how the pieces lie on the cloth, and how much of it to buy."""

from __future__ import annotations

import json
from pathlib import Path

import click

from tiler.cli.clothvalues import REPEAT, SHRINKAGE, TILT
from tiler.cli.progress import Ticker
from tiler.cli.telling import data_for_scripts, tell, tell_findings
from tiler.cli.values import LENGTH
from tiler.job import EFFORTS, Packing, read
from tiler.job.cloth import KINDS, ClothWishes, lay_plans, plan_language, write_lay_plans


@click.command("cloth")
@click.argument("pattern", type=click.Path(path_type=Path))
@click.option(
    "--cloth",
    "cloths",
    multiple=True,
    metavar="NAME",
    help="Lay this cloth only, such as main or lining; may be given again. All otherwise.",
)
@click.option(
    "--width",
    "widths",
    type=LENGTH,
    multiple=True,
    help="How wide it is sold, selvedges included, such as 150cm or 60in; may be given again. "
    "Otherwise the maker's width is drawn, and all common ones are compared.",
)
@click.option("--folded", "spread", flag_value="folded", help="Fold it lengthwise.")
@click.option(
    "--single",
    "spread",
    flag_value="single",
    help="Lay it in one layer. Without either the one is taken that needs less cloth.",
)
@click.option(
    "--nap/--no-nap",
    default=None,
    help="Whether all pieces have to lie the same way up: pile, or a print with a top.",
)
@click.option(
    "--repeat",
    type=REPEAT,
    help='Repeat of a check that is to match, "40mm" or along and across "40mm x 30mm"; none for '
    "none.",
)
@click.option(
    "--shrinkage",
    type=SHRINKAGE,
    help='What the first wash takes, "5 %" or along and across "5 % x 2 %".',
)
@click.option(
    "--selvedge", type=LENGTH, help="What stays free along each selvedge.  [default: 10 mm]"
)
@click.option(
    "--tilt",
    type=TILT,
    default="0 deg",
    help='How far pieces may lie off the grain, such as "2 deg".  [default: not at all]',
)
@click.option("--gap", type=LENGTH, help="Least cloth between two pieces.  [default: 2 mm]")
@click.option(
    "--style",
    "styles",
    multiple=True,
    help="Cut this style; may be given again. Otherwise pieces take the room of all styles.",
)
@click.option(
    "--effort",
    type=click.Choice(EFFORTS),
    default="normal",
    show_default=True,
    help="How long to look for a shorter plan. Ctrl-C ends the search and keeps the best so far.",
)
@click.option(
    "--seed",
    type=int,
    default=1,
    show_default=True,
    help="Another number tries another plan; with --effort quick the same one gives the same plan.",
)
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("sheets"),
    show_default=True,
    help="Folder for the pictures.",
)
@click.option(
    "--as",
    "kind",
    type=click.Choice(KINDS),
    default="pdf",
    show_default=True,
    help="What the pictures are.",
)
@click.option(
    "--language",
    default="en",
    show_default=True,
    metavar="TAG",
    help="Language of the pictures, such as en, de or uk.",
)
@click.option("--json", "as_data", is_flag=True, help="Print the figures as JSON (mm).")
def cloth_command(
    pattern: Path,
    cloths: tuple[str, ...],
    widths: tuple[float, ...],
    spread: str | None,
    nap: bool | None,
    repeat: tuple[float, float] | None,
    shrinkage: tuple[float, float] | None,
    selvedge: float | None,
    tilt: float,
    gap: float | None,
    styles: tuple[str, ...],
    effort: str,
    seed: int,
    out: Path,
    kind: str,
    language: str,
    as_data: bool,
) -> None:
    """Lay the pieces on each cloth, draw the plan, and tell how much to buy.

    What is not said here comes from the pattern; what the pattern does not say either is supposed,
    and told.
    """
    from tiler.cli.clothtable import as_json, tell_lays, tell_next

    wishes = ClothWishes(
        cloths=tuple(dict.fromkeys(cloths)),
        widths=widths,
        spread=spread or "auto",
        nap=nap,
        shrinkage=shrinkage,
        repeat=repeat,
        selvedge=selvedge,
        gap=gap,
        tilt=tilt,
        styles=tuple(dict.fromkeys(styles)),
    )
    with data_for_scripts(as_data), Ticker() as ticker:
        language = plan_language(language)
        found = read(pattern)
        lays = lay_plans(found, wishes, Packing(effort, seed), ticker.tick)
        files = iter(write_lay_plans(lays, pattern, out, kind, language))
        drawn = [(lay, [next(files) for _ in lay.plans]) for lay in lays]
    if as_data:
        tell(json.dumps(as_json(found, drawn), indent=2, ensure_ascii=False))
        return
    tell_findings(found.findings)
    for lay, pictures in drawn:
        tell_lays(lay, pictures)
    tell_next(found, lays, pattern)
