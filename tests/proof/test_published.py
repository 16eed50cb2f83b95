"""The demo patterns as they are really published, and the same files spoiled afterwards."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path as File

import pytest
from pypdf import PdfReader, PdfWriter
from pypdf.generic import DecodedStreamObject, NameObject

from tiler import job
from tiler.proof import prove

PT = 72 / 25.4


@pytest.fixture(scope="module")
def hat(tmp_path_factory: pytest.TempPathFactory) -> File:
    pattern = job.read(File("demo:hat"))
    return job.publish(pattern, [job.Surface("a4")], tmp_path_factory.mktemp("hat"))[0].file


def spoiled(file: File, folder: File, change: Callable[[PdfWriter], None]) -> File:
    writer = PdfWriter(clone_from=PdfReader(file))
    change(writer)
    target = folder / "spoiled.pdf"
    writer.write(target)
    return target


def put_before(writer: PdfWriter, index: int, operators: str) -> None:
    page = writer.pages[index]
    content = DecodedStreamObject()
    content.set_data(operators.encode() + b"\n" + page.get_contents().get_data())
    page[NameObject("/Contents")] = writer._add_object(content)


def test_the_file_itself_is_proven_by_what_it_carries(hat: File) -> None:
    verdict = prove(hat)
    assert verdict.faults == ()
    assert verdict.proven
    assert verdict.pages == len(PdfReader(hat).pages) - 1
    assert verdict.worst < 0.001


def test_saving_it_again_with_another_tool_changes_nothing(hat: File, tmp_path: File) -> None:
    assert prove(spoiled(hat, tmp_path, lambda writer: writer.compress_identical_objects())).proven


@pytest.mark.parametrize("index", [1, 2, 3])
@pytest.mark.parametrize("far", [0.02, 0.2])
def test_a_displaced_page(hat: File, tmp_path: File, index: int, far: float) -> None:
    name = PdfReader(hat).page_labels[index]
    move = f"1 0 0 1 0 {far * PT:.6f} cm"
    verdict = prove(spoiled(hat, tmp_path, lambda writer: put_before(writer, index, move)))
    assert verdict.worst == pytest.approx(far, abs=0.001)
    assert verdict.proven == (far <= 0.05)
    assert {fault.where for fault in verdict.faults} == ({name} if far > 0.05 else set())


def test_a_shrunken_page(hat: File, tmp_path: File) -> None:
    shrink = "0.97 0 0 0.97 0 0 cm"
    verdict = prove(spoiled(hat, tmp_path, lambda writer: put_before(writer, 1, shrink)))
    assert not verdict.proven
    assert "measure" in {fault.code for fault in verdict.faults}


def test_a_page_taken_out(hat: File, tmp_path: File) -> None:
    name = PdfReader(hat).page_labels[2]

    def without(writer: PdfWriter) -> None:
        writer.remove_page(2)

    verdict = prove(spoiled(hat, tmp_path, without))
    assert not verdict.proven
    assert any(fault.code == "pages" for fault in verdict.faults), name


def test_a_form_bent_by_a_thousandth(hat: File, tmp_path: File) -> None:
    def bend(writer: PdfWriter) -> None:
        forms = writer.pages[1]["/Resources"]["/XObject"]
        form = next(form.get_object() for form in forms.values() if "/OC" in form.get_object())
        form.set_data(b"1.001 0 0 1 0 0 cm\n" + form.get_data())

    verdict = prove(spoiled(hat, tmp_path, bend))
    assert "moved" in {fault.code for fault in verdict.faults}


def test_every_line_of_a_form_counts(hat: File, tmp_path: File) -> None:
    def thin_out(writer: PdfWriter) -> None:
        forms = writer.pages[1]["/Resources"]["/XObject"]
        form = next(form.get_object() for form in forms.values() if "/OC" in form.get_object())
        # The first line or curve becomes a mere move.
        form.set_data(re.sub(rb"(?<=\d) [lc](?=\s)", b" m", form.get_data(), count=1))

    verdict = prove(spoiled(hat, tmp_path, thin_out))
    assert "missing" in {fault.code for fault in verdict.faults}
