"""The library is a folder of the user's, and no name leads out of it."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tiler.pattern.errors import FileError
from tiler.web.library import Library, is_plain


def shelf(root: Path, *names: str) -> Library:
    for name in names:
        (root / name).mkdir(parents=True)
        (root / name / "pattern.toml").touch()
    return Library(root)


def test_patterns_are_the_folders_with_a_pattern_file_in_order(tmp_path: Path) -> None:
    library = shelf(tmp_path, "smock", "Apron", ".hidden")
    (tmp_path / "photos").mkdir()
    (tmp_path / "pattern.svg").touch()
    assert library.keys() == ("Apron", "smock")


def test_a_pattern_folder_is_a_library_of_one(tmp_path: Path) -> None:
    shelf(tmp_path, "smock")
    library = Library(tmp_path / "smock")
    assert library.keys() == ("smock",)
    assert library.folder("smock") == (tmp_path / "smock").resolve()
    with pytest.raises(FileError, match="takes no others"):
        library.new_folder("apron")


@given(st.text(max_size=30))
def test_no_name_leads_out_of_the_folder(name: str) -> None:
    if is_plain(name):
        assert (Path("/library") / name).parent == Path("/library")


@pytest.mark.parametrize(
    "name", ["..", ".", "", "a/b", "a\\b", "\0", "../smock", "/etc", "x" * 121]
)
def test_such_names_are_refused(tmp_path: Path, name: str) -> None:
    library = shelf(tmp_path / "shelf", "smock")
    with pytest.raises(FileError):
        library.folder(name)
    with pytest.raises(FileError):
        library.new_folder(name)
    with pytest.raises(FileError):
        library.file("smock", "sheets", name)


def test_nothing_that_is_there_is_taken_for_new(tmp_path: Path) -> None:
    library = shelf(tmp_path, "smock")
    (tmp_path / "notes.txt").touch()
    (tmp_path / "loose").symlink_to(tmp_path / "nowhere")
    for name in ("smock", "notes.txt", "loose", ".before"):
        with pytest.raises(FileError):
            library.new_folder(name)
    assert library.new_folder("apron") == tmp_path.resolve() / "apron"
