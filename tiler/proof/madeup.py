"""Pages for one printer: what they draw larger or smaller is undone before they are measured."""

from __future__ import annotations

from dataclasses import replace

from tiler.pattern.affine import Affine
from tiler.pattern.model import Finding, Severity
from tiler.proof.document import Document, Paper
from tiler.proof.record import Record


def as_printed(document: Document, record: Record) -> Document:
    """The pages as that printer lets them come out: stretched about the middle of each paper."""
    if not record.printer:
        return document
    papers = tuple(_printed(paper, *record.sent) for paper in document.papers)
    return replace(document, papers=papers)


def _printed(paper: Paper, across: float, up: float) -> Paper:
    x, y = paper.width / 2, paper.height / 2
    undo = Affine(1 / across, 0.0, 0.0, 1 / up, x - x / across, y - y / up)
    return replace(paper, to_page=paper.to_page.then(undo))


def printer_findings(record: Record) -> list[Finding]:
    """That the pages are for one printer only."""
    if not record.printer:
        return []
    across, up = (100 * (1 / factor - 1) for factor in record.sent)
    if record.width > record.height:
        # Its scales are along the sides of the paper, however the page lies.
        across, up = up, across
    words = (
        f"The pages make up for the printer {record.printer!r}, which prints {across:+.2f} % "
        f"across and {up:+.2f} % up the paper. They were measured as it prints them; from any "
        "other printer they come out wrong."
    )
    return [Finding("one-printer", Severity.NOTE, "", words)]
