"""Notes in three forms: the same words, the same bytes each time, nothing fetched, nothing run."""

from __future__ import annotations

import io
import os
import subprocess
import sys
import xml.etree.ElementTree as ET
from dataclasses import replace
from functools import cache
from html.parser import HTMLParser
from itertools import pairwise

import pikepdf
import pytest
from pypdf import PdfReader

from tests.demos import drafted_demo
from tiler.output.notes import PAPERS, Notes, notes_of
from tiler.pattern.errors import PatternError
from tiler.pattern.handover import Handover
from tiler.pattern.model import Pattern
from tiler.sheets.notes.facts import NoteFacts, PrintFacts, Units
from tiler.sheets.notes.words import languages

LANGUAGES = languages()


@cache
def notes(language: str) -> Notes:
    return notes_of(drafted_demo("hat"), language=language)


class Seen(HTMLParser):
    """What a browser would see: elements, attributes, and words outside of style sheets."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.words: list[str] = []
        self._inside: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in ("meta", "br"):
            self._inside.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self._inside.pop() == tag, f"{tag} closes what is not open"

    def handle_data(self, data: str) -> None:
        if not {"style", "title"} & set(self._inside):
            self.words.append(data)

    @property
    def text(self) -> str:
        return " ".join("".join(self.words).split())

    def all(self, tag: str) -> list[dict[str, str | None]]:
        return [attrs for name, attrs in self.elements if name == tag]


def pages_of(pdf: bytes) -> list[str]:
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(pdf)).pages]


@pytest.mark.parametrize("language", LANGUAGES)
def test_every_heading_is_in_all_three(language: str) -> None:
    made = notes(language)
    headings = [line.lstrip("# ") for line in made.markdown.splitlines() if line.startswith("#")]
    assert len(headings) > 8
    html, pdf = Seen(made.html).text, " ".join(pages_of(made.pdf))
    for heading in headings:
        assert heading in html
        assert heading in pdf


def test_equal_input_gives_equal_bytes_in_another_process() -> None:
    """Whatever the order of sets is there."""
    code = (
        "import hashlib, sys; from tests.demos import drafted_demo; "
        "from tiler.output.notes import notes_of; n = notes_of(drafted_demo('hat')); "
        "print(hashlib.sha256(n.pdf + n.html.encode() + n.markdown.encode() "
        "+ b''.join(c for _, c in n.pictures)).hexdigest())"
    )
    told = [
        subprocess.run(
            [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=120,
            env={**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join(sys.path)},
        ).stdout
        for seed in ("1", "77")
    ]  # fmt: skip
    assert told[0] == told[1]


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_html_asks_for_nothing_and_runs_nothing(language: str) -> None:
    """One file: no element that fetches, no address but places in itself."""
    seen = Seen(notes(language).html)
    names = {name for name, _ in seen.elements}
    assert not names & {"script", "link", "img", "iframe", "object", "embed", "form", "use", "base"}
    for _, attrs in seen.elements:
        assert not any(name.startswith("on") for name in attrs)
        assert "src" not in attrs
        assert str(attrs.get("href") or "#").startswith("#")
    assert "url(" not in notes(language).html.replace("url(#", "")
    assert "@import" not in notes(language).html


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_html_can_be_read_aloud(language: str) -> None:
    """WCAG 2.2: language of the page and of parts (3.1.1, 3.1.2), names of pictures (1.1.1),
    headings in order and headers of tables (1.3.1), a title (2.4.2)."""
    html = notes(language).html
    seen = Seen(html)
    assert seen.all("html")[0]["lang"] == language
    levels = [int(name[1]) for name, _ in seen.elements if name in ("h1", "h2", "h3")]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))
    assert all(attrs["scope"] == "col" for attrs in seen.all("th"))
    assert len(seen.all("svg")) == html.count("<title>") - 1
    assert all(attrs["role"] == "img" for attrs in seen.all("svg"))
    targets = {attrs.get("id") for _, attrs in seen.elements}
    assert all(str(attrs["href"])[1:] in targets for attrs in seen.all("a"))
    spans = {attrs.get("lang") for attrs in seen.all("span")}
    assert spans == (set() if language == "en" else {"en"})


def test_an_unknown_language_is_said_to_be_unknown() -> None:
    """HTML, 3.2.6.2: the empty tag."""
    pattern = drafted_demo("hat")
    unsaid = replace(pattern, handover=replace(pattern.handover, language=""))
    spans = Seen(notes_of(unsaid, language="de").html).all("span")
    assert {attrs["lang"] for attrs in spans} == {"", "en"}


@pytest.mark.parametrize("language", LANGUAGES)
def test_the_pdf_says_what_it_is(language: str) -> None:
    """Language (ISO 32000-1, 14.9.2), title, bookmarks, numbered pages, fonts inside, one size."""
    pdf = notes(language).pdf
    with pikepdf.open(io.BytesIO(pdf)) as document:
        assert str(document.Root.Lang) == language
        assert str(document.docinfo["/Title"]) == "Panelled sun hat"
        assert "/CreationDate" not in document.docinfo
        with document.open_outline() as outline:
            assert len(outline.root) >= 5
        for page in document.pages:
            assert [round(float(v)) for v in page.mediabox] == [0, 0, 595, 842]
            for font in page.Resources.Font.values():
                assert "/FontFile2" in font.FontDescriptor
    pages = pages_of(pdf)
    assert pages[0].startswith("Panelled sun hat")
    assert all(drafted_demo("hat").digest in page for page in pages)
    assert all(f"{n}" in page and f"{len(pages)}" in page for n, page in enumerate(pages, 1))


def test_letter_is_letter() -> None:
    """8.5 x 11 in at 72 points."""
    made = notes_of(drafted_demo("hat"), paper="letter")
    page = PdfReader(io.BytesIO(made.pdf)).pages[0]
    assert (round(float(page.mediabox.width)), round(float(page.mediabox.height))) == (612, 792)
    with pytest.raises(PatternError, match="a0"):
        notes_of(drafted_demo("hat"), paper="a0")
    assert set(PAPERS) == {"a4", "letter"}


def test_the_markdown_shows_pictures_that_are_there() -> None:
    made = notes("en")
    files = dict(made.pictures)
    shown = [part.partition(")")[0] for part in made.markdown.split("](notes-pictures/")[1:]]
    assert {f"notes-pictures/{name}" for name in shown} == set(files)
    for content in files.values():
        assert ET.fromstring(content).tag == "{http://www.w3.org/2000/svg}svg"


@pytest.mark.parametrize("units", list(Units))
def test_lengths_are_in_the_units_that_were_asked_for(units: Units) -> None:
    text = notes_of(drafted_demo("smock"), units=units).markdown.replace("\u00a0", " ")
    assert ("120 cm" in text) == (units is not Units.INCH)
    # 1200 mm over 25.4 is 47.24 in, which a tape shows as 47 1/4.
    assert ("47 1/4 in" in text) == (units is not Units.MM)


def test_private_notes_tell_nothing_of_whose_pattern_it_is() -> None:
    known = drafted_demo("hat")
    told = replace(known.handover, address="https://marrow.example/hat")
    pattern = replace(known, handover=told)
    open_notes = notes_of(pattern)
    assert "marrow.example" in open_notes.html
    made = notes_of(pattern, NoteFacts(private=True))
    for text in (made.markdown, made.html, " ".join(pages_of(made.pdf))):
        assert "Marrow" not in text
        assert "marrow.example" not in text
        assert "drafted from measurements" not in text
    with pikepdf.open(io.BytesIO(made.pdf)) as document:
        assert "/Author" not in document.docinfo


def test_a_pattern_of_which_little_is_said_has_notes_too() -> None:
    known = drafted_demo("hat")
    bare = Pattern(title="x", pieces=known.pieces[:1], sources=known.sources)
    for language in LANGUAGES:
        made = notes_of(bare, language=language)
        assert len(pages_of(made.pdf)) >= 2
        assert "None" not in made.markdown
    assert bare.handover == Handover()


def test_the_makers_sentences_are_in_all_three() -> None:
    made = notes("uk")
    html, pdf = Seen(made.html).text, " ".join(pages_of(made.pdf))
    for sentence in drafted_demo("hat").handover.sewing:
        assert sentence in made.markdown
        assert sentence in html
        assert sentence in pdf


def test_the_cover_says_cloth_measurements_and_that_the_sheets_are_proven() -> None:
    """Before anything is turned over; the tables of it follow."""
    facts = NoteFacts(
        prints=(
            PrintFacts("a.pdf", "A4", 210, 297, 22, 2, 0.0001),
            PrintFacts("r.pdf", "roll 914 mm", 914, 1200, 1, 0, 0.0021, roll=True),
        )
    )
    made = notes_of(drafted_demo("smock"), facts)
    cover = " ".join(pages_of(made.pdf)[0].replace("\u00a0", " ").split())
    assert "Cloth: main – Firm cotton twill or linen" in cover
    assert "unsuitable: Stretch cloth" in cover
    assert "chest girth 120 cm (47 1/4 in)" in cover
    assert "A4, 24 pages; roll, 1 page; proven, no line is off by more than 0.003 mm" in cover
