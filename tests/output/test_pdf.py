"""The written PDF, read by programs that had no part in writing it: pdfium, qpdf, poppler."""

from __future__ import annotations

import ctypes
import hashlib
import math
import os
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from PIL import Image, ImageDraw

from tests.demos import each_publication, pattern_of_demo, pdf_of, plan_of, publication_of
from tests.laying import laid
from tests.printed import face, words_on
from tests.strategies import pattern_of, rectangular
from tiler.layout.papers import find_paper
from tiler.layout.tiles import PageSetup
from tiler.output.pdf import pdf_bytes
from tiler.sheets.publication import lay_out

GREEK = "Ποδιά κήπου"
CYRILLIC = "Фартук садовода"


def run(*command: str, stdin: bytes | None = None) -> str:
    """What a program prints; a warning or an error of it fails the test."""
    done = subprocess.run(command, input=stdin, capture_output=True, check=True)
    assert done.stderr.decode() == ""
    return done.stdout.decode()


def titled(title: str) -> bytes:
    pattern = pattern_of(rectangular("Pocket", 120, 150), title=title, maker="Общество · Κήπος")
    return pdf_bytes(lay_out(pattern, laid(pattern, [PageSetup(find_paper("a4"))])))


@each_publication
def test_qpdf_finds_nothing_to_complain_about(demo: str, paper: str, tmp_path: Path) -> None:
    """The syntax of the file is checked by qpdf without an error or a warning."""
    file = tmp_path / "print.pdf"
    file.write_bytes(pdf_of(demo, paper))
    told = run("qpdf", "--check", str(file))
    assert "No syntax or stream encoding errors found" in told
    assert "PDF Version: 1.7" in told


@each_publication
def test_poppler_reads_the_facts_of_the_file(demo: str, paper: str) -> None:
    """Title, author, subject, number and size of pages; nothing encrypted, scripted or turned."""
    pattern, setup = pattern_of_demo(demo), plan_of(demo, paper).grid.setup
    told = run("pdfinfo", "-enc", "UTF-8", "-", stdin=pdf_of(demo, paper))
    facts = {key: value.strip() for key, _, value in (s.partition(":") for s in told.splitlines())}
    assert facts["Title"] == pattern.title
    assert facts["Author"] == pattern.maker
    assert pattern.digest in facts["Subject"]
    assert facts["Pages"] == str(len(publication_of(demo, paper).pages))
    assert facts["Encrypted"] == "no"
    assert facts["JavaScript"] == "no"
    assert facts["Page rot"] == "0"
    width, _, height, *_ = facts["Page size"].split()
    assert float(width) / 72 * 25.4 == pytest.approx(setup.width, abs=0.01)
    assert float(height) / 72 * 25.4 == pytest.approx(setup.height, abs=0.01)


@each_publication
def test_every_page_is_exactly_the_paper(demo: str, paper: str) -> None:
    """Media box and crop box, read by pdfium, are the sheet, to a thousandth of a millimetre."""
    setup = plan_of(demo, paper).grid.setup
    document = pypdfium2.PdfDocument(pdf_of(demo, paper))
    try:
        for page in document:
            for box in (page.get_mediabox(), page.get_cropbox()):
                left, bottom, right, top = (value / 72 * 25.4 for value in box)
                assert (left, bottom) == (0, 0)
                assert (right, top) == pytest.approx((setup.width, setup.height), abs=1e-3)
    finally:
        document.close()


@each_publication
def test_the_print_dialogue_is_asked_for_no_scaling_and_one_side(demo: str, paper: str) -> None:
    """Read by pdfium: print scaling none, simplex."""
    document = pypdfium2.PdfDocument(pdf_of(demo, paper))
    try:
        assert pdfium.FPDF_VIEWERREF_GetPrintScaling(document) == 0
        assert pdfium.FPDF_VIEWERREF_GetDuplex(document) == pdfium.Simplex
    finally:
        document.close()


