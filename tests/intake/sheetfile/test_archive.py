"""Our reader of ZIP files beside the standard library's, on sound files and on spoilt ones."""

from __future__ import annotations

import io
import random
import zipfile

import pytest

from tests.intake.sheetfile.zips import Bundle
from tiler.intake.sheetfile.archive import Archive
from tiler.pattern.errors import FileError

NAMES = ["README.txt", "pattern/перед.svg", "sub/Größe.svg", "empty"]


@pytest.mark.parametrize("packing", [zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED])
@pytest.mark.parametrize("comment", [b"", b"made in the potting shed PK\5\6 " * 40])
def test_it_reads_what_the_library_writes(packing: int, comment: bytes) -> None:
    out = io.BytesIO()
    dice = random.Random(3)
    contents = {name: dice.randbytes(dice.randrange(5000)) for name in NAMES} | {"empty": b""}
    with zipfile.ZipFile(out, "w", packing) as made:
        made.mkdir("sub")
        for name, content in contents.items():
            made.writestr(name, content)
        made.comment = comment
    archive = Archive(out.getvalue())
    assert sorted(archive.files) == sorted(NAMES)
    assert {name: archive.read(name, 10_000) for name in NAMES} == contents


def test_it_reads_what_was_written_without_going_back() -> None:
    """Sizes stand behind the data then (APPNOTE 4.3.9)."""

    class Pipe(io.RawIOBase):
        def __init__(self) -> None:
            self.content = bytearray()

        def writable(self) -> bool:
            return True

        def write(self, part: object) -> int:
            self.content += part  # type: ignore[operator]
            return len(part)  # type: ignore[arg-type]

    pipe = Pipe()
    with zipfile.ZipFile(pipe, "w", zipfile.ZIP_DEFLATED) as made:
        made.writestr("a.svg", b"<svg/>" * 100)
    assert Archive(bytes(pipe.content)).read("a.svg", 10_000) == b"<svg/>" * 100


def test_what_it_reads_of_spoilt_files_is_what_was_written() -> None:
    """Whatever bytes are changed: refused, or every file that comes out is unchanged."""
    content = Bundle().written()
    sound = Archive(content)
    whole = {name: sound.read(name, 10**6) for name in sound.files}
    dice = random.Random(11)
    refused = read = 0
    for _ in range(1500):
        spoilt = bytearray(content)
        for _ in range(dice.choice((1, 1, 3))):
            spoilt[dice.randrange(len(spoilt))] = dice.randrange(256)
        try:
            archive = Archive(bytes(spoilt))
            for name in archive.files:
                assert archive.read(name, 10**6) in whole.values()
                read += 1
        except FileError:
            refused += 1
    assert refused > 500
    assert read > 500


def test_a_file_over_its_limit_is_not_unpacked() -> None:
    archive = Archive(Bundle().written())
    with pytest.raises(FileError, match="larger than"):
        archive.read("pattern/flap.svg", 10)
