"""What the notes tell of a published file is the same from the writer and from the file."""

from __future__ import annotations

import errno
from dataclasses import replace
from pathlib import Path

import pytest

from tests.demos import drafted_demo
from tiler.job import Packing, Surface, publish, read
from tiler.job.notes import NoteWishes, facts_of, file_facts, lay_facts, print_facts, write_notes
from tiler.pattern.errors import FileError, NotProvenError
from tiler.pattern.model import Source
from tiler.sheets.notes.facts import NoteFacts
from tiler.sheets.notes.signs import Kind
from tiler.sheets.ways import Way


@pytest.fixture(scope="module")
def hat(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the hat on A4 and on a roll."""
    folder = tmp_path_factory.mktemp("hat")
    surfaces = [Surface("a4", joint="butt"), Surface("roll:914mm")]
    published = publish(drafted_demo("hat"), surfaces, folder, packing=Packing("quick"))
    told = [print_facts(each, drafted_demo("hat")) for each in published]
    read_back = [file_facts(each.file, drafted_demo("hat")) for each in published]
    assert read_back == told
    return folder


def test_a_file_on_sheets_is_taped_and_one_on_a_roll_is_not(hat: Path) -> None:
    sheets, roll = facts_of(drafted_demo("hat"), sorted(hat.glob("*.pdf"))).prints
    assert (sheets.paper, sheets.way, sheets.roll) == ("A4", Way.BUTT, False)
    assert (roll.way, roll.roll, roll.front, roll.pages) == (None, True, 0, 1)
    assert Kind.TRIM in {sign.kind for sign in sheets.signs}
    assert not {Kind.TRIM, Kind.MAP, Kind.TAG} & {sign.kind for sign in roll.signs}
    assert sheets.worst <= 0.05
    assert roll.width == 914


def test_a_file_of_another_pattern_is_refused(hat: Path) -> None:
    file = next(iter(sorted(hat.glob("*a4.pdf"))))
    with pytest.raises(NotProvenError):
        file_facts(file, drafted_demo("apron"))


def test_a_file_of_another_state_of_the_pattern_is_refused(hat: Path) -> None:
    """Its lines may still be right, and its digest, which the notes print, is not."""
    known = drafted_demo("hat")
    changed = replace(known, sources=(*known.sources, Source("zz.svg", b"<svg/>")))
    with pytest.raises(NotProvenError, match=known.digest):
        file_facts(next(iter(sorted(hat.glob("*a4.pdf")))), changed)


def test_the_patterns_own_files_are_not_written_over(tmp_path: Path) -> None:
    """A drawing that has the name of a picture of the notes."""
    folder = tmp_path / "hat-notes-pictures"
    folder.mkdir()
    drawing = (
        '<svg xmlns="http://www.w3.org/2000/svg" width="99mm" height="99mm" viewBox="0 0 99 99">'
        '<path fill="none" stroke="black" d="M10 10H90V80H10Z"/></svg>'
    )
    (folder / "pieces.svg").write_text(drawing)
    pattern = read(folder / "pieces.svg")
    named = replace(pattern, title="Hat")
    with pytest.raises(FileError, match="belongs to the pattern"):
        write_notes(named, folder / "pieces.svg", NoteFacts(), tmp_path, NoteWishes())
    assert (folder / "pieces.svg").read_text() == drawing
    assert list(tmp_path.glob("*.pdf")) == []


def test_letters_that_the_typeface_lacks_are_told(tmp_path: Path) -> None:
    pattern = replace(drafted_demo("hat"), about="帽子")
    written = write_notes(pattern, Path("demo:hat"), NoteFacts(), tmp_path, NoteWishes())
    assert [finding.code for finding in written.findings] == ["letters-missing"]
    assert "帽子" in written.findings[0].text
    assert "帽子" in (tmp_path / "panelled-sun-hat-notes-en.html").read_text("utf-8")


def test_lay_plans_are_shown_with_what_to_buy(tmp_path: Path) -> None:
    from tiler.job.cloth import ClothWishes, lay_plans

    wishes = ClothWishes(cloths=("interfacing",), widths=(900.0,))
    (laid,) = lay_plans(drafted_demo("hat"), wishes, Packing("quick"))
    (facts,) = lay_facts(laid, "uk")
    write_notes(
        drafted_demo("hat"),
        Path("demo:hat"),
        NoteFacts(lays=(facts,)),
        tmp_path,
        NoteWishes(kinds=("md",), units="mm"),
    )
    text = (tmp_path / "panelled-sun-hat-notes-en.md").read_text("utf-8").replace("\u00a0", " ")
    assert "### interfacing, 90 cm wide" in text
    # Up to the next 10 cm.
    assert f"Buy **{-(-facts.to_buy // 100) / 10:g} m**" in text
    assert (tmp_path / "panelled-sun-hat-notes-pictures" / "lay-1.svg").is_file()


def test_a_disk_that_fills_up_leaves_no_half_of_a_set(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    written: list[Path] = []

    def write(self: Path, content: bytes) -> int:
        if len(written) == 5:
            raise OSError(errno.ENOSPC, "No space left on device")
        written.append(self)
        return real(self, content)

    real = Path.write_bytes
    monkeypatch.setattr(Path, "write_bytes", write)
    with pytest.raises(FileError, match="no space left"):
        write_notes(
            drafted_demo("hat"), Path("demo:hat"), NoteFacts(), tmp_path / "out", NoteWishes()
        )
    assert len(written) == 5
    assert not [path for path in (tmp_path / "out").rglob("*") if path.is_file()]
