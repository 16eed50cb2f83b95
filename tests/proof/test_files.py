"""Whatever is handed in, the answer is one clear sentence, never a traceback or a hang."""

from __future__ import annotations

import json
import random
import zlib
from pathlib import Path as File
from typing import Any

import pytest
from publication_builder import Draft
from pypdf import PdfReader, PdfWriter
from pypdf.generic import DecodedStreamObject, NameObject

from tiler.pattern.errors import BlocksheetError, FileError, NotProvenError
from tiler.proof import prove


def told(file: File, paper: Draft) -> str:
    with pytest.raises(BlocksheetError) as caught:
        prove(file, paper.pattern)
    text = str(caught.value)
    assert text.startswith(str(file))
    assert "\n" not in text
    return text


def outcome(file: File, paper: Draft) -> str:
    try:
        verdict = prove(file, paper.pattern)
    except BlocksheetError:
        return "refused"
    return "proven" if verdict.proven else "not proven"


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "the file is empty"),
        (b"<svg/>", "this is not a PDF"),
        (b"%PDF-1.7\n", "the PDF is cut short"),
        (b"%PDF-1.7\nnothing\n%%EOF\n", "the PDF is damaged"),
    ],
)
def test_files_that_are_no_pdf(tmp_path: File, paper: Draft, content: bytes, words: str) -> None:
    file = tmp_path / "apron.pdf"
    file.write_bytes(content)
    assert words in told(file, paper)


def test_files_that_are_not_there(tmp_path: File, paper: Draft) -> None:
    assert "cannot be read" in told(tmp_path / "none.pdf", paper)
    folder = tmp_path / "folder.pdf"
    folder.mkdir()
    assert "not an ordinary file" in told(folder, paper)


def test_a_huge_file_is_refused_unread(tmp_path: File, paper: Draft) -> None:
    file = tmp_path / "huge.pdf"
    with file.open("wb") as out:
        out.truncate(513 * 1024 * 1024)  # sparse: takes no room on the disk
    assert "larger than 512 MiB" in told(file, paper)


def test_another_pdf(tmp_path: File, paper: Draft) -> None:
    writer = PdfWriter()
    writer.add_blank_page(200, 200)
    file = tmp_path / "letter.pdf"
    writer.write(file)
    assert "has no Blocksheet record" in told(file, paper)


def test_a_locked_file(tmp_path: File, paper: Draft) -> None:
    writer = PdfWriter(clone_from=PdfReader(paper.write(tmp_path)))
    writer.encrypt("", algorithm="RC4-128")  # even where no password is asked for
    file = tmp_path / "locked.pdf"
    writer.write(file)
    assert "the PDF is locked" in told(file, paper)


@pytest.mark.parametrize("share", [0.02, 0.2, 0.5, 0.9])
def test_truncated_files(tmp_path: File, paper: Draft, share: float) -> None:
    file = paper.write(tmp_path)
    content = file.read_bytes()
    file.write_bytes(content[: int(len(content) * share)])
    assert "cut short" in told(file, paper)
    file.write_bytes(content[: int(len(content) * share)] + b"\n%%EOF\n")
    assert outcome(file, paper) in ("refused", "not proven")


def test_damaged_files_are_never_proven_wrongly_and_never_raise_anything_else(
    tmp_path: File, paper: Draft
) -> None:
    file = paper.write(tmp_path)
    content = file.read_bytes()
    dice = random.Random(20240229)
    outcomes = set()
    for _ in range(150):
        spoiled = bytearray(content)
        for _ in range(dice.choice((1, 5, 40))):
            spoiled[dice.randrange(len(spoiled))] = dice.randrange(256)
        file.write_bytes(bytes(spoiled))
        outcomes.add(outcome(file, paper))
    assert {"refused", "not proven"} <= outcomes


def test_random_bytes(tmp_path: File, paper: Draft) -> None:
    dice = random.Random(7)
    file = tmp_path / "noise.pdf"
    for _ in range(30):
        file.write_bytes(b"%PDF-1.7\n" + dice.randbytes(3000) + b"\n%%EOF")
        assert told(file, paper)


def test_no_record(tmp_path: File, paper: Draft) -> None:
    writer = PdfWriter(clone_from=PdfReader(paper.write(tmp_path)))
    del writer.root_object["/Names"]
    file = tmp_path / "bare.pdf"
    writer.write(file)
    with pytest.raises(FileError, match="has no Blocksheet record"):
        prove(file, paper.pattern)


def test_no_pattern_inside_and_none_given(tmp_path: File, paper: Draft) -> None:
    paper.sources.clear()
    with pytest.raises(NotProvenError, match="does not carry its pattern"):
        prove(paper.write(tmp_path))


