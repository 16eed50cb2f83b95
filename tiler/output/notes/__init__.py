"""The notes as Markdown, as one HTML file and as a PDF, all from one text."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from tiler.sheets.notes.facts import NoteFacts, Units

if TYPE_CHECKING:
    from tiler.pattern.model import Pattern

#: Papers that the notes can be set on, and their sizes in millimetres (ISO 216; ANSI/ASME Y14.1).
PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}


@dataclass(frozen=True)
class Notes:
    """The notes in one language.

    Args:
        language: Tag of the language.
        markdown: Readable as plain text; its pictures are files beside it.
        html: One file with everything in it.
        pdf: To print.
        pictures: Name, with its folder, and content of each picture that the Markdown shows.
        text: All letters that the PDF sets, for checking that the typeface has them.
    """

    language: str
    markdown: str = field(repr=False)
    html: str = field(repr=False)
    pdf: bytes = field(repr=False)
    pictures: tuple[tuple[str, bytes], ...] = field(repr=False)
    text: str = field(repr=False)


def notes_of(
    pattern: Pattern,
    facts: NoteFacts | None = None,
    language: str = "en",
    units: Units = Units.BOTH,
    paper: str = "a4",
    folder: str = "notes-pictures",
) -> Notes:
    """The notes for a drafted pattern; equal input gives equal bytes.

    Args:
        pattern: Drafted, as `tiler.job.read` gives it.
        facts: What was published of it.
        language: One of `tiler.sheets.notes.words.languages()`.
        units: In which units lengths are told.
        paper: Of the PDF, one of `PAPERS`.
        folder: Where the pictures lie beside the Markdown.

    Raises:
        PatternError: There is no such language or paper.
    """
    from urllib.parse import unquote

    from tiler.output.notes.html import html_of
    from tiler.output.notes.pdf import pdf_of
    from tiler.output.notes.tokens import parser, texts
    from tiler.output.svg import svg_of
    from tiler.pattern.errors import PatternError
    from tiler.sheets.notes.quoting import unmarked
    from tiler.sheets.notes.writing import write_notes

    if paper not in PAPERS:
        raise PatternError(
            f"the notes cannot be set on {paper!r}", remedy=f"Use one of {', '.join(PAPERS)}."
        )
    written = write_notes(pattern, facts or NoteFacts(), language, units, folder)
    tokens = parser().parse(written.markdown)
    return Notes(
        language=language,
        markdown=unmarked(written.markdown),
        html=html_of(written),
        pdf=pdf_of(written, PAPERS[paper]),
        pictures=tuple(
            (unquote(name), svg_of(drawing, name.rpartition("/")[2].partition(".")[0]))
            for name, drawing in written.pictures.items()
        ),
        text=unmarked("".join(texts(tokens))),
    )
