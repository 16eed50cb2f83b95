"""What publishing costs: our way of writing against redrawing every path on every page."""

from __future__ import annotations

import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import TypeVar

from tests.bench.synthetic import plan_of, synthetic
from tiler.layout.plan import Plan
from tiler.output.coverage import ink_coverage
from tiler.output.pdf import pdf_bytes
from tiler.pattern.affine import Affine
from tiler.pattern.model import Pattern
from tiler.proof import prove
from tiler.sheets.drawing import Drawing, Group, Item, Page, Publication, Stroke, Use
from tiler.sheets.lettering import load_fonts
from tiler.sheets.publication import lay_out

Value = TypeVar("Value")

#: The best row of a prototype that wrote the same kind of pattern without text and marks, with
#: another library on another 2-core machine: seconds and bytes a page.
PROTOTYPE_SECONDS = 0.017
PROTOTYPE_BYTES = 845


def timed(work: Callable[[], Value], rounds: int = 2) -> tuple[float, Value]:
    """Least CPU seconds of a few rounds, and the result; the first also fills what is cached."""
    seconds = []
    for _ in range(rounds):
        began = time.process_time()
        result = work()
        seconds.append(time.process_time() - began)
    return min(seconds), result


def bare(publication: Publication) -> Publication:
    """Only the pattern lines: no words, no marks, no front pages, nothing attached."""

    def lines(items: tuple[Item, ...]) -> tuple[Item, ...]:
        kept: list[Item] = []
        for item in items:
            if isinstance(item, Group):
                if not item.furniture:
                    kept.append(replace(item, items=lines(item.items)))
            elif isinstance(item, Use):
                kept.append(replace(item, drawing=stripped(item.drawing)))
            else:
                kept.append(item)
        return tuple(kept)

    seen: dict[int, Drawing] = {}

    def stripped(drawing: Drawing) -> Drawing:
        if id(drawing) not in seen:
            seen[id(drawing)] = replace(drawing, items=lines(drawing.items))
        return seen[id(drawing)]

    pages = tuple(replace(page, items=lines(page.items)) for page in publication.pages)
    pages = tuple(page for page in pages if page.items)
    return replace(publication, pages=pages, attachments=())


def strokes_of(items: tuple[Item, ...]) -> Iterator[Stroke]:
    """The lines of a piece, those that its styles have of their own too."""
    for item in items:
        if isinstance(item, Stroke):
            yield item
        elif isinstance(item, Use):
            for stroke in strokes_of(item.drawing.items):
                yield replace(stroke, paths=tuple(path.moved(item.at) for path in stroke.paths))


def parts_on(body: Group) -> Iterator[Use]:
    """What a page draws of its pieces, in the parts that it leaves out where they do not show."""
    for item in body.items:
        if isinstance(item, Use):
            yield item
        elif isinstance(item, Group) and not item.furniture:
            at = item.at or Affine()
            parts = (part for part in item.items if isinstance(part, Use))
            yield from (replace(part, at=part.at.then(at)) for part in parts)


def naive(publication: Publication) -> Publication:
    """The same lines, every path drawn anew on every page and clipped there."""
    bodies = {
        page.name: item
        for page in publication.pages
        for item in page.items
        if isinstance(item, Group) and item.window
    }
    everything: dict[int, Use] = {}
    for body in bodies.values():
        for use in parts_on(body):
            everything.setdefault(id(use.drawing), use)
    # Pages are shifts of the sheet, so where one drawing lies tells where all others would lie.
    pages: list[Page] = []
    for page in publication.pages:
        here = next(iter(parts_on(bodies[page.name])), None) if page.name in bodies else None
        if here is None:
            continue
        there = everything[id(here.drawing)].at
        shift = Affine.move(here.at.e - there.e, here.at.f - there.f)
        strokes = [
            Stroke(tuple(path.moved(use.at.then(shift)) for path in stroke.paths), stroke.pen)
            for use in everything.values()
            for stroke in strokes_of(use.drawing.items)
        ]
        body = replace(bodies[page.name], items=tuple(strokes))
        pages.append(replace(page, items=(body,)))
    return replace(
        publication, pages=tuple(pages), layers=(), headings=(), printed=(), attachments=()
    )


