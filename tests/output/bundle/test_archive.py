"""A ZIP file that says nothing but names and contents, and opens everywhere."""

from __future__ import annotations

import io
import os
import shutil
import stat
import struct
import subprocess
import sys
import time
import zipfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tiler.intake.sheetfile.archive import Archive
from tiler.output.bundle.archive import zip_bytes

FILES = {
    "READ-ME-FIRST.txt": b"first\r\n" * 100,
    "pattern/Größe 40.svg": b"<svg/>",
    "pattern/перед.svg": b"<svg/>" * 50,
    "sheets/a4.pdf": b"%PDF-" + os.urandom(100),
    "empty": b"",
}
NAMES = st.text(st.characters(min_codepoint=48, max_codepoint=0x4FF, categories=["L", "N"]))


@given(st.dictionaries(NAMES.filter(bool), st.binary(max_size=2000), max_size=6))
def test_what_goes_in_comes_out(files: dict[str, bytes]) -> None:
    with zipfile.ZipFile(io.BytesIO(zip_bytes(files))) as archive:
        assert archive.testzip() is None
        assert {name: archive.read(name) for name in archive.namelist()} == files
        assert archive.namelist() == list(files)


def test_it_says_nothing_of_where_and_when(monkeypatch: pytest.MonkeyPatch) -> None:
    content = zip_bytes(FILES)
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        for entry in archive.infolist():
            assert entry.date_time == (1980, 1, 1, 0, 0, 0)
            assert (entry.create_system, entry.extra) == (3, b"")
            assert entry.external_attr >> 16 == stat.S_IFREG | 0o644
            # APPNOTE 6.3, 4.4.4: bit 11 says that the name is UTF-8; no other bit is needed.
            assert entry.flag_bits == (0 if entry.filename.isascii() else 1 << 11)
        assert archive.comment == b""
    for zone in ("Pacific/Auckland", "America/Los_Angeles"):
        monkeypatch.setenv("TZ", zone)
        time.tzset()
        assert zip_bytes(FILES) == content
    monkeypatch.undo()
    time.tzset()


def test_every_head_says_the_same_as_the_list() -> None:
    """Some programs read the one, some the other."""
    content = zip_bytes(FILES)
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        for entry in archive.infolist():
            head = struct.unpack_from("<4s5H3L2H", content, entry.header_offset)
            assert head[6:9] == (entry.CRC, entry.compress_size, entry.file_size)
            assert head[10] == 0


def test_our_own_careful_reader_takes_it() -> None:
    archive = Archive(zip_bytes(FILES))
    assert {name: archive.read(name, 10_000) for name in archive.files} == FILES


def test_other_programs_open_it(tmp_path: Path) -> None:
    (tmp_path / "given.zip").write_bytes(zip_bytes(FILES))
    ways = {
        "unzip": ["unzip", "-q", "given.zip", "-d", "unzip"],
        "python": [sys.executable, "-m", "zipfile", "-e", "given.zip", "python"],
        "bsdtar": ["bsdtar", "-xf", "given.zip", "-C", "bsdtar"],
        "7z": ["7z", "x", "given.zip", "-o7z"],
    }
    here = {name: way for name, way in ways.items() if shutil.which(way[0])}
    assert {"unzip", "python"} <= set(here)
    for name, way in here.items():
        (tmp_path / name).mkdir()
        subprocess.run(way, cwd=tmp_path, check=True, capture_output=True)
        found = {
            path.relative_to(tmp_path / name).as_posix(): path.read_bytes()
            for path in (tmp_path / name).rglob("*")
            if path.is_file()
        }
        assert found == FILES, name
        # A file that nobody may read would be no gift.
        assert all(os.access(path, os.R_OK | os.W_OK) for path in (tmp_path / name).rglob("*"))
