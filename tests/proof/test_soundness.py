"""A file that some programs mend and others do not is damaged; one saved again is not."""

from __future__ import annotations

import logging
import re
import shutil
import subprocess
import warnings
import zlib
from pathlib import Path as File

import pypdfium2 as pdfium
import pytest
from publication_builder import Draft
from pypdf import PdfReader, PdfWriter
from pypdf.generic import DecodedStreamObject, IndirectObject, NameObject

from tiler import job
from tiler.intake.sheetfile.careful import careful
from tiler.pattern.errors import ExitCode, FileError
from tiler.proof import prove
from tiler.proof.soundness import check_objects

ENTRY = re.compile(rb"(\d{10}) (\d{5}) n")


@pytest.fixture(scope="module")
def hat(tmp_path_factory: pytest.TempPathFactory) -> File:
    pattern = job.read(File("demo:hat"))
    return job.publish(
        pattern, [job.Surface("a4")], tmp_path_factory.mktemp("hat"), packing=job.Packing("quick")
    )[0].file


def damaged(content: bytes, folder: File) -> str:
    file = folder / "damaged.pdf"
    file.write_bytes(content)
    with pytest.raises(FileError) as caught:
        prove(file)
    assert caught.value.exit_code is ExitCode.BAD_INPUT
    text = str(caught.value)
    assert text.startswith(f"{file}: the PDF is damaged (")
    assert text.endswith("Copy or download it again, or publish it again.")
    return text


def entries(content: bytes) -> list[re.Match[bytes]]:
    found = list(ENTRY.finditer(content, content.rindex(b"\nxref")))
    assert len(found) > 20
    return found


def with_entry(content: bytes, entry: re.Match[bytes], words: bytes) -> bytes:
    assert len(words) == entry.end() - entry.start()
    return content[: entry.start()] + words + content[entry.end() :]


def test_every_entry_of_the_table_counts(hat: File, tmp_path: File) -> None:
    content = hat.read_bytes()
    found = entries(content)
    for number, entry in enumerate(found):
        offset, other = int(entry[1]), int(found[number - 1][1])
        ways = (
            b"%010d %s n" % (offset + 2000, entry[2]),
            b"%010d %s n" % (other, entry[2]),
            b"%010d %s n" % (3 * 10**9, entry[2]),
            entry[0][:-1] + b"f",
        )
        # A few entries in every way, and each of the others in one.
        for words in ways if number < 5 else ways[number % 4 :][:1]:
            damaged(with_entry(content, entry, words), tmp_path)


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b"\nxref\n0 ", b"\nxref\n1 "),
        (b"\nstartxref\n", b"\nstartxref\n1"),
        (b"\n%%EOF", b"\n%%EOF\n%%EOF"),
        (b"%PDF-", b" %PDF-"),
        (b"/Type /Catalog", b"/Type /Cutalog"),
    ],
)
def test_damage_beside_the_entries(hat: File, tmp_path: File, old: bytes, new: bytes) -> None:
    content = hat.read_bytes()
    assert content.count(old) == 1
    damaged(content.replace(old, new), tmp_path)


