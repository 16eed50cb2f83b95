"""Pages, placements and layers: whether the file is what its record says."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from tiler.pattern.model import Finding, Pattern, Severity, styles_in
from tiler.proof.document import Document
from tiler.proof.expected import Expected
from tiler.proof.record import Record
from tiler.proof.verdict import Fault

_PAPER = 0.01
_RIGID = 1e-9


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
        if paper.unit != record.unit:
            text = f"it has a unit of its own (/UserUnit {paper.unit:g}, not {record.unit})"
            faults.append(Fault("paper", paper.label, text))
        elif off > _PAPER:
            text = (
                f"the page is {paper.width:.2f} x {paper.height:.2f} mm, "
                f"and should be {record.width:g} x {record.height:g} mm"
            )
            faults.append(Fault("paper", paper.label, text, off))
        faults += [Fault("paper", paper.label, f"{oddity}") for oddity in paper.oddities]
    return faults


def chosen_pieces(record: Record, pattern: Pattern) -> tuple[Pattern, list[Fault], list[Finding]]:
    """The pattern with the chosen pieces only; names that it does not know; that it is not all."""
    if not record.pieces:
        return pattern, [], []
    pieces = tuple(piece for piece in pattern.pieces if piece.name in record.pieces)
    names = [piece.name for piece in pieces]
    faults = [
        Fault("pieces", name, "it is said to be chosen, and the pattern has no such piece")
        for name in record.pieces
        if name not in names
    ]
    text = f"Of the {len(pattern.pieces)} pieces of the pattern, only these are meant to be here: "
    finding = Finding("some-pieces", Severity.NOTE, "", f"{text}{', '.join(names)}.")
    return replace(pattern, pieces=pieces), faults, [finding] if names else []


def placement_faults(
    record: Record, pattern: Pattern, whole: Pattern, expected: Expected
) -> list[Fault]:
    """Pieces that are not laid down as they are: left out, unknown, stretched or mirrored.

    Args:
        record: What the file says of itself.
        pattern: The pieces that should be there.
        whole: All pieces that there are.
        expected: What the pattern wants.
    """
    faults: list[Fault] = []
    names = [piece.name for piece in whole.pieces]
    placed = {placement.piece: placement.matrix for placement in record.placements}
    for name in (piece.name for piece in pattern.pieces):
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
    for pair in pattern.joined:
        one, other = (placed.get(name) for name in pair)
        if one and other and max(abs(a - b) for a, b in zip(one, other, strict=True)) > _RIGID:
            text = "they are joined at their folds, and are not laid down together"
            faults.append(Fault("placement", " and ".join(pair), text))
    known = {layer.piece for layer in record.layers}, {layer.style for layer in record.layers}
    for piece, key in expected.layers:
        wanted = [f"the style {style!r}" for style in styles_in(key) if style not in known[1]]
        wanted += ["the piece"] if piece not in known[0] else []
        for what in wanted:
            faults.append(Fault("layer", piece, f"the record names no layer for {what}"))
    return list(dict.fromkeys(faults))


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
