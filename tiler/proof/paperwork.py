"""Pages, placements and layers: whether the file is what its record says."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Finding, Pattern, Severity, styles_in
from tiler.proof.document import Document
from tiler.proof.expected import Expected
from tiler.proof.geometry import box_window, sizes
from tiler.proof.record import Record
from tiler.proof.verdict import Fault, millimetres

_PAPER = 0.01
_RIGID = 1e-9
_GAP = 0.02


def document_faults(document: Document, record: Record) -> list[Fault]:
    """Paper size, page order, and whatever would make a printer change the size."""
    faults: list[Fault] = []
    if document.scaled:
        text = "the file does not ask to be printed without scaling"
        faults.append(Fault("scaling", "", text))
    labels = [paper.label for paper in document.papers]
    wanted = [*record.front, *(page.name for page in record.pages)]
    if sorted(labels) == sorted(wanted) and labels != wanted:
        first = next(a for a, b in zip(labels, wanted, strict=True) if a != b)
        faults.append(Fault("pages", first, "the pages are not in the order of the record"))
    for name in dict.fromkeys(wanted):
        if name not in labels:
            faults.append(Fault("pages", name, "the page is missing"))
    for label in dict.fromkeys(labels):
        if label not in wanted:
            faults.append(Fault("pages", label, "the record knows no such page"))
        elif labels.count(label) > 1:
            faults.append(Fault("pages", label, "the page is there more than once"))
    for paper in document.papers:
        off = max(abs(paper.width - record.width), abs(paper.height - record.height))
        if off > _PAPER:
            text = (
                f"the page is {paper.width:.2f} x {paper.height:.2f} mm, "
                f"and should be {record.width:g} x {record.height:g} mm"
            )
            faults.append(Fault("paper", paper.label, text, off))
        faults += [Fault("paper", paper.label, f"{oddity}") for oddity in paper.oddities]
    return faults


def placement_faults(record: Record, pattern: Pattern, expected: Expected) -> list[Fault]:
    """Pieces that are not laid down as they are: left out, unknown, stretched or mirrored."""
    faults: list[Fault] = []
    names = [piece.name for piece in pattern.pieces]
    placed = {placement.piece for placement in record.placements}
    for name in names:
        if name not in placed:
            faults.append(Fault("placement", name, "the piece is not on the sheets"))
    for placement in record.placements:
        if placement.piece not in names:
            text = "the pattern has no such piece"
            faults.append(Fault("placement", placement.piece, text))
        a, b, c, d, _, _ = placement.matrix
        if placement.matrix.determinant < 0:
            faults.append(Fault("placement", placement.piece, "the piece is laid down mirrored"))
        elif (
            max(abs(a * a + b * b - 1), abs(c * c + d * d - 1), abs(a * c + b * d)) > _RIGID
            or abs(placement.matrix.determinant - 1) > _RIGID
        ):
            text = "the piece is stretched or slanted where it is laid down"
            faults.append(Fault("placement", placement.piece, text))
    known = {layer.piece for layer in record.layers}, {layer.style for layer in record.layers}
    for piece, key in expected.layers:
        wanted = [f"the style {style!r}" for style in styles_in(key) if style not in known[1]]
        wanted += ["the piece"] if piece not in known[0] else []
        for what in wanted:
            faults.append(Fault("layer", piece, f"the record names no layer for {what}"))
    return list(dict.fromkeys(faults))


def gap_faults(record: Record, expected: Expected) -> list[Fault]:
    """Lines that no page of the record has a window on."""
    chords, lows, highs = [], [], []
    for page in record.pages:
        window = Bounds(*record.window)
        x, y = page.origin
        moved = box_window(window.left + x, window.bottom + y, window.right + x, window.top + y)
        entering = expected.entering(moved)
        chords.append(entering.chord)
        lows.append(entering.low)
        highs.append(entering.high)
    # Every chord has one more interval that ends where it starts, so that none is without.
    count = len(expected.chord_of)
    chord = np.concatenate([*chords, np.arange(count)])
    low = np.concatenate([*lows, np.zeros(count)])
    high = np.concatenate([*highs, np.zeros(count)])
    order = np.lexsort((low, chord))
    chord, low, high = chord[order], low[order], high[order]
    # Parameters of chord k are shifted by 2 k: then one running maximum serves all chords.
    reached = np.maximum.accumulate(high + 2.0 * chord) - 2.0 * chord
    last = np.append(chord[1:] != chord[:-1], True) if len(chord) else np.empty(0, dtype=bool)
    after = np.where(last, 1.0, np.append(low[1:], 1.0))
    gap = np.maximum(after - reached, 0.0)
    size = sizes(expected.ends - expected.starts)[chord]
    open_ = np.bincount(expected.chord_of[chord], gap * size, minlength=len(expected.curves))
    faults: list[Fault] = []
    for thing in np.unique(expected.thing[open_ > _GAP]):
        length = float(open_[expected.thing == thing].sum())
        text = f"{millimetres(length)} of {expected.things[int(thing)]} are on no page"
        faults.append(Fault("gap", "", text))
    return faults


def digest_outcome(
    record: Record, carried: Pattern, pattern: Pattern, given: bool
) -> tuple[list[Fault], list[Finding]]:
    """Whether record, carried files and the given pattern speak of the same pattern."""
    faults: list[Fault] = []
    findings: list[Finding] = []
    if carried.sources and carried.digest != record.digest:
        text = (
            f"the pattern inside the file ({carried.digest}) is not the one that it was "
            f"published from ({record.digest})"
        )
        faults.append(Fault("digest", "", text))
    if given and pattern.digest != record.digest:
        findings.append(
            Finding(
                "other-digest",
                Severity.NOTE,
                "",
                f"The file was published from {record.digest}, and is measured against "
                f"{pattern.digest}.",
            )
        )
    return faults, findings


def labelled(document: Document, names: Sequence[str]) -> dict[str, int]:
    """The index of the first page with each label, for the labels that are wanted."""
    found: dict[str, int] = {}
    for index, paper in enumerate(document.papers):
        if paper.label in names:
            found.setdefault(paper.label, index)
    return found
