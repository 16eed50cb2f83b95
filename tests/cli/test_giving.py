"""``blocksheet give`` and ``blocksheet open``: from maker to friend, on paper of another size."""

from __future__ import annotations

import re
import zipfile
from pathlib import Path

import pytest

from tests.cli.owncommand import Command, command

WORDS = """title = "Seed pouch"
maker = "Marrow Lane Allotment Society"
[[piece]]
name = "Flap"
drawing = "flap.svg"
{more}
"""
FLAP = (
    '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="200mm" viewBox="0 0 200 200">'
    '<path class="cut" d="M10 10 H110 V130 H10 Z"/></svg>\n'
)


def pouch(home: Path, more: str = "") -> Path:
    folder = home / "pouch"
    folder.mkdir()
    (folder / "pattern.toml").write_text(WORDS.format(more=more))
    (folder / "flap.svg").write_text(FLAP)
    return folder


@pytest.fixture
def give(tmp_path: Path) -> Command:
    return command("give", tmp_path)


def test_a_friend_goes_from_a4_to_letter_in_two_commands(tmp_path: Path) -> None:
    """Only the A4 sheets out of the hat's bundle are handed on; the pattern is out of reach."""
    command("give", tmp_path)("demo:hat", "--effort", "quick", "--on", "a4")
    sheet = "sheets/panelled-sun-hat-a4.pdf"
    with zipfile.ZipFile(tmp_path / "panelled-sun-hat.zip") as archive:
        names = set(archive.namelist())
        archive.extract(sheet, tmp_path)
    assert names > {
        *("READ-ME-FIRST.txt", "LICENCE.txt", "SHA256SUMS", sheet),
        *("notes/notes.pdf", "notes/notes.html", "notes/notes.md"),
        *(f"lay-plans/{name}.pdf" for name in ("main-140cm", "lining-140cm", "interfacing-90cm")),
        *(f"pattern/{name}.svg" for name in ("brim", "crown_panel", "inner_band")),
        "pattern/pattern.toml",
    }
    told = command("open", tmp_path)(sheet, "hat")
    assert "every file is there as it was" in told
    assert re.search(r"pattern digest [0-9a-f]{4}-[0-9a-f]{4}, as its pages print it", told)
    assert "Next: blocksheet publish hat --on letter" in told
    said = command("publish", tmp_path)("hat", "--on", "letter", "--effort", "quick")
    assert "Proven: 60 lines" in said
    assert "Letter" in said


def test_a_bundle_is_told_and_the_next_step(tmp_path: Path, give: Command) -> None:
    cut = 'cut = { count = 2, cloth = "main", lay = "copies" }'
    pouch(tmp_path, f'{cut}\ngrain = "A"')
    told = give("pouch", "--on", "letter", "--effort", "quick", "--cloth-width", "36in")
    assert "Proven" in told
    assert re.search(r"seed-pouch\.zip: \d+ files, [\d.]+ MB", told)
    assert "Nobody has said what a friend may do with it" in told
    assert "READ-ME-FIRST.txt" in told
    with zipfile.ZipFile(tmp_path / "seed-pouch.zip") as archive:
        names = set(archive.namelist())
        assert b"has not said" in archive.read("LICENCE.txt")
    assert {"lay-plans/main-36in.pdf", "sheets/seed-pouch-letter.pdf"} <= names
    opened = command("open", tmp_path)("seed-pouch.zip", "mine")
    assert "Seed pouch" in opened
    assert (tmp_path / "mine" / "flap.svg").read_text() == FLAP


def test_without_a_cloth_there_are_no_lay_plans(tmp_path: Path, give: Command) -> None:
    pouch(tmp_path)
    give("pouch", "--on", "a5", "--effort", "quick", "--private", "--out", "to friends/a b.zip")
    with zipfile.ZipFile(tmp_path / "to friends" / "a b.zip") as archive:
        assert not [name for name in archive.namelist() if name.startswith("lay-plans/")]
        assert b"lay plan" not in archive.read("READ-ME-FIRST.txt").lower()


