"""``blocksheet publish``: the PDF for each paper, and what a projector shows on a mat."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import click

from tiler.cli.progress import Ticker
from tiler.cli.projecting import next_on_mat, showing_options, tell_projected
from tiler.cli.publishing import next_step, tell_published
from tiler.cli.telling import tell, tell_findings
from tiler.cli.values import LENGTH, PAPER
from tiler.job import EFFORTS, GAP, JOINTS, MAPS, ORIENTATIONS, Packing, Surface, publish, read
from tiler.job.projecting import mats_named, project
from tiler.job.surfaces import is_mat

if TYPE_CHECKING:
    from tiler.job.projecting import Showing


@click.command("publish")
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
    "--lay-anew",
    is_flag=True,
    help="Do not use places that the pattern file keeps from laying pieces by hand.",
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
    lay_anew: bool,
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
            lay_anew=lay_anew,
        )
        showing = replace(showing, styles=styles, pieces=pieces)
        sets = [project(found, mat, out, showing, ticker.tick) for mat in mats]
    tell_findings(found.findings)
    for result in results:
        tell_findings(result.findings)
        tell_published(result)
    for done in sets:
        tell_findings(done.findings)
        tell_projected(done)
    tell(next_step(results[0]) if results else next_on_mat(sets[0]))
