"""A pattern folder is put in place whole, and never over somebody else's files."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from tests.strategies import pattern_of, rectangular
from tiler.intake.folder import read_pattern
from tiler.output.folder import write_folder
from tiler.pattern.affine import Point
from tiler.pattern.errors import FileError, PatternError
from tiler.pattern.model import Edge, Outline, Piece, Role
from tiler.pattern.path import polyline

APRON = pattern_of(rectangular("Front", 100, 200), rectangular("Pocket", 60, 60))


def test_a_new_folder_can_be_read(tmp_path: Path) -> None:
    written = write_folder(APRON, tmp_path / "new" / "apron")
    assert sorted(file.name for file in written) == ["front.svg", "pattern.toml", "pocket.svg"]
    assert sorted(p.name for p in (tmp_path / "new" / "apron").iterdir()) == [
        "front.svg",
        "pattern.toml",
        "pocket.svg",
    ]
    back = read_pattern(tmp_path / "new" / "apron")
    assert [piece.name for piece in back.pieces] == ["Front", "Pocket"]


def test_an_earlier_version_of_the_same_pattern_is_replaced(tmp_path: Path) -> None:
    write_folder(APRON, tmp_path)
    write_folder(replace(APRON, version="2"), tmp_path)
    assert read_pattern(tmp_path).version == "2"


def test_another_pattern_stays(tmp_path: Path) -> None:
    write_folder(replace(APRON, title="Smock"), tmp_path)
    before = {file.name: file.read_bytes() for file in tmp_path.iterdir()}
    with pytest.raises(FileError, match="there is another pattern, 'Smock'"):
        write_folder(APRON, tmp_path)
    assert {file.name: file.read_bytes() for file in tmp_path.iterdir()} == before


@pytest.mark.parametrize("name", ["front.svg", "pattern.toml"])
def test_a_file_that_is_no_part_of_the_pattern_stays(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_text("something else [")
    with pytest.raises(FileError, match=f"{name}: this file does not belong to the pattern"):
        write_folder(APRON, tmp_path)
    assert [file.name for file in tmp_path.iterdir()] == [name]
    assert (tmp_path / name).read_text() == "something else ["


def test_a_drawing_that_the_same_pattern_does_not_name_stays(tmp_path: Path) -> None:
    write_folder(replace(APRON, pieces=APRON.pieces[:1]), tmp_path)
    (tmp_path / "pocket.svg").write_text("a sketch")
    with pytest.raises(FileError, match=r"pocket\.svg: this file does not belong"):
        write_folder(APRON, tmp_path)
    assert (tmp_path / "pocket.svg").read_text() == "a sketch"


def test_a_file_where_the_folder_should_be_is_told(tmp_path: Path) -> None:
    (tmp_path / "apron").write_text("")
    with pytest.raises(FileError, match="it cannot be written"):
        write_folder(APRON, tmp_path / "apron")


def test_nothing_is_written_for_a_pattern_that_a_folder_cannot_hold(tmp_path: Path) -> None:
    piece = replace(APRON.pieces[0], stitch=APRON.pieces[0].outlines)
    with pytest.raises(PatternError):
        write_folder(replace(APRON, pieces=(piece,)), tmp_path / "apron")
    assert not (tmp_path / "apron").exists()


def test_an_edge_that_turns_sharply_on_its_way_is_named(tmp_path: Path) -> None:
    """A cut line with a square step of 20 mm inside edge B, which a drawing would part there."""
    corners = [Point(0, 0), Point(0, 100), Point(100, 100), Point(100, 0)]
    step = [Point(0, 100), Point(50, 100), Point(50, 120), Point(100, 120), Point(100, 100)]
    paths = [polyline([a, b]) for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)]
    paths[1] = polyline(step)
    edges = tuple(Edge(letter, path) for letter, path in zip("ABCD", paths, strict=True))
    stepped = pattern_of(Piece("Front", (Outline(Role.CUT, edges),)))
    with pytest.raises(PatternError, match="edge B of piece Front turns by more than 30 degrees"):
        write_folder(stepped, tmp_path / "new")
    assert not (tmp_path / "new").exists()
