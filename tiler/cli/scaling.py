"""``blocksheet scale``: is a print true to size, why not, and what is kept of a printer."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tiler.cli.telling import quoted, tell
from tiler.cli.values import LENGTH, PAPER
from tiler.job.scaling import (
    PAGES,
    bars_meant,
    bars_of,
    forget_printer,
    judge_print,
    keep_printer,
    kept_otherwise,
    kept_paper,
    printer_of,
    printers,
)
from tiler.pattern.errors import ExitCode, MeasureError
from tiler.pattern.units import parse_length

if TYPE_CHECKING:
    from tiler.layout.scale import Judgement
    from tiler.pattern.model import Pattern

_RULER = "1 mm"
_PAPER = "a4"


@dataclass(frozen=True)
class _Said:
    """What has been said on the command line or in answer to a question; None is not said yet."""

    printer: str | None
    paper: str | None
    page: str | None
    ruler: float | None
    across: float | None
    up: float | None


@click.command("scale")
@click.argument("pattern", type=click.Path(path_type=Path), required=False)
@click.option("--printer", metavar="NAME", help="Your own name for the printer; keeps its scale.")
@click.option("--paper", type=PAPER, help=f"Paper that the page was made for.  [default: {_PAPER}]")
@click.option(
    "--across", type=LENGTH, help="What the bar along the short side of the paper measures."
)
@click.option("--up", type=LENGTH, help="What the bar along the long side of the paper measures.")
@click.option(
    "--ruler",
    type=LENGTH,
    help=f"Distance between your ruler's finest marks, such as 0.5mm or 1/16in.  "
    f"[default: {_RULER}]",
)
@click.option(
    "--ruler-class",
    type=click.Choice(("1", "2", "3")),
    help="Accuracy class on the ruler (I, II or III). Leave it out when you measure your garments "
    "with the same ruler: its error then cancels.",
)
@click.option(
    "--page",
    type=click.Choice(PAGES),
    help="Which page you measured: the calibration page, or any page of a pattern.  "
    "[default: calibration]",
)
@click.option(
    "--margin",
    type=LENGTH,
    default="10 mm",
    show_default=True,
    help="With --page pattern: the --margin that it was published with.",
)
@click.option(
    "--bars",
    type=LENGTH,
    nargs=2,
    help="What both bars should measure, short side first, when they are others than the page's.",
)
@click.option(
    "--prints-to",
    type=LENGTH,
    help="How near to the edge it prints, as the combs on the calibration page tell.",
)
@click.option(
    "--keep",
    is_flag=True,
    help="Do not ask: it was printed at 100 %, and an error up to 1.5 % is the printer's own, also "
    "when something else is kept under this name.",
)
@click.option("--sheet", is_flag=True, help="Write the calibration page to print and measure.")
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    default=Path("sheets"),
    show_default=True,
    help="With --sheet: the folder for it.",
)
@click.option("--list", "listing", is_flag=True, help="Show the printers that are kept.")
@click.option("--forget", metavar="NAME", help="Keep this printer no longer.")
def scale_command(
    pattern: Path | None,
    printer: str | None,
    paper: str | None,
    across: float | None,
    up: float | None,
    ruler: float | None,
    ruler_class: str | None,
    page: str | None,
    margin: float,
    bars: tuple[float, float] | None,
    prints_to: float | None,
    keep: bool,
    sheet: bool,
    out: Path,
    listing: bool,
    forget: str | None,
) -> ExitCode:
    """Measure two printed bars, and know how true it is.

    --sheet writes a page to measure. Print it at 100 %, no scaling, let it dry, and measure the
    bar along the short side of the paper (across) and the one along its long side (up), from end
    mark to end mark. Without both lengths it asks for them. With PATTERN it tells what the error
    does to that garment.

    Ends with 1 when the print is off and nothing is kept.
    """
    if listing:
        return _list()
    if forget is not None:
        tell(f"Forgotten: {forget_printer(forget)}")
        return ExitCode.DONE
    if sheet:
        return _sheet(paper, printer, out)
    if printer is None and (keep or prints_to is not None):
        raise click.UsageError("--keep and --prints-to need --printer NAME.")
    from tiler.cli.judged import tell_judgement
    from tiler.job.keeping import checked_name
    from tiler.job.reading import read

    printer = checked_name(printer) if printer is not None else None
    found = read(pattern) if pattern else None
    said = _Said(printer, paper, page, ruler, across, up)
    asks = across is None or up is None
    said = _asked(said, page_known=bool(bars)) if asks else said
    while True:
        try:
            measured, judgement = _judged(said, bars, margin, ruler_class or "", found)
            break
        except MeasureError as error:
            if not asks:
                raise
            tell(str(error), err=True)
            said = replace(said, across=None, up=None)
    tell_judgement(judgement, *measured, pattern=found.title if found else "", sure=keep)
    return _kept(judgement, said, prints_to, pattern, keep=keep, asks=asks)


def _asked(said: _Said, *, page_known: bool) -> _Said:
    """Everything that has not been said but the lengths."""
    from tiler.cli.asking import ask_division, ask_name, ask_page, ask_paper

    tell("Print a page at 100 %, no scaling, let it dry, and measure its two long bars.")
    return replace(
        said,
        printer=ask_name() if said.printer is None else said.printer,
        paper=said.paper or ask_paper(),
        page=said.page or (PAGES[0] if page_known else ask_page()),
        ruler=said.ruler if said.ruler is not None else ask_division(),
    )


def _judged(
    said: _Said,
    bars: tuple[float, float] | None,
    margin: float,
    grade: str,
    pattern: Pattern | None,
) -> tuple[tuple[tuple[float, float], tuple[float, float]], Judgement]:
    """The bars with what they measure, asked for where it has not been said, and the judgement."""
    from tiler.cli.asking import ask_bars
    from tiler.layout.scale import Rule

    paper = said.paper or _PAPER
    rule = Rule(parse_length(_RULER) if said.ruler is None else said.ruler, grade)
    wanted = bars or (bars_of(paper, said.page, margin) if said.page else None)
    if said.across is not None and said.up is not None:
        read = said.across, said.up
    else:
        read = ask_bars(wanted or bars_of(paper), (said.across, said.up))
    wanted = wanted or bars_meant(paper, read, margin)
    return (wanted, read), judge_print(paper, wanted, read, rule, pattern)


def _kept(
    judgement: Judgement,
    said: _Said,
    prints_to: float | None,
    pattern: Path | None,
    *,
    keep: bool,
    asks: bool,
) -> ExitCode:
    """Keep the printer where that is right, and say what comes next."""
    from tiler.layout.scale import Verdict

    verdict = judgement.verdict
    name, paper = said.printer, said.paper or _PAPER
    if not verdict.may_be_kept:
        if name:
            reason = "" if verdict is Verdict.TOO_COARSE else ": it is not the printer's own error"
            tell(f"Nothing is kept{reason}.")
        return ExitCode.FAULTY
    again = f"{paper} --printer {quoted(name or 'NAME')}"
    publish = f"blocksheet publish {_quoted(pattern)} --on {again}"
    if not name:
        if verdict is Verdict.TRUE:
            tell("Next: print the pattern with the same settings.")
            return ExitCode.DONE
        tell("Next: the same command with --printer NAME keeps it, to be made up for in print.")
        return ExitCode.FAULTY
    sure = keep or verdict is not Verdict.ASK
    if not sure and not (asks and click.confirm("Was it printed at 100 %, and shall it be kept?")):
        tell("Nothing is kept.")
        tell("Next: if a second print measures the same, add --keep.")
        return ExitCode.FAULTY
    printer = printer_of(name, paper, judgement, prints_to)
    before = None if keep else kept_otherwise(printer)
    if before:
        tell(
            f"Nothing new is kept: {before.name!r} is kept with {before.across * 100:.2f} % across "
            f"and {before.up * 100:.2f} % up, and this page says otherwise."
        )
        tell("If the page was made up for this printer, what is kept is right, or nearly.")
        tell("Next: if it was not and the printer has changed, add --keep.")
        return ExitCode.DONE if verdict is Verdict.TRUE else ExitCode.FAULTY
    earlier = kept_paper(name)
    file = keep_printer(printer)
    tell(f"Kept: printer {name!r}, in {file}")
    if earlier not in ("", printer.paper):
        tell(f"It takes the place of what was measured on {earlier}.")
    tell(f"Next: {publish}")
    return ExitCode.DONE


def _sheet(paper: str | None, name: str | None, out: Path) -> ExitCode:
    """The calibration page; for a printer that is kept, with its error made up for."""
    from tiler.job.scalesheet import write_scale_sheet
    from tiler.job.scaling import find_printer, sheet_name

    printer = find_printer(name) if name else None
    paper = paper or (printer.paper if printer else _PAPER)
    if printer and printer.is_true:
        tell(f"{printer.name!r} prints true within the tolerance: this page is for any printer.")
        printer = None
    tell(f"{write_scale_sheet(paper, out / sheet_name(paper, printer), printer)}")
    if printer:
        tell(f"Its error is made up for: printed by {printer.name!r}, its bars should be true.")
        tell("Next: print it at 100 %, no scaling, and lay a ruler along both bars.")
    else:
        tell(f"Next: print it at 100 %, no scaling, then blocksheet scale --paper {paper}")
    return ExitCode.DONE


def _list() -> ExitCode:
    from tiler.cli.judged import printer_line

    kept = printers()
    for printer in kept:
        tell(printer_line(printer))
    if not kept:
        tell("No printer is kept yet.")
        tell("Next: blocksheet scale --printer NAME")
    return ExitCode.DONE


def _quoted(pattern: Path | None) -> str:
    return quoted(pattern) if pattern else "PATTERN"