@each_publication
def test_page_labels_are_the_names_of_the_pages(demo: str, paper: str) -> None:
    """What a viewer shows as page number is what stands on the page."""
    document = pypdfium2.PdfDocument(pdf_of(demo, paper))
    try:
        labels = [document.get_page_label(index) for index in range(len(document))]
    finally:
        document.close()
    assert labels == [page.name for page in publication_of(demo, paper).pages]


@each_publication
def test_every_font_is_embedded(demo: str, paper: str) -> None:
    """No page depends on what a printer has, and the letters can be copied as text."""
    rows = run("pdffonts", "-", stdin=pdf_of(demo, paper)).splitlines()[2:]
    assert rows
    for row in rows:
        assert "NotoSans" in row
        assert "Helvetica" not in row
        *_, embedded, _, unicode, _, _ = row.split()
        assert (embedded, unicode) == ("yes", "yes")


@pytest.mark.parametrize("title", [GREEK, CYRILLIC, "Łódź · Größe Ⅻ × ½".replace("Ⅻ", "XII")])
def test_titles_in_other_alphabets_are_printed_and_can_be_copied(title: str) -> None:
    """Read by pdftotext and pdfinfo, letter for letter."""
    pdf = titled(title)
    text = run("pdftotext", "-enc", "UTF-8", "-", "-", stdin=pdf)
    assert text.count(title) >= 2
    facts = run("pdfinfo", "-enc", "UTF-8", "-", stdin=pdf)
    assert title in facts
    assert "Общество · Κήπος" in facts


@pytest.mark.parametrize("title", [GREEK, CYRILLIC])
def test_other_alphabets_are_printed_with_their_true_shapes(title: str) -> None:
    """The title's ink, rendered by pdfium, covers that of the typeface drawn by FreeType."""
    dpi = 300
    document = pypdfium2.PdfDocument(titled(title))
    try:
        sheet = np.array(document[0].render(scale=dpi / 72, grayscale=True).to_pil())
    finally:
        document.close()
    size = round(24 / 72 * dpi)
    font = face(True, size)
    drawn = Image.new("L", (20 * size, 2 * size), 255)
    ImageDraw.Draw(drawn).text((20, size), title, font=font, fill=0, anchor="ls")
    wanted = np.array(drawn) < 128
    rows, columns = (np.flatnonzero(wanted.any(axis=axis)) for axis in (1, 0))
    wanted = wanted[rows[0] : rows[-1] + 1, columns[0] : columns[-1] + 1]
    ink = sheet < 128
    best = 0.0
    pattern = pattern_of(rectangular("Pocket", 120, 150), title=title)
    publication = lay_out(pattern, laid(pattern, [PageSetup(find_paper("a4"))]))
    (heading,) = [w for w in words_on(publication.pages[0]) if w.text == title and w.size_pt > 20]
    x, _, _, y = (value / 25.4 * dpi for value in heading.ink.bounds)
    row, column = round(sheet.shape[0] - y), round(x)
    for dy in range(-3, 4):
        for dx in range(-3, 4):
            part = ink[row + dy :, column + dx :][: wanted.shape[0], : wanted.shape[1]]
            best = max(best, (part & wanted).sum() / (part | wanted).sum())
    assert best > 0.85


@pytest.mark.parametrize(("demo", "paper"), [("hat", "a4"), ("smock", "letter")])
def test_words_are_printed_where_the_drawing_has_them(demo: str, paper: str) -> None:
    """Character boxes read by pdfium agree with the drawing's words within 0.15 mm."""
    document = pypdfium2.PdfDocument(pdf_of(demo, paper))
    try:
        for page, drawn in zip(document, publication_of(demo, paper).pages, strict=True):
            text_page = page.get_textpage()
            boxes = []
            for index in range(text_page.count_chars()):
                if text_page.get_text_range(index, 1).strip():
                    boxes.append(text_page.get_charbox(index))
            found = np.array(boxes) / 72 * 25.4
            for words in words_on(drawn):
                if not words.whole:
                    continue
                left, bottom, right, top = words.ink.bounds
                inside = (
                    (found[:, 0] >= left - 0.15)
                    & (found[:, 1] >= bottom - 0.15)
                    & (found[:, 2] <= right + 0.15)
                    & (found[:, 3] <= top + 0.15)
                )
                here = found[inside]
                assert len(here) >= len(words.text.replace(" ", "")), words.text
                extent = (*here[:, :2].min(axis=0), *here[:, 2:].max(axis=0))
                # The box of slanted words is larger than the boxes of their letters together.
                upright = math.isclose(words.ink.area, (right - left) * (top - bottom))
                off = 0.15 if upright else 1.0
                assert extent == pytest.approx((left, bottom, right, top), abs=off), words.text
    finally:
        document.close()


