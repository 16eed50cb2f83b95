"""Several sheets and free turns through the real writer, and the same files altered afterwards."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path as File
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pypdf import PdfReader, PdfWriter
from pypdf.generic import ArrayObject, DecodedStreamObject, DictionaryObject, NameObject

from tiler import job
from tiler.drafting.paper import for_paper
from tiler.layout.ink import chords_of
from tiler.layout.papers import find_paper
from tiler.layout.plan import Placement, Plan
from tiler.layout.settle import settle
from tiler.layout.tiles import PageSetup
from tiler.output.pdf import pdf_bytes
from tiler.pattern.affine import Affine
from tiler.pattern.model import Pattern
from tiler.proof import prove
from tiler.sheets.publication import lay_out
from tiler.sheets.ways import Way

#: Farther apart than the largest piece is wide: every piece gets a sheet of its own.
FAR = 5000.0


@pytest.fixture(scope="module")
def hat() -> Pattern:
    return for_paper(job.read(File("demo:hat")))


def planned(pattern: Pattern, turns: list[float], far: float = FAR, paper: str = "a4") -> Plan:
    """The pieces in a row, each turned by some degrees."""
    setup = PageSetup(find_paper(paper))
    at = [
        Affine.turn(turn).then(Affine.move(number * far + turn, 2 * turn))
        for number, turn in enumerate(turns)
    ]
    settled = settle(setup, [chords_of(piece) for piece in pattern.pieces], at)
    placements = tuple(map(Placement, pattern.pieces, settled.at))
    return Plan(settled.grid, placements, settled.cells)


def written(plan: Plan, pattern: Pattern, folder: File, **how: Any) -> File:
    file = folder / "sheets.pdf"
    file.write_bytes(pdf_bytes(lay_out(pattern, plan, **how)))
    return file


@settings(
    max_examples=6, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(turn=st.floats(-180, 180), far=st.sampled_from([FAR, 150.0]), way=st.sampled_from(Way))
def test_any_turns_on_any_sheets_are_proven(
    hat: Pattern, tmp_path: File, turn: float, far: float, way: Way
) -> None:
    turns = [turn + 53.7 * number for number in range(len(hat.pieces))]
    plan = planned(hat, turns, far)
    assert far < FAR or len(plan.sheets) == len(hat.pieces)
    verdict = prove(written(plan, hat, tmp_path, way=way))
    assert verdict.faults == ()
    assert verdict.proven
    assert verdict.worst < 0.0005


@pytest.fixture(scope="module")
def sheets(hat: Pattern, tmp_path_factory: pytest.TempPathFactory) -> File:
    """Each piece on a sheet of its own; the first pieces need several pages."""
    plan = planned(hat, [12.0 + 31 * number for number in range(len(hat.pieces))])
    assert max(len(cells) for cells in plan.sheets) > 1
    return written(plan, hat, tmp_path_factory.mktemp("sheets"))


def altered(file: File, folder: File, change: Callable[[PdfWriter], None]) -> File:
    writer = PdfWriter(clone_from=PdfReader(file))
    change(writer)
    target = folder / "altered.pdf"
    writer.write(target)
    return target


def record_of(file: File) -> dict[str, Any]:
    (content,) = PdfReader(file).attachments["blocksheet.json"]
    record: dict[str, Any] = json.loads(content)
    return record


def with_record(file: File, folder: File, record: dict[str, Any]) -> File:
    def change(writer: PdfWriter) -> None:
        names = writer.root_object["/Names"]["/EmbeddedFiles"]["/Names"]
        held = names[names.index("blocksheet.json") + 1].get_object()["/EF"]
        stream = DecodedStreamObject()
        stream.set_data(json.dumps(record).encode())
        held[NameObject("/F")] = held[NameObject("/UF")] = writer._add_object(stream)

    return altered(file, folder, change)


def group_called(writer: PdfWriter, name: str) -> DictionaryObject:
    groups = writer.root_object["/OCProperties"]["/OCGs"]
    (found,) = (group for group in groups if group.get_object()["/Name"] == name)
    return found


def layer_of(file: File, use: str) -> str:
    (name,) = (each["layer"] for each in record_of(file)["layers"] if each.get("use") == use)
    return str(name)


def faults_of(file: File) -> set[tuple[str, str]]:
    return {(fault.code, fault.where) for fault in prove(file).faults}


def test_the_file_itself_is_proven(sheets: File, tmp_path: File) -> None:
    assert prove(sheets).proven
    assert prove(with_record(sheets, tmp_path, record_of(sheets))).proven


def test_crosses_between_two_pages_taken_out(sheets: File, tmp_path: File) -> None:
    """The marks stay on paper, but nothing says any longer that they are crosses."""

    def change(writer: PdfWriter) -> None:
        for page in writer.pages:
            content = DecodedStreamObject()
            data = page.get_contents().get_data()
            content.set_data(re.sub(rb"/Joint 1>>", b">>", data))
            page[NameObject("/Contents")] = writer._add_object(content)

    first, second = [page["name"] for page in record_of(sheets)["pages"][:2]]
    assert ("joint", f"{first} and {second}") in faults_of(altered(sheets, tmp_path, change))


def test_drawings_of_crosses_that_do_not_say_so(sheets: File, tmp_path: File) -> None:
    """A page says which joint it is; what its drawings are, stands in the drawings."""

    def change(writer: PdfWriter) -> None:
        for held in writer.pages[-1]["/Resources"]["/XObject"].values():
            form = held.get_object()
            form.set_data(re.sub(rb"/Point \d", b"", form.get_data()))

    names = [page["name"] for page in record_of(sheets)["pages"]]
    found = faults_of(altered(sheets, tmp_path, change))
    assert ("joint", f"{names[0]} and {names[1]}") in found


def test_a_page_put_beside_another_sheet_by_the_record(sheets: File, tmp_path: File) -> None:
    record = record_of(sheets)
    last, before = record["pages"][-1], record["pages"][0]
    last["origin"] = [before["origin"][0] - record["pitch"][0], before["origin"][1]]
    found = faults_of(with_record(sheets, tmp_path, record))
    assert ("joint", f"{before['name']} and {last['name']}") in found
    assert {code for code, _ in found} >= {"joint", "gap"}


def test_a_whole_sheet_moved_by_the_record_over_another(sheets: File, tmp_path: File) -> None:
    """Pages, piece and lines agree with each other, and yet two sheets lie in one place."""
    record = record_of(sheets)
    last, before = record["pages"][-1], record["pages"][-2]
    (placement,) = (
        each for each in record["placements"] if each["piece"] == last_piece(record, sheets)
    )
    by = [before["origin"][k] - last["origin"][k] + 3.0 for k in (0, 1)]
    last["origin"] = [last["origin"][k] + by[k] for k in (0, 1)]
    placement["matrix"][4:] = [placement["matrix"][4 + k] + by[k] for k in (0, 1)]
    found = faults_of(with_record(sheets, tmp_path, record))
    assert ("overlap", f"{before['name']} and {last['name']}") in found


def last_piece(record: dict[str, Any], file: File) -> str:
    """The piece whose origin is nearest to the middle of the last page."""
    x, y = record["pages"][-1]["origin"]
    middle = x + record["page"][0] / 2, y + record["page"][1] / 2
    pieces = sorted(
        record["placements"],
        key=lambda each: abs(each["matrix"][4] - middle[0]) + abs(each["matrix"][5] - middle[1]),
    )
    return str(pieces[0]["piece"])


@pytest.mark.parametrize("use", ["marks", "words"])
def test_cut_lines_hung_into_another_layer(sheets: File, tmp_path: File, use: str) -> None:
    name = layer_of(sheets, use)
    piece = next(each["layer"] for each in record_of(sheets)["layers"] if each.get("piece"))

    def change(writer: PdfWriter) -> None:
        other = group_called(writer, name)
        for page in writer.pages:
            for form in page["/Resources"]["/XObject"].values():
                form = form.get_object()
                if form.get("/OC", {}).get("/Name") == piece:
                    form[NameObject("/OC")] = other

    codes = {code for code, _ in faults_of(altered(sheets, tmp_path, change))}
    assert codes == {"missing", "extra"}


@pytest.mark.parametrize("use", ["marks", "words"])
def test_a_layer_that_is_off_in_print(sheets: File, tmp_path: File, use: str) -> None:
    name = layer_of(sheets, use)

    def change(writer: PdfWriter) -> None:
        usage = (
            group_called(writer, name)
            .get_object()
            .setdefault(NameObject("/Usage"), DictionaryObject())
        )
        state = DictionaryObject({NameObject("/PrintState"): NameObject("/OFF")})
        usage.get_object()[NameObject("/Print")] = state

    found = faults_of(altered(sheets, tmp_path, change))
    # The writer lets both layers share one usage.
    assert {code for code, _ in found} == {"hidden"}
    assert name in {where for _, where in found}


def test_a_layer_switched_off(sheets: File, tmp_path: File) -> None:
    name = layer_of(sheets, "marks")

    def change(writer: PdfWriter) -> None:
        off = ArrayObject([group_called(writer, name)])
        writer.root_object["/OCProperties"]["/D"][NameObject("/OFF")] = off

    assert faults_of(altered(sheets, tmp_path, change)) == {("hidden", name)}


def test_a_list_of_pieces_that_lies(sheets: File, tmp_path: File, hat: Pattern) -> None:
    record = record_of(sheets)
    names = [piece.name for piece in hat.pieces]
    record["pieces"] = names[:1]
    codes = {code for code, _ in faults_of(with_record(sheets, tmp_path, record))}
    assert codes == {"extra"}
    record["pieces"] = [*names, "Feather"]
    assert faults_of(with_record(sheets, tmp_path, record)) == {("pieces", "Feather")}


def test_some_pieces_are_proven_by_the_record(hat: Pattern, tmp_path: File) -> None:
    name = hat.pieces[0].name
    plan = planned(hat, [5.0 + 77 * number for number in range(len(hat.pieces))], far=150.0)
    file = written(plan, hat, tmp_path, pieces=[name])
    verdict = prove(file)
    assert verdict.faults == ()
    assert verdict.proven
    assert verdict.pieces == 1
    assert [finding.code for finding in verdict.findings] == ["some-pieces"]
    # The same file claims to be all of it.
    record = record_of(file)
    record["pieces"] = []
    codes = {code for code, _ in faults_of(with_record(file, tmp_path, record))}
    assert codes >= {"placement"}
