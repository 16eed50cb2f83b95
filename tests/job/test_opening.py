"""A pattern comes out of a published file byte for byte, into a folder of its own or not at all."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from tests.intake.sheetfile.pdfs import FLAP, GOOD, Sheet, digest_of
from tiler import job
from tiler.intake.sheetfile.record import NEWEST
from tiler.job.opening import open_published
from tiler.job.projecting import project
from tiler.layout.mats.mat import Mat
from tiler.output.newfolder import write_new_folder
from tiler.pattern.affine import Point
from tiler.pattern.errors import FileError
from tiler.proof import prove
from tiler.sheets.record import RECORD_FORMAT

DRAWING = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm" viewBox="0 0 200 200">'
    '<path class="cut" d="M10 10 H110 V130 H10 Z"/></svg>\n'
)


@pytest.fixture(scope="module")
def pouch(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A pattern folder whose files no two editors would write alike."""
    folder = tmp_path_factory.mktemp("pouch")
    (folder / "Klappe").mkdir()
    (folder / "pattern.toml").write_bytes(
        "\ufefftitle = 'Seed pouch'\r\n\r\n[[piece]]\r\nname = 'Flap'\r\n"
        "drawing = 'Klappe/Größe 1.svg'\r\n# the end".encode()
    )
    (folder / "Klappe/Größe 1.svg").write_bytes(DRAWING.encode() + b"<!-- \t -->\n\n")
    return folder


@pytest.fixture(scope="module")
def sheets(pouch: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return published(pouch, tmp_path_factory.mktemp("sheets"))


def published(source: Path, out: Path, paper: str = "a4") -> Path:
    packing = job.Packing("quick")
    return job.publish(job.read(source), [job.Surface(paper)], out, packing=packing)[0].file


def contents(folder: Path) -> dict[str, bytes]:
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


def test_the_folder_comes_back_byte_for_byte(pouch: Path, sheets: Path, tmp_path: Path) -> None:
    opened = open_published(sheets, tmp_path / "taken")
    assert contents(tmp_path / "taken") == contents(pouch)
    assert opened.title == "Seed pouch"
    assert opened.digest == job.read(pouch).digest
    assert opened.printed


@pytest.mark.parametrize("paper", ["letter", "a0", "roll:914mm"])
def test_what_was_opened_is_published_and_proven_on_other_paper(
    sheets: Path, tmp_path: Path, paper: str
) -> None:
    opened = open_published(sheets, tmp_path / "taken")
    again = published(opened.pattern, tmp_path / "again", paper)
    assert prove(again).proven
    assert open_published(again, tmp_path / "once more").digest == opened.digest


def test_pictures_for_a_projector_carry_their_pattern_as_well(pouch: Path, tmp_path: Path) -> None:
    corners = (Point(-40, -30), Point(780, -60), Point(740, 560), Point(-20, 520))
    mat = Mat("Kitchen table", 1280, 720, 700, 450, corners)
    done = project(job.read(pouch), mat, tmp_path)
    open_published(done.pdf, tmp_path / "taken")
    assert contents(tmp_path / "taken") == contents(pouch)


def test_a_name_that_could_not_be_opened_again_is_told_when_it_is_published(
    tmp_path: Path,
) -> None:
    drawing = tmp_path / "aux.svg"
    drawing.write_text(DRAWING)
    packing = job.Packing("quick")
    done = job.publish(job.read(drawing), [job.Surface("a4")], tmp_path, packing=packing)[0]
    assert any("'aux.svg' is the name of a device" in finding.text for finding in done.findings)
    with pytest.raises(FileError, match="name of a device"):
        open_published(done.file, tmp_path / "taken")


def test_a_drawing_alone_comes_back_under_its_name(tmp_path: Path) -> None:
    drawing = tmp_path / "flap.svg"
    drawing.write_text(DRAWING)
    opened = open_published(published(drawing, tmp_path / "sheets"), tmp_path / "taken")
    assert opened.pattern == tmp_path / "taken" / "flap.svg"
    assert opened.pattern.read_text() == DRAWING


def test_an_empty_folder_is_filled_and_any_other_is_left(
    pouch: Path, sheets: Path, tmp_path: Path
) -> None:
    empty = tmp_path / "empty"
    empty.mkdir()
    open_published(sheets, empty)
    assert contents(empty) == contents(pouch)
    (empty / "pattern.toml").write_text("mine")
    with pytest.raises(FileError, match="is not empty"):
        open_published(sheets, empty)
    assert (empty / "pattern.toml").read_text() == "mine"
    with pytest.raises(FileError, match="is no folder"):
        open_published(sheets, sheets)


def test_a_link_is_not_followed(sheets: Path, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "link").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(FileError, match="is no folder"):
        open_published(sheets, tmp_path / "link")
    assert not contents(tmp_path / "elsewhere")


def test_the_folder_one_is_in_is_left(
    sheets: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "here").mkdir()
    monkeypatch.chdir(tmp_path / "here")
    with pytest.raises(FileError, match="folder you are in"):
        open_published(sheets, Path())


def test_when_writing_fails_half_way_nothing_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(FileError, match="no space left"):
        write_new_folder(tmp_path / "sub" / "taken", {"a.svg": b"x", "b/c.svg": b"y"})
    assert not list(tmp_path.iterdir())


def test_the_title_told_is_that_of_the_pattern_that_was_written(tmp_path: Path) -> None:
    """A record may call it otherwise, for a joke or worse."""
    said = {"title": "Ball gown", "digest": digest_of(GOOD), "format": RECORD_FORMAT}
    sheet = tmp_path / "sheet.pdf"
    sheet.write_bytes(Sheet(record=json.dumps(said).encode()).written())
    assert open_published(sheet, tmp_path / "taken").title == "Seed pouch"
    alone = {"flap.svg": FLAP}
    said["digest"] = digest_of(alone)
    sheet.write_bytes(Sheet(alone, json.dumps(said).encode()).written())
    assert open_published(sheet, tmp_path / "drawing").title == "flap"


def test_records_are_read_up_to_the_format_that_is_written() -> None:
    assert NEWEST == RECORD_FORMAT