def published(pattern: Pattern, plan: Plan) -> tuple[float, bytes]:
    """CPU seconds for laying out and writing, and the file."""
    return timed(lambda: pdf_bytes(lay_out(pattern, plan)))


def scaling(seconds: float, content: bytes) -> None:
    """What ten times the segments cost, and four times the pages for the same ink.

    Args:
        seconds: What the plain case takes.
        content: Its file.
    """
    fine = synthetic(segments=330)
    finely, fine_bytes = published(fine, plan_of(fine))
    print(
        f"  10 x the segments: time x {finely / seconds:.2f}, "
        f"bytes x {len(fine_bytes) / len(content):.2f} (wanted: 10 at most)"
    )
    large = synthetic(times=2)
    plan = plan_of(large, times=2)
    largely, large_bytes = published(large, plan)
    print(
        f"  the same segments on {len(plan.cells)} pages: time x {largely / seconds:.2f}, "
        f"bytes x {len(large_bytes) / len(content):.2f} (wanted: 2)"
    )


def row(name: str, seconds: float, content: bytes, pages: int) -> None:
    """One line of the report."""
    print(
        f"  {name:<44}{seconds:>8.3f} s{1000 * seconds / pages:>9.2f} ms/page"
        f"{len(content) / pages:>10,.0f} B/page{len(content) / 1024:>9,.0f} KB"
    )


def report() -> None:
    """Print the figures."""
    load_fonts()
    pattern = synthetic()
    plan = plan_of(pattern)
    pages = len(plan.cells)
    segments = sum(len(o.path.segments) for p in pattern.pieces for o in p.outlines)
    print(f"publishing 12 pieces, 5 styles, {segments:,} segments on {pages} pages (CPU)")
    laying, publication = timed(lambda: lay_out(pattern, plan))
    seconds, content = published(pattern, plan)
    row("laid out and written, words and marks too", seconds, content, pages)
    print("  wanted: under 1.0 s, under 4,000 B/page")
    row("of that, laid out", laying, content, pages)
    scaling(seconds, content)
    inking, shares = timed(lambda: ink_coverage(content))
    print(
        f"  ink coverage: {inking:.3f} s, {100 * sum(shares) / len(shares):.1f} % of the paper "
        "(wanted: under 0.5 s)"
    )
    plain = bare(publication)
    plain_time, plain_bytes = timed(lambda: pdf_bytes(plain))
    row("written, pattern lines alone", plain_time, plain_bytes, pages)
    redrawn = naive(publication)
    naive_time, naive_bytes = timed(lambda: pdf_bytes(redrawn), rounds=1)
    row("naive: every path on every page", naive_time, naive_bytes, pages)
    print(
        f"  ours / naive: time {plain_time / naive_time:.3f}, "
        f"bytes {len(plain_bytes) / len(naive_bytes):.3f}"
    )
    print(
        f"  lines alone / prototype's best row: time {plain_time / PROTOTYPE_SECONDS:.2f}, "
        f"bytes {len(plain_bytes) / pages / PROTOTYPE_BYTES:.2f} (wanted: under 3)"
    )
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "synthetic.pdf"
        file.write_bytes(content)
        proving, verdict = timed(lambda: prove(file, pattern), rounds=1)
    print(
        f"  proof: {proving:.3f} s for {verdict.lines:,} lines, worst {verdict.worst:.5f} mm, "
        f"{'proven' if verdict.proven else 'NOT PROVEN'}"
    )
    if not verdict.proven:
        raise SystemExit("\n".join(verdict.sentences()))