def test_a_drawing_alone_is_given_with_its_own_name_to_go_on_with(
    tmp_path: Path, give: Command
) -> None:
    (tmp_path / "my flap.svg").write_text(FLAP)
    give("my flap.svg", "--on", "a4", "--effort", "quick")
    with zipfile.ZipFile(tmp_path / "my-flap.zip") as archive:
        assert archive.read("pattern/my flap.svg").decode() == FLAP
        first = archive.read("READ-ME-FIRST.txt").decode("utf-8-sig")
    assert 'blocksheet publish "pattern/my flap.svg" --on letter' in first


def test_what_would_spoil_the_garment_is_told_before_it_is_given(
    tmp_path: Path, give: Command
) -> None:
    """A seam whose sides are of different lengths, and a friend who would find out at the end."""
    pouch(tmp_path, 'allowance = "10 mm"\n[[seam]]\nname = "side"\njoin = ["Flap.A", "Flap.B"]\n')
    told = give("pouch", "--on", "a4", "--effort", "quick")
    assert "error: " in told
    assert "A friend gets it as it is" in told
    assert (tmp_path / "seed-pouch.zip").exists()


def test_a_piece_that_cannot_be_cut_is_refused_and_not_called_given(
    tmp_path: Path, give: Command
) -> None:
    pouch(tmp_path, 'cut = { count = 1, cloth = "main", lay = "fold" }')
    told = give("pouch", "--on", "a4", "--effort", "quick", code=2)
    assert "no edge of it is on the fold" in told
    assert "A friend gets it" not in told
    assert not (tmp_path / "seed-pouch.zip").exists()


def test_a_cloth_that_cannot_be_laid_is_told_and_the_rest_is_given(
    tmp_path: Path, give: Command
) -> None:
    """There is no grainline, which the sheets of a friend do without and a lay plan does not."""
    pouch(tmp_path, 'cut = { count = 2, cloth = "main", lay = "copies" }')
    told = give("pouch", "--on", "a4", "--effort", "quick")
    assert "warning: pouch" not in told
    assert "no lay plan" in told
    assert "no grainline" in told
    with zipfile.ZipFile(tmp_path / "seed-pouch.zip") as archive:
        assert not [name for name in archive.namelist() if name.startswith("lay-plans/")]
    told = give("pouch", "--on", "a4", "--effort", "quick", "--cloth-width", "90cm", code=2)
    assert "no grainline" in told


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--on", "mat:bench"), "a projector of your own"),
        (("--on", "a11"), "a11"),
        (("--language", "tlh"), "Use one of de, en, uk"),
        (("--licence", "none.txt"), "none.txt"),
        (("--style", "wide"), "style"),
        (("--out", "pouch/pattern.toml"), "ends in .zip"),
        (("--out", "pouch"), "directory"),
        (("--joint", "glue"), "butt"),
    ],
)
def test_what_cannot_be_given_is_refused(
    tmp_path: Path, give: Command, words: tuple[str, ...], said: str
) -> None:
    folder = pouch(tmp_path)
    before = {path.name: path.read_bytes() for path in folder.iterdir()}
    assert said in give("pouch", "--effort", "quick", *words, code=2)
    assert {path.name: path.read_bytes() for path in folder.iterdir()} == before
    assert not list(tmp_path.glob("*.zip"))


def test_a_folder_that_holds_something_is_not_filled(tmp_path: Path) -> None:
    folder = pouch(tmp_path)
    told = command("open", tmp_path)("pouch/flap.svg", "pouch", code=2)
    assert "the folder is not empty" in told
    assert len(list(folder.iterdir())) == 2
    assert "neither a PDF nor a ZIP" in command("open", tmp_path)("pouch/flap.svg", "new", code=2)
    assert not (tmp_path / "new").exists()
