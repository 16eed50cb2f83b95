"""Attachments: the pattern's own files travel inside the print and come out byte for byte."""

from __future__ import annotations

import io
import json
import subprocess
from pathlib import Path

from pypdf import PdfReader

from tests.demos import each_publication, pattern_of_demo, pdf_of
from tests.laying import laid
from tests.strategies import rectangular
from tiler.layout.papers import find_paper
from tiler.layout.tiles import PageSetup
from tiler.output.pdf import pdf_bytes
from tiler.pattern.model import Pattern, Source
from tiler.sheets.drawing import Page, Publication
from tiler.sheets.publication import lay_out


def detached(pdf: bytes, folder: Path) -> dict[str, bytes]:
    """What poppler takes out of a file."""
    file = folder / "print.pdf"
    file.write_bytes(pdf)
    out = folder / "out"
    out.mkdir()
    done = subprocess.run(
        ["pdfdetach", "-saveall", "-enc", "UTF-8", "-o", str(out), str(file)],
        capture_output=True,
        check=True,
    )
    assert done.stderr == b""
    return {path.name: path.read_bytes() for path in out.iterdir()}


@each_publication
def test_the_sources_come_back_byte_for_byte(demo: str, paper: str, tmp_path: Path) -> None:
    """Taken out by pdfdetach, the files are those of the pattern folder, plus the record."""
    files = detached(pdf_of(demo, paper), tmp_path)
    record = json.loads(files.pop("blocksheet.json"))
    assert record["title"] == pattern_of_demo(demo).title
    assert files == {s.name: s.content for s in pattern_of_demo(demo).sources}


@each_publication
def test_each_attachment_says_what_it_is_to_the_document(demo: str, paper: str) -> None:
    """Associated files (ISO 32000-2, 14.13): the record is data, the rest is source."""
    reader = PdfReader(io.BytesIO(pdf_of(demo, paper)))
    relations = {}
    for reference in reader.trailer["/Root"]["/AF"]:
        specification = reference.get_object()
        name = str(specification["/UF"])
        relations[name] = str(specification["/AFRelationship"])
        stream = specification["/EF"]["/F"].get_object()
        assert stream["/Params"]["/Size"] == len(stream.get_data())
    assert relations.pop("blocksheet.json") == "/Data"
    assert set(relations) == {s.name for s in pattern_of_demo(demo).sources}
    assert set(relations.values()) == {"/Source"}


def test_names_and_bytes_of_any_kind_survive(tmp_path: Path) -> None:
    """File names in other alphabets, empty files and binary ones come back as they were."""
    sources = (
        Source("pattern.toml", b""),
        Source("вытачка.svg", bytes(range(256)) * 40),
        Source("Größe (2).svg", b"\r\n\0"),
    )
    pattern = Pattern("Seed apron", (rectangular("Pocket", 100, 120),), sources=sources)
    publication = lay_out(pattern, laid(pattern, [PageSetup(find_paper("a4"))]))
    files = detached(pdf_bytes(publication), tmp_path)
    files.pop("blocksheet.json")
    assert files == {source.name: source.content for source in sources}


def test_a_publication_without_attachments_and_layers_is_a_plain_file() -> None:
    """A picture has neither, and is written all the same."""
    publication = Publication("Apron", "", "", (Page("pieces", 100, 80, ()),))
    reader = PdfReader(io.BytesIO(pdf_bytes(publication)), strict=True)
    assert len(reader.pages) == 1
    assert dict(reader.attachments) == {}
    assert reader.metadata is not None
    assert reader.metadata.title == "Apron"
    assert reader.metadata.author is None
