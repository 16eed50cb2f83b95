"""The long work of the printer page; each function runs in a process of its own."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.web.printer.order import MAP, Order

if TYPE_CHECKING:
    from tiler.job.planning import Planned
    from tiler.job.progress import Progress
    from tiler.pattern.model import Finding
    from tiler.proof import Verdict


@dataclass(frozen=True)
class Made:
    """A file that was made and proven.

    Args:
        file: Its name, in the folder for sheets.
        map: Name of the picture of how the pages go together; empty for none.
        front: Pages before those with the pattern.
        pages: Pages with the pattern.
        ink: The share of the paper that is blackened, from 0 to 1.
        verdict: Of the proof.
        findings: What is good to know.
        code: Of the plan.
        order: What was asked for.
        pieces: The only pieces that are in it; empty for all.
        paper: What has to be ordered of a roll, millimetres; 0 for none.
        page: Width and height of a page, millimetres.
        by_hand: Whether pieces lie where they were laid by hand.
    """

    file: str
    map: str
    front: int
    pages: int
    ink: float
    verdict: Verdict
    findings: tuple[Finding, ...]
    code: str
    order: Order
    pieces: tuple[str, ...]
    paper: float
    page: tuple[float, float]
    by_hand: bool


@dataclass(frozen=True)
class Shown:
    """Pictures for a mat that were made and proven.

    Args:
        folder: Its name, in the folder for sheets.
        pdf: Name of the same as pages.
        pictures: Names of the pictures in it, in order.
        windows: How many windows, after the first picture.
        line: Width of a cut line, millimetres.
        error: What is to be expected at the worst corner, millimetres.
        lines: How many lines were measured.
        places: At how many places.
        worst: The largest deviation, millimetres.
        findings: What is good to know.
    """

    folder: str
    pdf: str
    pictures: tuple[str, ...]
    windows: int
    line: float
    error: float
    lines: int
    places: int
    worst: float
    findings: tuple[Finding, ...]


def plan(progress: Progress, folder: Path, order: Order) -> Planned:
    """Lay the pieces on pages, as `publish_pages` will."""
    from tiler.job.planning import plan_and_tell
    from tiler.job.reading import read

    return plan_and_tell(
        read(folder),
        order.surface,
        order.packing,
        progress,
        order.styles,
        lay_anew=order.lay_anew,
    )


def publish_pages(
    progress: Progress, folder: Path, order: Order, pieces: tuple[str, ...] = ()
) -> Made:
    """Write and prove the PDF, with the very arguments that the command would use."""
    from tiler.job.publishing import publish
    from tiler.job.reading import read

    pattern = read(folder)
    (done,) = publish(
        pattern,
        [order.surface],
        folder / "sheets",
        progress,
        order.styles,
        packing=order.packing,
        pieces=pieces,
        map_as=MAP,
        lay_anew=order.lay_anew,
    )
    setup = done.plan.grid.setup
    length = 0.0
    if setup.paper.roll:
        spent = done.plan.spent
        length = spent.length if spent else (done.front + done.pages) * setup.height
    return Made(
        done.file.name,
        done.map.name if done.map else "",
        done.front,
        done.pages,
        done.ink,
        done.verdict,
        (*pattern.findings, *done.findings),
        done.plan.code,
        order,
        pieces,
        length,
        (setup.width, setup.height),
        done.by_hand,
    )


def show_pieces(
    progress: Progress, folder: Path, order: Order, pieces: tuple[str, ...] = ()
) -> Shown:
    """Write and prove the pictures for a mat."""
    from tiler.job.projecting import mats_named, project
    from tiler.job.reading import read

    (mat,) = mats_named([order.paper])
    pattern = read(folder)
    done = project(pattern, mat, folder / "sheets", order.showing(pieces), progress)
    return Shown(
        done.folder.name,
        done.pdf.name,
        tuple(sorted(file.name for file in done.folder.glob("*.png"))),
        len(done.windows),
        done.line,
        done.error,
        done.outcome.lines,
        done.outcome.places,
        done.outcome.worst,
        (*pattern.findings, *done.findings),
    )
