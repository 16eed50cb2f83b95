"""The notes that go with a pattern, with the facts of what was published and laid."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from tiler.job.letters import unprintable_findings
from tiler.job.naming import slug

if TYPE_CHECKING:
    from tiler.job.laidcloth import ClothLays
    from tiler.job.publishing import Published
    from tiler.pattern.model import Finding, Pattern
    from tiler.proof.record import Record
    from tiler.sheets.notes.facts import LayFacts, NoteFacts, PrintFacts

KINDS = ("pdf", "html", "md")
UNITS = ("mm", "inch", "both")
NOTE_PAPERS = ("a4", "letter")
#: Room for a lay plan in the notes: their column on A4, and what headings leave of Letter,
#: millimetres.
_PLAN = (174.0, 212.0)


@dataclass(frozen=True)
class NoteWishes:
    """How the notes are to be.

    Args:
        language: Tag of the language.
        units: mm, inch or both.
        paper: Of the PDF, a4 or letter.
        kinds: What to write, of `KINDS`.
        private: Whether to leave out who made the pattern and where it comes from.
    """

    language: str = "en"
    units: str = "both"
    paper: str = "a4"
    kinds: tuple[str, ...] = KINDS
    private: bool = False


@dataclass(frozen=True)
class WrittenNotes:
    """What was written.

    Args:
        files: The notes, one for each kind; pictures are not listed.
        findings: What could not be printed as it stands.
    """

    files: tuple[Path, ...]
    findings: tuple[Finding, ...]


def print_facts(published: Published, pattern: Pattern) -> PrintFacts:
    """What the notes tell of a file that `publish` has written.

    Args:
        published: As `publish` returns it.
        pattern: What was published, as `read` gives it.
    """
    from tiler.sheets.notes.facts import PrintFacts
    from tiler.sheets.notes.signs import page_signs, signs_of
    from tiler.sheets.ways import Way

    plan, setup = published.plan, published.plan.grid.setup
    shown = replace(pattern, pieces=tuple(each.piece for each in plan.placements))
    joined, way = bool(plan.joints), Way(published.joint)
    return PrintFacts(
        file=published.file.name,
        paper=setup.paper.name,
        width=setup.width,
        height=setup.height,
        pages=published.pages,
        front=published.front,
        worst=published.verdict.worst,
        way=way if joined else None,
        printer=setup.printer.name if setup.printer else "",
        roll=setup.paper.roll,
        signs=(
            *signs_of(shown),
            *page_signs(shown, joined=joined, whole=plan.head is not None, way=way),
        ),
        styles=published.styles,
    )


def file_facts(file: Path, pattern: Pattern) -> PrintFacts:
    """What the notes tell of a published file, which is read back and proven against the pattern.

    Args:
        file: The PDF.
        pattern: As `read` gives it.

    Raises:
        FileError: It cannot be read or is no publication.
        NotProvenError: It is not true to this pattern.
    """
    import json

    from tiler.drafting.paper import for_paper
    from tiler.pattern.errors import NotProvenError
    from tiler.proof import prove
    from tiler.proof.document import open_document
    from tiler.proof.record import read_record
    from tiler.sheets.notes.facts import PrintFacts
    from tiler.sheets.notes.signs import page_signs, signs_of
    from tiler.sheets.ways import Way

    verdict = prove(file, pattern, on_paper=False)
    if not verdict.proven:
        raise NotProvenError(
            " ".join(verdict.sentences(limit=5)),
            where=str(file),
            remedy="Publish the pattern again, and give that file.",
        )
    carried = open_document(file).carried.record
    record = read_record(carried, str(file))
    if record.digest != pattern.digest:
        raise NotProvenError(
            f"it was published from another state of the pattern (digest {record.digest}, and now "
            f"it is {pattern.digest})",
            where=str(file),
            remedy="Publish the pattern again, and give that file.",
        )
    # A proven record is a table; what a paper is called stands in it for people alone.
    paper = str(json.loads(carried).get("paper", ""))[:60]
    printed = {placement.piece for placement in record.placements}
    shown = for_paper(pattern, record.styles)
    shown = replace(shown, pieces=tuple(p for p in shown.pieces if p.name in printed))
    joined, way = _joined(record), Way(record.joint)
    return PrintFacts(
        file=file.name,
        paper=paper,
        width=record.width,
        height=record.height,
        pages=verdict.pages,
        front=len(record.front),
        worst=verdict.worst,
        way=way if joined else None,
        printer=record.printer,
        roll=paper.startswith("roll"),
        signs=(
            *signs_of(shown),
            *page_signs(shown, joined=joined, whole=record.head is not None, way=way),
        ),
        styles=record.styles,
        pieces=record.pieces,
    )


def _joined(record: Record) -> bool:
    """Whether any two pages of a proven record lie beside each other on one sheet."""
    places = {(page.row, page.column): page.origin for page in record.pages}
    for (row, column), origin in places.items():
        right, below = places.get((row, column + 1)), places.get((row + 1, column))
        if right and abs(right.x - origin.x - record.pitch.x) < 0.01 and right.y == origin.y:
            return True
        if below and abs(origin.y - below.y - record.pitch.y) < 0.01 and below.x == origin.x:
            return True
    return False


def lay_facts(lays: ClothLays, language: str) -> tuple[LayFacts, ...]:
    """What the notes tell of a cloth: each plan that a picture is made of.

    Args:
        lays: As `tiler.job.cloth.lay_plans` gives it.
        language: Of the words in the picture, where there are such.
    """
    from tiler.layout.cloth.model import Spread
    from tiler.output.bundle.texts import drawn_language
    from tiler.sheets.notes.facts import LayFacts

    tongue = drawn_language(language, "cloth.toml")
    return tuple(
        LayFacts(
            cloth=lays.cloth,
            width=plan.cloth.width,
            folded=any(part.spread is Spread.FOLDED for part in plan.parts),
            length=plan.length,
            to_buy=plan.to_buy,
            utilisation=plan.utilisation,
            picture=lays.picture(plan, tongue, _PLAN),
        )
        for plan in lays.plans
    )


def write_notes(
    pattern: Pattern, source: Path, facts: NoteFacts, out: Path, wishes: NoteWishes
) -> WrittenNotes:
    """Write the notes of a pattern.

    Args:
        pattern: As `read` gives it.
        source: Where it was read from; its own files are never written over.
        facts: What was published of it.
        out: The folder for the files.
        wishes: How they are to be.

    Raises:
        BlocksheetError: There is no such language or paper, or a file cannot be written.
    """
    from tiler.job.reading import refuse_own
    from tiler.output.notes import notes_of
    from tiler.output.safely import replacing, writable
    from tiler.sheets.notes.facts import Units

    stem = f"{slug(pattern.title)}-notes"
    facts = replace(facts, private=wishes.private)
    folder = f"{stem}-pictures"
    notes = notes_of(pattern, facts, wishes.language, Units(wishes.units), wishes.paper, folder)
    contents = {
        "pdf": notes.pdf,
        "html": notes.html.encode(),
        "md": notes.markdown.encode(),
    }
    files = {out / f"{stem}-{notes.language}.{kind}": contents[kind] for kind in wishes.kinds}
    pictures = dict(notes.pictures) if "md" in wishes.kinds else {}
    everything = {**{out / name: content for name, content in pictures.items()}, **files}
    for target in everything:
        refuse_own(pattern, source, target)
    writable(out)
    # All of them lie ready before the first takes its place: a full disk leaves no half of a set.
    with ExitStack() as drafts:
        for target, content in everything.items():
            drafts.enter_context(replacing(target)).write_bytes(content)
    return WrittenNotes(tuple(files), unprintable_findings(notes.text))


def notes_within(pattern: Pattern, facts: NoteFacts, wishes: NoteWishes) -> str:
    """The notes as an element of an HTML page; its class is ``notes-text``.

    Args:
        pattern: As `read` gives it.
        facts: What was published of it.
        wishes: How they are to be; kinds and paper say nothing here.

    Raises:
        PatternError: There is no such language.
    """
    from tiler.output.notes.html import fragment_of
    from tiler.sheets.notes.facts import Units
    from tiler.sheets.notes.writing import write_notes as written

    facts = replace(facts, private=wishes.private)
    return fragment_of(written(pattern, facts, wishes.language, Units(wishes.units)))


def facts_of(pattern: Pattern, sheets: Sequence[Path]) -> NoteFacts:
    """The facts of published files; each is proven first.

    Raises:
        BlocksheetError: As `file_facts`.
    """
    from tiler.sheets.notes.facts import NoteFacts

    prints = tuple(file_facts(file, pattern) for file in sheets)
    return NoteFacts(prints=prints, surfaces=tuple(_surface(each) for each in prints))


def _surface(facts: PrintFacts) -> str:
    return f"roll:{facts.width:g}mm" if facts.roll else facts.paper.lower()