def test_a_pattern_inside_that_cannot_be_read(tmp_path: File, paper: Draft) -> None:
    with pytest.raises(BlocksheetError, match=r"apron\.pdf, the pattern inside"):
        prove(paper.write(tmp_path))


def changed(record: dict[str, Any], path: str, value: object) -> None:
    *way, last = path.split(".")
    at: Any = record
    for step in way:
        at = at[int(step)] if isinstance(at, list) else at[step]
    if isinstance(at, list):
        at[int(last)] = value
    else:
        at[last] = value


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("format", 2),
        ("format", 4),
        ("format", True),
        ("format", None),
        ("digest", 5),
        ("digest", "x" * 501),
        ("page", [1e300, 297]),
        ("page", [-210, 297]),
        ("page", "A4"),
        ("page.0", float("nan")),
        ("page.0", float("inf")),
        ("page.0", True),
        ("window", [13, 13, 13, 147]),
        ("window", [13, 13, 2000, 147]),
        ("rows", 0),
        ("rows", 1e9),
        ("rows", 10**9),
        ("columns", "4"),
        ("pages", {}),
        ("pages", []),
        ("pages", [{}] * 5001),
        ("pages.0", "A1"),
        ("pages.0.name", ""),
        ("pages.0.name", "A2"),
        ("pages.0.row", -1),
        ("pages.0.row", 7),
        ("pages.0.column", 1),
        ("pages.0.origin", [0]),
        ("pages.0.origin", [1e7, 0]),
        ("placements", None),
        ("placements.0.piece", ["Bib"]),
        ("placements.1.piece", "Bib"),
        ("placements.0.matrix", [1, 0, 0, 1]),
        ("placements.0.matrix.2", "0"),
        ("layers.0.layer", 3),
        ("layers.0.layer", "Pocket"),
        ("layers.0.piece", None),
        ("layers.0.piece", ""),
        ("layers.0.style", "narrow"),
        ("layers.1.style", ["narrow"]),
        ("layers.2.piece", "Bib"),
        ("styles", None),
        ("styles", ["narrow", "narrow"]),
        ("pitch", None),
        ("pitch", [120]),
        ("pitch", [62, 130]),
        ("pitch", [124.1, 130]),
        ("pitch", [120, -130]),
        ("pitch", [120, 0]),
        ("pitch.1", float("nan")),
        ("joint", None),
        ("joint", "glue"),
        ("joint", ["overlap"]),
        ("pieces", None),
        ("pieces", "Bib"),
        ("pieces", [""]),
        ("pieces", ["Bib", "Bib"]),
        ("pieces", [1]),
        ("front", []),
        ("front", ["A1"]),
        ("front", ["start", "start"]),
        ("layers.3.use", "lines"),
        ("layers.3.use", "words"),
        ("layers.3.use", ["marks"]),
        ("layers.3.use", ""),
        ("layers.3.piece", "Apron"),
        ("layers.3.layer", "Bib"),
    ],
)
def test_hostile_records(tmp_path: File, paper: Draft, path: str, value: object) -> None:
    changed(paper.record, path, value)
    with pytest.raises(NotProvenError, match=r"apron\.pdf: .*record"):
        prove(paper.write(tmp_path), paper.pattern)


