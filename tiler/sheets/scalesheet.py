"""The calibration page: one page alone that tells how true a printer prints."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

from tiler import __version__
from tiler.layout.papers import Paper, find_paper
from tiler.layout.tiles import PageSetup
from tiler.pattern.affine import Point
from tiler.pattern.path import polyline
from tiler.sheets.arrow import arrowhead
from tiler.sheets.calibration import draw_squares
from tiler.sheets.diagonals import draw_diagonals
from tiler.sheets.drawing import Attachment, Group, Item, Page, Publication, Stroke, Words
from tiler.sheets.inksamples import draw_ink_samples
from tiler.sheets.lettering import SMALL
from tiler.sheets.longbars import draw_long_bars
from tiler.sheets.marginfinder import draw_combs, reach_of
from tiler.sheets.pens import GRAIN
from tiler.sheets.record import RECORD_NAME
from tiler.sheets.scaleframe import PITCH_ACROSS, ScaleFrame
from tiler.sheets.scalewords import arrange, draw_heading
from tiler.sheets.words import say

if TYPE_CHECKING:
    from tiler.layout.scale.printer import Printer


def bar_lengths_on_sheet(paper_name: str) -> tuple[float, float]:
    """What the two bars of a paper's calibration page should measure: across and up, millimetres.

    Raises:
        PaperError: No such paper, or it is too small for the page.
    """
    return ScaleFrame(find_paper(paper_name)).bars


def draw_scale_sheet(paper: Paper, printer: Printer | None = None) -> Publication:
    """The page as a publication of its own.

    Args:
        paper: A5 or larger.
        printer: Whose error is made up for: everything is drawn larger or smaller by it about the
            middle of the paper, so that it is true once that printer has printed it.

    Raises:
        PaperError: The paper is too small for the page.
    """
    frame = ScaleFrame(paper)
    items: list[Item] = [
        *draw_long_bars(frame),
        *draw_diagonals(frame.corners),
        *draw_squares(frame.squares),
        *draw_combs(frame),
        *_top(frame),
        *_words(frame, printer),
    ]
    named = {"paper": paper.name}
    subject = say("calibration_subject", **named)
    if printer:
        subject = say("calibration_subject_for", printer=printer.name, **named)
    made_up = printer.compensation(PageSetup(paper)) if printer else None
    whole = Group(tuple(items), at=made_up, furniture=True)
    return Publication(
        title=say("calibration_title"),
        author="",
        subject=subject,
        pages=(Page("1", paper.width, paper.height, (whole,)),),
        attachments=(Attachment(RECORD_NAME, _record(frame, printer), "Data", "application/json"),),
    )


def _words(frame: ScaleFrame, printer: Printer | None) -> list[Item]:
    """Title above, what to do below it and beside the squares, samples inside them."""
    heading = draw_heading(frame.above, frame, printer)
    close = frame.beside is None
    samples = draw_ink_samples(frame.inside, 3.4 if close else 5.4, short=close)
    words = arrange(frame, heading.rest, samples.rest, printer)
    return [*heading.items, *samples.items, *words]


def _top(frame: ScaleFrame) -> list[Item]:
    """An arrow to the top of the page: across and up are directions of the paper."""
    x = frame.combs[2] + reach_of(PITCH_ACROSS) + 6.0
    high = frame.paper.height - 10.5
    tip = Point(x, high)
    stem = polyline([Point(x, high - 9), Point(x, high - 2)])
    words = Words(say("calibration_top"), Point(x + 3, high - 5.6), SMALL)
    return [Stroke((stem,), GRAIN), arrowhead(tip, (0, 1), 4.0), words]


def _record(frame: ScaleFrame, printer: Printer | None) -> bytes:
    """What the page is, for whoever reads the file back; lengths in millimetres."""
    across, up = frame.bars
    told: dict[str, object] = {
        "tool": f"blocksheet {__version__}",
        "kind": "calibration page",
        "paper": frame.paper.name,
        "bars": [across, up],
        "printer": None,
    }
    if printer:
        told["printer"] = {"name": printer.name, "across": printer.across, "up": printer.up}
    return json.dumps(told, indent=1, ensure_ascii=False).encode()
