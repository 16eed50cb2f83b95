"""Tiled PDFs from a pattern, each proven before it is kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.job.handing import not_proven, stoppable
from tiler.job.letters import unprintable_findings
from tiler.job.naming import (
    chosen_pieces,
    file_name_findings,
    file_stem,
    refuse_other,
    slug,
)
from tiler.job.options import Surface
from tiler.job.planning import Asked, Planned, fitted_for, planned
from tiler.job.private import stripped, without_source
from tiler.job.progress import Progress, steps_of
from tiler.job.surfaces import file_word, paper_of
from tiler.layout.packing.options import Packing

if TYPE_CHECKING:
    from tiler.job.forprinter import Fitted
    from tiler.layout.plan import Plan
    from tiler.pattern.model import Finding, Pattern
    from tiler.proof import Verdict


@dataclass(frozen=True)
class Published:
    """One finished file.

    Args:
        file: Where it is.
        plan: What lies where in it.
        front: Pages before those with the pattern.
        verdict: What reading it back has shown.
        pages: Pages with the pattern.
        ink: The share of the paper that is blackened, from 0 to 1.
        map: The picture of how the pages go together, where one was wanted.
        findings: What could not be printed as it stands.
        joint: How its pages are joined, as in `Surface`.
        styles: Names of the styles that were chosen; empty for all.
        by_hand: Whether the pieces lie where the pattern file keeps places for them.
    """

    file: Path
    plan: Plan
    front: int
    verdict: Verdict
    pages: int
    ink: float
    map: Path | None = None
    findings: tuple[Finding, ...] = ()
    joint: str = "overlap"
    styles: tuple[str, ...] = ()
    by_hand: bool = False


@dataclass(frozen=True)
class _Order:
    """What is asked for beside the pattern and the paper."""

    styles: tuple[str, ...]
    pieces: tuple[str, ...]
    map: str
    private: bool


def publish(
    pattern: Pattern,
    surfaces: Sequence[Surface],
    out: Path,
    progress: Progress | None = None,
    styles: Sequence[str] = (),
    *,
    packing: Packing | None = None,
    pieces: Sequence[str] = (),
    map_as: str = "",
    private: bool = False,
    lay_anew: bool = False,
) -> list[Published]:
    """Write and prove one tiled PDF for each surface; nothing is kept that does not prove.

    Args:
        pattern: What to publish, as `read` gives it.
        surfaces: On what.
        out: The folder for the files.
        progress: Told about long work.
        styles: Names of the styles to publish; empty for all, nested.
        packing: How to lay the pieces.
        pieces: Names of the pieces to print, on the pages that they have among all pieces; empty
            for all. A piece that is joined to another brings it along.
        map_as: Also draw the assembly map: png, svg or pdf; empty for none.
        private: Whether the files are to tell nothing of whose pattern it is, nor carry it; they
            are proven against `pattern` as all others are.
        lay_anew: Whether places that are kept in the pattern file do not count.

    Raises:
        BlocksheetError: A surface has no room, there is no such piece, the folder cannot be
            written, or a file does not prove; a file from an earlier run is left as it was.
    """
    from tiler.drafting.paper import for_paper
    from tiler.output.safely import writable

    pattern = for_paper(stripped(pattern) if private else pattern, styles)
    # Everything that can be refused is refused before anything is written.
    papers = [paper_of(surface.paper) for surface in surfaces]
    fits = [fitted_for(surface) for surface in surfaces]
    asked = Asked(
        packing or Packing(), tuple(styles), chosen_pieces(pattern, pieces), lay_anew=lay_anew
    )
    order = _Order(tuple(styles), asked.pieces, map_as, private)
    writable(out)
    words = (pattern.title, *styles, *dict.fromkeys(pieces))
    printers = [f"-for-{slug(fit.printer.name)}" if fit.printer else "" for fit in fits]
    targets = [
        out / f"{file_stem(words, f'-{file_word(paper)}{printer}')}.pdf"
        for paper, printer in zip(papers, printers, strict=True)
    ]
    for target in targets:
        refuse_other(pattern, target)
    plans = [
        planned(pattern, surface, fit.setups, asked, progress)
        for surface, fit in zip(surfaces, fits, strict=True)
    ]
    return [
        _with(fit, found, _publish(pattern, found.plan, target, progress, order, surface.joint))
        for found, target, surface, fit in zip(plans, targets, surfaces, fits, strict=True)
    ]


def _with(fit: Fitted, found: Planned, published: Published) -> Published:
    findings = (*fit.findings, *found.findings, *published.findings)
    return replace(published, findings=findings, by_hand=found.by_hand)


def _publish(
    pattern: Pattern,
    plan: Plan,
    target: Path,
    progress: Progress | None,
    order: _Order,
    joint: str,
) -> Published:

    with stoppable(target):
        return _written(pattern, plan, target, progress, order, joint)


def _written(
    pattern: Pattern,
    plan: Plan,
    target: Path,
    progress: Progress | None,
    order: _Order,
    joint: str,
) -> Published:
    from tiler.job.large import taped_findings
    from tiler.output.coverage import ink_coverage
    from tiler.output.pdf import pdf_bytes
    from tiler.output.safely import replacing
    from tiler.proof import prove
    from tiler.sheets.publication import lay_out, texts_of
    from tiler.sheets.ways import Way

    paper = plan.grid.setup.paper.name
    publication = lay_out(
        pattern,
        plan,
        steps_of(progress, f"drawing {paper}"),
        styles=order.styles,
        way=Way(joint),
        pieces=order.pieces,
    )
    if order.private:
        publication = without_source(publication)
    with replacing(target) as draft:
        content = pdf_bytes(publication, steps_of(progress, f"writing {paper}"))
        draft.write_bytes(content)
        if progress:
            progress(f"proving {paper}", 0, 1)
        verdict = prove(draft, pattern)
        if not verdict.proven:
            raise not_proven(" ".join(verdict.sentences(limit=5)), target)
    darkness = ink_coverage(content)
    front = len(publication.pages) - verdict.pages
    return Published(
        file=target,
        plan=plan,
        front=front,
        verdict=verdict,
        pages=verdict.pages,
        ink=sum(darkness) / len(darkness),
        map=_map(pattern, plan, target, order.map, front),
        findings=(
            *unprintable_findings(texts_of(publication)),
            *(() if order.private else file_name_findings(pattern)),
            *_split(plan),
            *taped_findings(plan),
            *verdict.findings,
        ),
        joint=joint,
        styles=order.styles,
    )


def _map(pattern: Pattern, plan: Plan, target: Path, kind: str, front: int) -> Path | None:
    if not kind:
        return None
    from tiler.output.picture import write_picture
    from tiler.sheets.mappicture import draw_map_picture

    picture = target.with_name(f"{target.stem}-map.{kind}")
    write_picture(draw_map_picture(pattern, plan, front), pattern.title, picture)
    return picture


def _split(plan: Plan) -> tuple[Finding, ...]:
    from tiler.pattern.model import Finding, Severity

    words = (
        "It fits on one page and lies over a joint, because of what else is asked. Leave out "
        "keep_together, or try another --seed or a smaller --gap."
    )
    names = plan.tally.split if plan.tally else ()
    return tuple(Finding("split", Severity.WARNING, f"piece {name}", words) for name in names)