@pytest.mark.parametrize(
    "words", ["", "[", "[1]", "null", "[" * 100_000, '{"format": ' + "9" * 5000]
)
def test_records_that_are_no_record(
    tmp_path: File, paper: Draft, words: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(json, "dumps", lambda _: words)
    file = paper.write(tmp_path)
    monkeypatch.undo()
    with pytest.raises(NotProvenError, match="record"):
        prove(file, paper.pattern)


def rewritten(file: File, form: str, content: bytes) -> File:
    writer = PdfWriter(clone_from=PdfReader(file))
    stream = writer.pages[1]["/Resources"]["/XObject"][form].get_object()
    stream.set_data(content)
    writer.write(file)
    return file


def test_a_form_that_draws_itself(tmp_path: File, paper: Draft) -> None:
    writer = PdfWriter(clone_from=PdfReader(paper.write(tmp_path)))
    forms = writer.pages[1]["/Resources"]["/XObject"]
    forms["/Bib"][NameObject("/Resources")] = writer.pages[1]["/Resources"]
    forms["/Bib"].set_data(b"/Bib Do /Bib Do")
    file = tmp_path / "loop.pdf"
    writer.write(file)
    assert "nested without end" in told(file, paper)


@pytest.mark.parametrize(
    "content",
    [
        b"1 2 3",
        b"10 m",
        b"/Name 3 m S",
        b"0 0 m 1 1 l S Z",
        b"(never closed",
        b"[1 2",
        b"<</A>> BMC",
        b"EMC",
        b"/Nowhere Do",
        b"/Nowhere gs",
        b"1e5 0 m",
        b"0 0 m " + b"9" * 400 + b" 0 l S",
        b"BI /W 1 ID",
        b"{",
        b"\xff\xfe\x00",
        b"[" * 1000,
        b"<zz> Tj",
    ],
)
def test_senseless_drawing_commands(tmp_path: File, paper: Draft, content: bytes) -> None:
    file = rewritten(paper.write(tmp_path), "/Bib", content)
    assert outcome(file, paper) in ("refused", "not proven")


NINES = "9" * 300


@pytest.mark.parametrize(
    "before",
    [
        f"{NINES} 0 0 1 0 0 cm",
        f"1 0 0 1 {NINES} 0 cm {NINES} 0 0 {NINES} 0 0 cm",
        "0 0 0 0 0 0 cm",
        "1 1 1 1 0 0 cm",
        ".0000000001 0 0 .0000000001 0 0 cm",
        "0 0 1 1 re W n " * 2000,
        "/Artifact BMC " * 60_000,
        "/Bib Do " * 3000,
        "/OC /None BDC",
        "/OC <</layer 0>> BDC 0 0 m 50 50 l S EMC",
        f"{NINES} J [{NINES}] 0 d",
        "0 0 1 1 re f " * 51_000,
    ],
)
def test_absurd_states_of_the_pen(tmp_path: File, paper: Draft, before: str) -> None:
    paper.pages["A1"].before = before
    assert outcome(paper.write(tmp_path), paper) in ("refused", "not proven")


@pytest.mark.parametrize(
    "before",
    [
        f"0 0 {NINES} {NINES} re W n",
        "q 1 0 0 1 0 0 cm " * 20_000,
        "Q " * 100,
        f"{NINES} J [] 0 d",
    ],
)
def test_odd_states_of_the_pen_that_change_nothing(
    tmp_path: File, paper: Draft, before: str
) -> None:
    paper.pages["A1"].before = before
    assert outcome(paper.write(tmp_path), paper) == "proven"


@pytest.mark.parametrize("content", ["", "0 0 m 0 0 l S", "0 0 m S", f"0 0 m {NINES} 1 l S"])
def test_forms_with_nothing_to_measure(tmp_path: File, paper: Draft, content: str) -> None:
    for _, strokes in paper.forms.values():
        strokes[:] = [content]
    assert outcome(paper.write(tmp_path), paper) in ("refused", "not proven")


def test_nothing_placed(tmp_path: File, paper: Draft) -> None:
    paper.record["placements"] = []
    paper.record["layers"] = paper.record["layers"][-2:]
    verdict = prove(paper.write(tmp_path), paper.pattern)
    assert not verdict.proven
    assert verdict.lines == 0
    assert {fault.code for fault in verdict.faults} == {"placement", "extra"}


def test_a_stream_that_unpacks_without_end(tmp_path: File, paper: Draft) -> None:
    writer = PdfWriter(clone_from=PdfReader(paper.write(tmp_path)))
    bomb = DecodedStreamObject()
    bomb.set_data(b"")
    packed = bomb.flate_encode()
    packed._data = zlib.compress(b"\n" * 200_000_000, 9)
    writer.pages[1][NameObject("/Contents")] = writer._add_object(packed)
    file = tmp_path / "bomb.pdf"
    writer.write(file)
    assert file.stat().st_size < 1_000_000
    assert told(file, paper)


def test_many_pages_of_one_large_stream(tmp_path: File, paper: Draft) -> None:
    writer = PdfWriter(clone_from=PdfReader(paper.write(tmp_path)))
    large = DecodedStreamObject()
    large.set_data(b"\n" * 30_000_000)
    held = writer._add_object(large.flate_encode())
    for page in writer.pages:
        page[NameObject("/Contents")] = held
    file = tmp_path / "large.pdf"
    writer.write(file)
    assert "unpack to more than 128 MiB" in told(file, paper)


@pytest.mark.parametrize("tolerance", [0.0, -1.0, float("nan"), float("inf")])
def test_tolerances_that_prove_nothing(tmp_path: File, paper: Draft, tolerance: float) -> None:
    with pytest.raises(NotProvenError, match="proves nothing"):
        prove(paper.write(tmp_path), paper.pattern, tolerance=tolerance)
