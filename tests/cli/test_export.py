"""Patterns that leave as DXF or as a folder, and come back."""

from __future__ import annotations

import shutil
from pathlib import Path

import ezdxf
import pytest

from tests.cli.owncommand import Ended, blocksheet
from tests.demos import DEMO_PIECES, traced_demo
from tiler.intake.folder import read_pattern


def run(*words: str, cwd: Path) -> Ended:
    done = blocksheet(*words, cwd=cwd)
    assert "Traceback" not in done.stderr
    return done


def test_a_dxf_file_passes_the_audit_of_another_library(tmp_path: Path) -> None:
    done = run("export", "demo:trousers", "trousers.dxf", cwd=tmp_path)
    assert done.returncode == 0
    assert done.stdout.strip().endswith("blocksheet look trousers.dxf --picture pieces.png")
    audit = ezdxf.readfile(tmp_path / "trousers.dxf").audit()
    assert not audit.errors
    assert not audit.fixes


def test_a_pattern_that_came_as_dxf_is_published_proven_and_checked(tmp_path: Path) -> None:
    run("export", "demo:hat", "hat.dxf", cwd=tmp_path)
    published = run("publish", "hat.dxf", "--effort", "quick", "--style", "narrow", cwd=tmp_path)
    assert "Proven: " in published.stdout, published.stderr
    proven = run("prove", "sheets/panelled-sun-hat-narrow-a4.pdf", cwd=tmp_path)
    assert proven.returncode == 0
    assert run("check", "hat.dxf", cwd=tmp_path).returncode == 0


def test_a_dxf_file_becomes_a_folder_to_go_on_with(tmp_path: Path) -> None:
    run("export", "demo:apron", "apron.dxf", cwd=tmp_path)
    done = run("export", "apron.dxf", "my-apron", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    names = [piece.name for piece in read_pattern(tmp_path / "my-apron").pieces]
    assert names == [piece.name for piece in traced_demo("apron").pieces]


def test_a_folder_carries_the_tracing_and_what_is_asked(tmp_path: Path) -> None:
    assert run("export", "demo:smock", "again", cwd=tmp_path).returncode == 0
    again, before = read_pattern(tmp_path / "again"), traced_demo("smock")
    assert again.seams
    assert [piece.wishes.paper for piece in again.pieces] == [
        piece.wishes.paper for piece in before.pieces
    ]
    assert [len(piece.wishes.notches) for piece in again.pieces] == [
        len(piece.wishes.notches) for piece in before.pieces
    ]


@pytest.mark.parametrize(
    ("target", "words"),
    [("smock.txt", "there is no format '.txt'"), ("no/such.dwg", "there is no format '.dwg'")],
)
def test_other_formats_are_refused(tmp_path: Path, target: str, words: str) -> None:
    done = run("export", "demo:smock", target, cwd=tmp_path)
    assert done.returncode == 2
    assert words in done.stderr
    assert list(tmp_path.iterdir()) == []


def test_files_of_another_pattern_stay(tmp_path: Path) -> None:
    shutil.copytree(DEMO_PIECES / "hat", tmp_path / "hat")
    before = {file: file.read_bytes() for file in (tmp_path / "hat").iterdir()}
    done = run("export", "demo:smock", "hat", cwd=tmp_path)
    assert done.returncode == 2
    assert {file: file.read_bytes() for file in (tmp_path / "hat").iterdir()} == before


def test_a_folder_is_not_written_over_itself(tmp_path: Path) -> None:
    """What the maker has drawn and written by hand stays, comments and layers too."""
    shutil.copytree(DEMO_PIECES / "hat", tmp_path / "hat")
    before = {file: file.read_bytes() for file in (tmp_path / "hat").iterdir()}
    done = run("export", "hat", "hat", cwd=tmp_path)
    assert done.returncode == 2
    assert "belongs to the pattern" in done.stderr
    assert {file: file.read_bytes() for file in (tmp_path / "hat").iterdir()} == before


def test_a_dxf_file_is_not_written_over_itself(tmp_path: Path) -> None:
    run("export", "demo:hat", "hat.dxf", cwd=tmp_path)
    before = (tmp_path / "hat.dxf").read_bytes()
    done = run("export", "hat.dxf", "hat.dxf", cwd=tmp_path)
    assert done.returncode == 2
    assert "belongs to the pattern" in done.stderr
    assert (tmp_path / "hat.dxf").read_bytes() == before
