"""The calibration page, written and proven."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from tiler.job.handing import not_proven, stoppable

if TYPE_CHECKING:
    from tiler.layout.scale import Printer


def write_scale_sheet(paper: str, target: Path, printer: Printer | None = None) -> Path:
    """Write the calibration page of a paper and measure what was written.

    Args:
        paper: Its name; A5 or larger.
        target: The PDF; what was there before is replaced.
        printer: Whose error the page makes up for, so that its owner can see whether it is right.

    Returns:
        The file.

    Raises:
        PaperError: There is no such paper, or it is too small.
        FileError: The file cannot be written.
        NotProvenError: What was written does not measure what it says; nothing is left behind.
        StoppedError: The user stopped it.
    """
    from tiler.layout.papers import find_paper
    from tiler.output.pdf import pdf_bytes
    from tiler.output.safely import replacing
    from tiler.proof.scalesheet import Expected, scale_sheet_faults
    from tiler.sheets.scalesheet import draw_scale_sheet

    sheet = find_paper(paper)
    expected = Expected(sheet.width, sheet.height)
    if printer:
        expected = Expected(sheet.width, sheet.height, printer.across, printer.up)
    with stoppable(target):
        content = pdf_bytes(draw_scale_sheet(sheet, printer))
        with replacing(target) as draft:
            draft.write_bytes(content)
            faults = scale_sheet_faults(draft, expected)
            if faults:
                raise not_proven("; ".join(str(fault) for fault in faults[:5]), target)
    return target
