"""The proof from end to end."""

from __future__ import annotations

import math
from collections.abc import Sequence
from pathlib import Path

import numpy as np

from tiler.intake.sheetfile.carried import Carried
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.errors import BlocksheetError, NotProvenError
from tiler.pattern.model import Pattern
from tiler.proof.assembly import assemble, assembly_faults
from tiler.proof.covering import covered
from tiler.proof.crosses import Key, Tie, crosses_on, ties
from tiler.proof.document import open_document
from tiler.proof.drawn import pattern_uses
from tiler.proof.expected import expect
from tiler.proof.furniture import bold_faults, loose_faults, measure_faults
from tiler.proof.gaps import (
    apart_faults,
    gap_faults,
    head_faults,
    seen_by_pages,
    together_findings,
)
from tiler.proof.geometry import Floats, Ints, sizes
from tiler.proof.known import Known
from tiler.proof.madeup import as_printed, printer_findings
from tiler.proof.measuring import judge, measure
from tiler.proof.neighbours import find_neighbours
from tiler.proof.paperwork import (
    chosen_pieces,
    digest_outcome,
    document_faults,
    labelled,
    placement_faults,
)
from tiler.proof.placing import Placed, unfold
from tiler.proof.record import START, Record, read_record
from tiler.proof.verdict import Fault, Verdict
from tiler.proof.verniers import scales_on, vernier_faults


def prove_file(
    pdf: Path, pattern: Pattern | None, *, tolerance: float, on_paper: bool = True
) -> Verdict:
    """Read, assemble, compare; see `tiler.proof.prove`."""
    if not (math.isfinite(tolerance) and tolerance > 0):
        raise NotProvenError(
            f"a tolerance of {tolerance} mm proves nothing", remedy="Give more than 0 mm."
        )
    # Numbers that a hostile file makes overflow end in a fault, not in a warning on the screen.
    with np.errstate(all="ignore"):
        return _prove(pdf, pattern, tolerance, on_paper)


def _prove(pdf: Path, pattern: Pattern | None, tolerance: float, on_paper: bool) -> Verdict:
    where = str(pdf)
    document = open_document(pdf)
    record = read_record(document.carried.record, where)
    document = as_printed(document, record)
    given = pattern is not None
    if pattern is None:
        pattern = _carried_pattern(document.carried, record.styles, where)
    elif not on_paper:
        from tiler.drafting.paper import for_paper

        pattern = for_paper(pattern, record.styles)
    whole = pattern
    pattern, choice_faults, findings = chosen_pieces(record, whole)
    expected = expect(pattern, record, where)
    carried = Pattern(title="", pieces=(), sources=document.carried.sources)
    digest_faults, digest_findings = digest_outcome(record, carried, pattern, given)
    findings += [*digest_findings, *printer_findings(record)]
    known = Known.of(record, document.layers)
    faults = document_faults(document, record) + digest_faults + choice_faults
    faults += known.faults(record)
    seen = seen_by_pages(record, expected)
    faults += placement_faults(record, pattern, whole, expected)
    faults += head_faults(record, expected)
    faults += gap_faults(record, expected, seen)

    papers = labelled(document, [*record.front, *(page.name for page in record.pages)])
    unfolded: dict[str, list[Placed]] = {}
    for name, index in papers.items():
        page = unfolded[name] = unfold(document, document.papers[index], where)
        fronted = name in record.front
        first = name == (record.front[0] if record.front else record.pages[0].name)
        faults += measure_faults(page, name, known, squares=first, bars=name != START)
        faults += loose_faults(page, name)
        head = _head_on_page(record) if first else None
        faults += bold_faults(page, name, None if fronted else record.window, head)
    pages = [unfolded.get(page.name, []) for page in record.pages]
    uses, line_faults = pattern_uses(known, record, expected, pages)
    faults += line_faults

    present = {page.name for page in record.pages if page.name in papers}
    tied, group, joint_faults = _joined(record, pages, present, known)
    faults += joint_faults
    faults += apart_faults(record, expected, seen, group, pattern.joined)
    if not record.pieces:
        # Of chosen pieces, the pages between those kept together may not be printed.
        findings += together_findings(record, expected, seen, group, pattern.together)
    measured = []
    for index, page in enumerate(pages):
        found_lines = measure(record, expected, index, uses[index], tolerance)
        origin = record.pages[index].origin
        hidden = covered(page, uses[index], known, expected, found_lines, origin)
        measured.append(found_lines.hiding(hidden))
    offsets = np.array([page.offset for page in measured]).reshape(-1, 2)
    assembly = assemble(record, tied, offsets)
    faults += assembly_faults(record, tied, assembly, tolerance)

    worst, worst_where = 0.0, ""
    for index, page_entry in enumerate(record.pages):
        if page_entry.name not in present:
            continue
        outcome = judge(
            record, expected, measured[index], uses[index], assembly.errors[index], tolerance
        )
        faults += outcome.faults
        if outcome.worst > worst:
            worst, worst_where = outcome.worst, outcome.worst_words
        error = float(sizes(assembly.errors[index]))
        if error > worst:
            worst, worst_where = error, f"the whole page {page_entry.name}"
    for tie, gap, residual in zip(tied, assembly.gaps, assembly.residuals, strict=True):
        apart = max(float(sizes(gap)), float(sizes(residual)))
        if apart > worst:
            worst, worst_where = apart, f"the cross of {tie.words(record.pages)}"
    placed = {placement.piece for placement in record.placements}
    return Verdict(
        file=pdf,
        pages=len(present),
        pieces=sum(piece.name in placed for piece in pattern.pieces),
        lines=len(expected.curves),
        worst=worst,
        worst_where=worst_where,
        faults=tuple(dict.fromkeys(faults)),
        findings=tuple(findings),
        tolerance=tolerance,
    )


def _head_on_page(record: Record) -> Bounds | None:
    """The head of large paper, coordinates of the first page."""
    if record.head is None:
        return None
    return record.head.moved(Affine.move(*(-part for part in record.pages[0].origin)))


def _joined(
    record: Record, pages: Sequence[list[Placed]], present: set[str], known: Known
) -> tuple[list[Tie], Ints, list[Fault]]:
    """The crosses that tie pages, for each page the number of its sheet, and what is wrong."""
    neighbours, faults = find_neighbours(record)
    crosses: list[dict[Key, Point] | None] = []
    scales: list[dict[Key, Floats]] = []
    for entry, page in zip(record.pages, pages, strict=True):
        found, cross_faults = crosses_on(page, entry.name, known)
        ticks, tick_faults = scales_on(page, entry.name, known)
        crosses.append(found if entry.name in present else None)
        scales.append(ticks)
        faults += cross_faults + tick_faults
    tied, joint_faults = ties(record, neighbours, crosses)
    faults += joint_faults + vernier_faults(record, neighbours, crosses, scales)
    pairs = [(tie.first, tie.second) for tie in tied]
    group = neighbours.groups(pairs, [page.name in present for page in record.pages])
    return tied, group, faults


def _carried_pattern(carried: Carried, styles: tuple[str, ...], where: str) -> Pattern:
    if not carried.sources:
        raise NotProvenError(
            "the file does not carry its pattern",
            where=where,
            remedy="Give the pattern that it was published from.",
        )
    # Only here: the drawings bring libraries along that a given pattern does not need.
    from tiler.drafting.draft import drafted
    from tiler.drafting.paper import for_paper
    from tiler.intake.folder import read_sources

    try:
        return for_paper(drafted(read_sources(carried.sources)), styles)
    except BlocksheetError as wrong:
        raise wrong.within(f"{where}, the pattern inside") from None
