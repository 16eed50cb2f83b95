"""The demo patterns as they are really published, and the same files spoiled afterwards."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path as File
from typing import Any

import pytest
from pypdf import PdfReader, PdfWriter
from pypdf.generic import ArrayObject, DecodedStreamObject, NameObject, StreamObject

from tests.laying import laid
from tiler import job
from tiler.drafting.paper import for_paper
from tiler.layout.papers import find_paper
from tiler.layout.tiles import PageSetup
from tiler.output.pdf import pdf_bytes
from tiler.proof import prove
from tiler.sheets.publication import lay_out

PT = 72 / 25.4


@pytest.fixture(scope="module")
def hat(tmp_path_factory: pytest.TempPathFactory) -> File:
    pattern = job.read(File("demo:hat"))
    return job.publish(
        pattern, [job.Surface("a4")], tmp_path_factory.mktemp("hat"), packing=job.Packing("quick")
    )[0].file


def spoiled(file: File, folder: File, change: Callable[[PdfWriter], None]) -> File:
    writer = PdfWriter(clone_from=PdfReader(file))
    change(writer)
    target = folder / "spoiled.pdf"
    writer.write(target)
    return target


def record_of(file: File) -> dict[str, Any]:
    (content,) = PdfReader(file).attachments["blocksheet.json"]
    record: dict[str, Any] = json.loads(content)
    return record


def put_before(writer: PdfWriter, index: int, operators: str) -> None:
    page = writer.pages[index]
    content = DecodedStreamObject()
    content.set_data(operators.encode() + b"\n" + page.get_contents().get_data())
    page[NameObject("/Contents")] = writer._add_object(content)


def test_the_file_itself_is_proven_by_what_it_carries(hat: File) -> None:
    verdict = prove(hat)
    assert verdict.faults == ()
    assert verdict.proven
    assert verdict.pages == len(PdfReader(hat).pages) - len(record_of(hat)["front"])
    assert verdict.worst < 0.001


def test_saving_it_again_with_another_tool_changes_nothing(hat: File, tmp_path: File) -> None:
    assert prove(spoiled(hat, tmp_path, lambda writer: writer.compress_identical_objects())).proven


@pytest.mark.parametrize("which", [0, 1, 2])
@pytest.mark.parametrize("far", [0.02, 0.2])
def test_a_displaced_page(hat: File, tmp_path: File, which: int, far: float) -> None:
    index = len(record_of(hat)["front"]) + which
    name = PdfReader(hat).page_labels[index]
    move = f"1 0 0 1 0 {far * PT:.6f} cm"
    verdict = prove(spoiled(hat, tmp_path, lambda writer: put_before(writer, index, move)))
    assert verdict.worst == pytest.approx(far, abs=0.001)
    assert verdict.proven == (far <= 0.05)
    assert {fault.where for fault in verdict.faults} == ({name} if far > 0.05 else set())


def test_a_shrunken_page(hat: File, tmp_path: File) -> None:
    shrink = "0.97 0 0 0.97 0 0 cm"
    verdict = prove(spoiled(hat, tmp_path, lambda writer: put_before(writer, -1, shrink)))
    assert not verdict.proven
    assert {"measure", "moved"} <= {fault.code for fault in verdict.faults}


def test_a_page_taken_out(hat: File, tmp_path: File) -> None:
    name = PdfReader(hat).page_labels[-1]

    def without(writer: PdfWriter) -> None:
        writer.remove_page(len(writer.pages) - 1)

    verdict = prove(spoiled(hat, tmp_path, without))
    assert not verdict.proven
    assert [str(fault) for fault in verdict.faults if fault.code == "pages"] == [
        f"{name}: the page is missing"
    ]


def test_a_form_bent_by_a_thousandth(hat: File, tmp_path: File) -> None:
    def bend(writer: PdfWriter) -> None:
        forms = writer.pages[1]["/Resources"]["/XObject"]
        form = next(form.get_object() for form in forms.values() if "/OC" in form.get_object())
        form.set_data(b"1.001 0 0 1 0 0 cm\n" + form.get_data())

    verdict = prove(spoiled(hat, tmp_path, bend))
    assert "moved" in {fault.code for fault in verdict.faults}


def test_every_line_of_a_form_counts(hat: File, tmp_path: File) -> None:
    def thin_out(writer: PdfWriter) -> None:
        # The first line or curve of some form in a layer becomes a mere move.
        line = re.compile(rb"(?<=\d) [lc](?=\s)")
        form = next(
            form for form in _all_forms(writer) if "/OC" in form and line.search(form.get_data())
        )
        form.set_data(line.sub(b" m", form.get_data(), count=1))

    verdict = prove(spoiled(hat, tmp_path, thin_out))
    assert "missing" in {fault.code for fault in verdict.faults}


@pytest.mark.parametrize("styles", [(), ("narrow",), ("wide",), ("wide", "narrow")])
def test_chosen_styles_are_proven_by_the_record_and_the_carried_pattern(
    tmp_path: File, styles: tuple[str, ...]
) -> None:
    """Whoever gets one style alone can prove it, though the file carries the whole pattern."""
    pattern = for_paper(job.read(File("demo:hat")), styles)
    plan = laid(pattern, [PageSetup(find_paper("a4"))])
    publication = lay_out(pattern, plan, styles=styles)
    names = ["wide", "narrow"] if len(styles) != 1 else []
    assert list(publication.layers[: len(names)]) == names
    file = tmp_path / "hat.pdf"
    file.write_bytes(pdf_bytes(publication))
    verdict = prove(file)
    assert verdict.faults == ()
    assert verdict.proven


def test_other_styles_than_the_record_says_are_not_proven(tmp_path: File) -> None:
    pattern = for_paper(job.read(File("demo:hat")), ("narrow",))
    plan = laid(pattern, [PageSetup(find_paper("a4"))])
    file = tmp_path / "hat.pdf"
    file.write_bytes(pdf_bytes(lay_out(pattern, plan, styles=("wide",))))
    assert {fault.code for fault in prove(file).faults} >= {"missing"}


@pytest.mark.parametrize("style", ["wide", "narrow"])
def test_a_style_that_is_off_when_the_file_is_opened(hat: File, tmp_path: File, style: str) -> None:
    def switch_off(writer: PdfWriter) -> None:
        properties = writer.root_object["/OCProperties"]
        groups = [g for g in properties["/OCGs"] if g.get_object()["/Name"] == style]
        properties["/D"][NameObject("/OFF")] = ArrayObject(groups)

    verdict = prove(spoiled(hat, tmp_path, switch_off))
    assert {(fault.code, fault.where) for fault in verdict.faults} == {("hidden", style)}


def test_a_styles_line_put_into_the_layer_of_its_piece(hat: File, tmp_path: File) -> None:
    """It would be printed with every style."""

    def take_out(writer: PdfWriter) -> None:
        for held in _all_forms(writer):
            if held.get("/OC", {}).get("/Name") == "narrow":
                del held["/OC"]

    codes = {fault.code for fault in prove(spoiled(hat, tmp_path, take_out)).faults}
    assert codes == {"missing", "extra"}


def _all_forms(writer: PdfWriter) -> list[StreamObject]:
    """The forms of all pages, and those inside them."""
    outer = [
        form.get_object()
        for page in writer.pages
        for form in page["/Resources"]["/XObject"].get_object().values()
    ]
    return outer + _forms_in(writer)


def _forms_in(writer: PdfWriter) -> list[StreamObject]:
    """The forms inside the forms of all pages."""
    outer = [
        form.get_object()
        for page in writer.pages
        for form in page["/Resources"]["/XObject"].get_object().values()
    ]
    return [
        form.get_object()
        for each in outer
        for form in each.get("/Resources", {}).get("/XObject", {}).values()
    ]
