"""A file from elsewhere is read in a process of its own, and within bounds."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tests.intake.sheetfile.pdfs import GOOD, Sheet
from tests.intake.sheetfile.zips import Bundle
from tiler.intake.sheetfile.apart import read_apart
from tiler.pattern.errors import FileError


@pytest.mark.parametrize("content", [Sheet().written(), Bundle().written()], ids=["PDF", "bundle"])
def test_what_is_read_apart_comes_back_whole(tmp_path: Path, content: bytes) -> None:
    file = tmp_path / "given"
    file.write_bytes(content)
    held = read_apart(file)
    assert {source.name: source.content for source in held.sources} == GOOD
    assert held.told.title == "Seed pouch"


def test_a_refusal_comes_back_with_its_place_and_remedy(tmp_path: Path) -> None:
    file = tmp_path / "given.pdf"
    file.write_bytes(Sheet(files={}).written())
    with pytest.raises(FileError) as caught:
        read_apart(file)
    assert caught.value.where == str(file)
    assert "has kept that" in caught.value.problem
    assert "Ask them" in caught.value.remedy


def test_reading_that_takes_too_long_is_given_up(tmp_path: Path) -> None:
    file = tmp_path / "given.pdf"
    file.write_bytes(Sheet().written())
    with pytest.raises(FileError, match="takes more than 0 seconds"):
        read_apart(file, seconds=0.001)


def test_memory_is_bounded() -> None:
    words = (
        "from tiler.intake.sheetfile import apart; apart._bound_memory()\n"
        "try:\n    bytearray(4 * 2**30)\n"
        "except MemoryError:\n    print('bounded')"
    )
    done = subprocess.run([sys.executable, "-c", words], capture_output=True, text=True)
    assert done.stdout == "bounded\n"