def test_every_object_is_written_by_the_rules(hat: File, tmp_path: File) -> None:
    # What other programs trip over, one letter at a time.
    content = hat.read_bytes()
    for word in (rb" obj\n", rb">>", rb"endobj", rb"endstream", rb"/Subtype/Form", rb"stream\n"):
        spots = list(re.finditer(word, content))
        assert len(spots) > 5
        for spot in spots[:: max(1, len(spots) // 12)]:
            at = spot.start() + 2
            damaged(content[:at] + b"z" + content[at + 1 :], tmp_path)


def streams(content: bytes) -> list[tuple[int, int]]:
    found = [
        match.span(1) for match in re.finditer(rb"(?<!end)stream\r?\n(.*?)endstream", content, re.S)
    ]
    packed = [(a, b) for a, b in found if content[a : a + 1] == b"\x78"]
    assert len(packed) > 10
    return packed


def test_every_packed_stream_is_read_to_its_checksum(hat: File, tmp_path: File) -> None:
    content = hat.read_bytes()
    for start, end in streams(content):
        unpacking = zlib.decompressobj()
        unpacking.decompress(content[start:end])
        last = end - len(unpacking.unused_data) - 1
        spoiled = bytearray(content)
        spoiled[last] ^= 1
        damaged(bytes(spoiled), tmp_path)


@pytest.mark.parametrize("cut", [1, 4, 5])
def test_a_packed_stream_that_ends_too_early(paper: Draft, tmp_path: File, cut: int) -> None:
    writer = PdfWriter(clone_from=PdfReader(paper.write(tmp_path)))
    page = writer.pages[1]
    whole = DecodedStreamObject()
    whole.set_data(page.get_contents().get_data() + b"\n" * 50)
    packed = whole.flate_encode()
    page[NameObject("/Contents")] = writer._add_object(packed)
    writer.write(tmp_path / "whole.pdf")
    assert prove(tmp_path / "whole.pdf", paper.pattern).proven
    packed._data = packed._data[:-cut]
    writer.write(tmp_path / "cut.pdf")
    with pytest.raises(FileError, match=r"the PDF is damaged .*does not end where it should"):
        prove(tmp_path / "cut.pdf", paper.pattern)


@pytest.mark.parametrize("change", [-3, 4, 400])
def test_a_stream_of_another_length_than_it_says(hat: File, tmp_path: File, change: int) -> None:
    content = hat.read_bytes()
    lengths = list(re.finditer(rb"/Length (\d+)(?=\s|/|>)", content))
    assert len(lengths) > 10
    for entry in lengths:
        words = str(int(entry[1]) + change).encode().rjust(len(entry[1]), b"0")
        if len(words) == len(entry[1]):
            damaged(content[: entry.start(1)] + words + content[entry.end(1) :], tmp_path)


def test_a_reference_to_nothing(paper: Draft, tmp_path: File) -> None:
    writer = PdfWriter(clone_from=PdfReader(paper.write(tmp_path)))
    writer.root_object[NameObject("/Lost")] = IndirectObject(4711, 0, writer)
    writer.write(tmp_path / "lost.pdf")
    with pytest.raises(FileError, match=r"the PDF is damaged \(.*object 4711 0 is missing"):
        prove(tmp_path / "lost.pdf", paper.pattern)


def test_a_sound_file_has_nothing_to_complain_about(hat: File) -> None:
    reader = PdfReader(hat, strict=True)
    with careful("hat"):
        check_objects(reader, hat.read_bytes())
    assert len(reader.resolved_objects) > 20


def test_every_complaint_counts_and_none_reaches_the_screen(
    capfd: pytest.CaptureFixture[str], caplog: pytest.LogCaptureFixture
) -> None:
    logger = logging.getLogger("pypdf")
    before = logger.level, logger.propagate, list(logger.handlers)
    with pytest.raises(FileError, match=r"^name: the PDF is damaged \(mended 3\)"), careful("name"):
        logging.getLogger("pypdf._reader").warning("mended %d", 3)
    with pytest.raises(FileError, match=r"^name: the PDF is damaged \(odd\)"), careful("name"):
        warnings.warn("odd", UserWarning, stacklevel=1)
    with careful("name"):
        logging.getLogger("pypdf._reader").info("nothing")
        warnings.warn("soon gone", DeprecationWarning, stacklevel=1)
    assert (logger.level, logger.propagate, list(logger.handlers)) == before
    assert capfd.readouterr() == ("", "")
    assert caplog.records == []


def qpdf(file: File, target: File, *options: str) -> File:
    program = shutil.which("qpdf")
    assert program, "the tests need qpdf"
    subprocess.run([program, *options, str(file), str(target)], check=True, capture_output=True)
    return target


@pytest.mark.parametrize(
    "options",
    [
        ["--linearize"],
        ["--object-streams=generate"],
        ["--object-streams=generate", "--linearize"],
        ["--object-streams=disable"],
        ["--qdf"],
        ["--stream-data=uncompress"],
        ["--recompress-flate", "--compression-level=9"],
    ],
)
def test_saved_again_by_qpdf(hat: File, tmp_path: File, options: list[str]) -> None:
    again = qpdf(hat, tmp_path / "again.pdf", *options)
    assert again.read_bytes() != hat.read_bytes()
    assert prove(again).proven


def test_saved_again_by_pdfium(hat: File, tmp_path: File) -> None:
    document = pdfium.PdfDocument(hat)
    document.save(tmp_path / "again.pdf")
    document.close()
    assert prove(tmp_path / "again.pdf").proven


def test_saved_again_by_pypdf(hat: File, tmp_path: File) -> None:
    writer = PdfWriter(clone_from=PdfReader(hat))
    for page in writer.pages:
        page.compress_content_streams()
    writer.write(tmp_path / "again.pdf")
    assert prove(tmp_path / "again.pdf").proven
    added = PdfWriter(hat, incremental=True)
    added.add_metadata({"/Title": "Sun hat"})
    added.write(tmp_path / "added.pdf")
    assert (tmp_path / "added.pdf").read_bytes().startswith(hat.read_bytes())
    assert prove(tmp_path / "added.pdf").proven


@pytest.mark.parametrize(
    "how",
    [
        ["--encrypt", "", "", "256", "--"],
        ["--encrypt", "reader", "owner", "256", "--"],
        ["--allow-weak-crypto", "--encrypt", "reader", "owner", "128", "--use-aes=y", "--"],
        ["--allow-weak-crypto", "--encrypt", "", "owner", "128", "--"],
        ["--allow-weak-crypto", "--encrypt", "reader", "owner", "40", "--"],
    ],
)
def test_locked_files(hat: File, tmp_path: File, how: list[str]) -> None:
    locked = qpdf(hat, tmp_path / "locked.pdf", *how)
    with pytest.raises(FileError) as caught:
        prove(locked)
    assert str(caught.value) == (
        f"{locked}: the PDF is locked. Save it without a password and try again."
    )


def test_the_file_is_named_as_it_was_given(
    hat: File, tmp_path: File, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    File("there").mkdir()
    File("there/hat.pdf").write_bytes(b"%PDF-1.7\n")
    with pytest.raises(FileError, match=r"^there/hat\.pdf: the PDF is cut short"):
        prove(File("there/hat.pdf"))
    with pytest.raises(FileError, match=r"^there/cap\.pdf: the file cannot be read"):
        prove(File("there/cap.pdf"))
