"""What is kept for a person is never lost, and never half written."""

from __future__ import annotations

import json
import os
from pathlib import Path

import platformdirs
import pytest

from tiler.job import keeping
from tiler.job.naming import slug
from tiler.pattern.errors import FileError, MeasureError


@pytest.fixture(autouse=True)
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("BLOCKSHEET_HOME", str(tmp_path / "own"))
    return tmp_path / "own"


def test_nothing_is_kept_at_first_and_looking_makes_no_folder(home: Path) -> None:
    assert keeping.load("printers") == {}
    assert not home.exists()


def test_what_is_saved_is_loaded_again_in_the_same_order(home: Path) -> None:
    entries = {"Büro": {"across": 1.003}, "home": {"across": 0.998, "margin": None}}
    assert keeping.save("printers", entries) == home / "printers.json"
    assert keeping.load("printers") == entries
    assert list(keeping.load("printers")) == ["Büro", "home"]
    assert keeping.load("mats") == {}


def test_without_a_folder_of_ones_own_it_is_the_system_s(monkeypatch: pytest.MonkeyPatch) -> None:
    """As the independent library names it for this system."""
    monkeypatch.delenv("BLOCKSHEET_HOME")
    assert keeping.folder() == Path(platformdirs.user_config_dir("blocksheet", appauthor=False))


@pytest.mark.parametrize(
    "text",
    [
        "",
        "{",
        "[]",
        '{"printers": []}',
        '{"printers": {"home": 1}}',
        '{"mats": {}}',
        "[" * 90_000,
        '{"printers": {"home": {"across": NaN}}}',
        '{"printers": {"home": {"across": -Infinity}}}',
        '{"printers": {"home": {"across": 1e999}}}',
    ],
)
def test_a_damaged_file_is_named_and_left_as_it_is(home: Path, text: str) -> None:
    home.mkdir()
    file = home / "printers.json"
    file.write_text(text)
    with pytest.raises(FileError) as caught:
        keeping.load("printers")
    assert str(file) in str(caught.value)
    assert "move it away" in str(caught.value)
    assert file.read_text() == text


def test_a_file_that_is_no_text_is_damaged_too(home: Path) -> None:
    home.mkdir()
    (home / "printers.json").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(FileError, match="not text"):
        keeping.load("printers")


def test_a_folder_in_the_place_of_the_file_is_told(home: Path) -> None:
    (home / "printers.json").mkdir(parents=True)
    with pytest.raises(FileError, match="cannot be read"):
        keeping.load("printers")


def test_a_save_that_fails_keeps_what_was_there(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    keeping.save("printers", {"home": {"across": 1.0}})
    with pytest.raises(ValueError):
        keeping.save("printers", {"home": {"across": float("nan")}})

    def full(_descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(FileError, match="no space left"):
        keeping.save("printers", {"other": {}})
    assert json.loads((home / "printers.json").read_text()) == {
        "printers": {"home": {"across": 1.0}}
    }
    assert [file.name for file in home.iterdir()] == ["printers.json"]


@pytest.mark.parametrize("name", ["home", "  home ", "A", "Laser 2-b_c", "Drucker Büro", "7"])
def test_names_are_letters_digits_spaces_and_a_few_signs(name: str) -> None:
    assert keeping.checked_name(name) == name.strip()


@pytest.mark.parametrize(
    "name", ["", "  ", "a/b", "../x", "a\nb", "-a", "x" * 41, "a.b", "a\u202eb", 'a"b']
)
def test_other_names_are_refused(name: str) -> None:
    with pytest.raises(MeasureError, match="cannot be a name"):
        keeping.checked_name(name)


def test_capitals_do_not_matter() -> None:
    entries = {"Home": 1, "Büro": 2}
    assert keeping.same_name(entries, " HOME") == "Home"
    assert keeping.same_name(entries, "BÜRO") == "Büro"
    assert keeping.same_name(entries, "hom") is None


@pytest.mark.parametrize("name", ["laser 2", "Laser-2", "LASER_2", "laser--2", "laser 2_"])
def test_names_that_would_share_a_file_are_one_name(name: str) -> None:
    """What is published for a printer is called after it, and its file tells no more than words."""
    assert slug(name) == slug("Laser 2")
    assert keeping.same_name({"Laser 2": 1, "Laser 22": 2}, name) == "Laser 2"