@each_publication
def test_the_description_is_there_for_catalogues_too(demo: str, paper: str) -> None:
    """The XMP packet, read by poppler, is XML that says the same as the information dictionary."""
    pattern = pattern_of_demo(demo)
    packet = run("pdfinfo", "-meta", "-", stdin=pdf_of(demo, paper))
    tree = ET.fromstring(packet[packet.index("<x:xmpmeta") : packet.rindex("<?xpacket")])
    dc = "{http://purl.org/dc/elements/1.1/}"
    item = "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}li"
    assert [i.text for i in tree.find(f".//{dc}title").iter(item)] == [pattern.title]
    assert [i.text for i in tree.find(f".//{dc}creator").iter(item)] == [pattern.maker]


@pytest.mark.parametrize("title", ["Cuffs & <collars>", 'The "short" smock', "(brackets) \\ slash"])
def test_odd_signs_in_a_title_do_no_harm(title: str, tmp_path: Path) -> None:
    """Signs that mean something in XML or PDF are written so that they are read back."""
    file = tmp_path / "odd.pdf"
    file.write_bytes(titled(title))
    assert "No syntax or stream encoding errors found" in run("qpdf", "--check", str(file))
    assert f"Title:           {title}\n" in run("pdfinfo", "-enc", "UTF-8", str(file))
    assert title in run("pdftotext", "-enc", "UTF-8", str(file), "-")


_PUBLISH = """
import hashlib, sys
from tests.demos import pdf_of
print(hashlib.sha256(pdf_of("smock", "a4")).hexdigest())
"""


def test_the_same_pattern_gives_the_same_bytes_in_another_process() -> None:
    """Hash seeds, time zones, languages and working folders leave no trace in the file."""
    root = Path(__file__).parents[2]
    seen = {hashlib.sha256(pdf_of("smock", "a4")).hexdigest()}
    for seed, zone, language, folder in (
        ("1", "Pacific/Auckland", "C", root),
        ("77", "America/New_York", "C.UTF-8", Path("/")),
    ):
        surroundings = {
            **os.environ,
            "PYTHONHASHSEED": seed,
            "TZ": zone,
            "LC_ALL": language,
            "PYTHONPATH": str(root),
        }
        told = subprocess.run(
            [sys.executable, "-c", _PUBLISH],
            env=surroundings,
            cwd=folder,
            capture_output=True,
            check=True,
            text=True,
        )
        seen.add(told.stdout.strip())
    assert len(seen) == 1


def test_progress_counts_the_pages() -> None:
    """Whoever waits sees one step a page."""
    seen: list[tuple[int, int]] = []
    publication = publication_of("hat", "a4")
    pdf_bytes(publication, lambda done, total: seen.append((done, total)))
    count = len(publication.pages)
    assert seen == [(number, count) for number in range(1, count + 1)]


def test_the_file_identifier_depends_on_the_content_alone() -> None:
    """Equal content has an equal identifier, other content another one."""

    def identifier(pdf: bytes) -> bytes:
        document = pypdfium2.PdfDocument(pdf)
        try:
            kind = pdfium.FILEIDTYPE_PERMANENT
            size = pdfium.FPDF_GetFileIdentifier(document, kind, None, 0)
            buffer = ctypes.create_string_buffer(size)
            pdfium.FPDF_GetFileIdentifier(document, kind, buffer, size)
            return buffer.raw
        finally:
            document.close()

    first, again, other = (identifier(titled(t)) for t in ("Apron", "Apron", "Smock"))
    assert len(first) > 8
    assert first == again
    assert first != other
