"""Files of every kind that people give for photos end in a sentence, never in a traceback."""

from __future__ import annotations

import io
import struct
import zlib
from pathlib import Path

import numpy as np
import pytest
from PIL import Image

from tests.cli.owncommand import blocksheet

BARS = ("--across", "190mm", "--up", "240mm")


def picture(mode: str = "RGB", kind: str = "JPEG", **options: object) -> bytes:
    """Something to be seen, and no card in it."""
    grey = np.random.default_rng(5).integers(40, 220, (40, 50)).astype(np.uint8)
    out = io.BytesIO()
    image = Image.fromarray(grey).resize((500, 400), Image.Resampling.BICUBIC)
    if mode == "I;16":
        image = Image.fromarray(np.asarray(image).astype(np.uint16) * 257)
    else:
        image = image.convert(mode)
    image.save(out, kind, **options)
    return out.getvalue()


def chunk(name: bytes, content: bytes) -> bytes:
    """PNG specification (W3C), 5.3: length, type, data and CRC."""
    check = struct.pack(">I", zlib.crc32(name + content))
    return struct.pack(">I", len(content)) + name + content + check


def bomb() -> bytes:
    """A PNG of 30,000 x 30,000 pixels, all black, in a small file."""
    head = struct.pack(">IIBBBBB", 30_000, 30_000, 8, 0, 0, 0, 0)
    data = zlib.compress(bytes(30_001) * 40, 9)
    parts = (chunk(b"IHDR", head), chunk(b"IDAT", data), chunk(b"IEND", b""))
    return b"\x89PNG\r\n\x1a\n" + b"".join(parts)


def odd_notes() -> bytes:
    """A focal length of 0/0, an orientation of 77, and text where numbers belong."""
    exif = Image.Exif()
    exif[0x0112] = 77
    notes = exif.get_ifd(0x8769)
    notes[0xA405] = 65535
    notes[0xA20E] = "wide"
    return picture(exif=exif.tobytes())


def broken_notes() -> bytes:
    """The block of notes holds noise."""
    noise = np.random.default_rng(6).integers(0, 256, 300, dtype=np.uint8).tobytes()
    return picture(exif=b"Exif\x00\x00II*\x00\x08\x00\x00\x00\xff\xff" + noise)


#: What cannot be read, and what is said of it.
UNREADABLE = {
    "empty": (b"", "the file is empty"),
    "truncated": (picture()[:4000], "damaged"),
    "head only": (picture()[:20], "damaged"),
    "gif": (picture("P", "GIF"), "JPEG or PNG"),
    "pdf": (b"%PDF-1.7\n%\xe2\xe3", "this is a PDF"),
    "heic": (b"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic", "HEIC"),
    "film": (b"\x00\x00\x00\x20ftypisom\x00\x00\x02\x00isomiso2", "HEIC or AVIF file (or a film)"),
    "text": (b"a photo of my smock", "damaged"),
    "noise": (np.random.default_rng(7).bytes(5000), "damaged"),
    "bomb": (bomb(), "30000 x 30000 pixels"),
}
#: What can be read, and shows no card.
READABLE = {
    "grey": picture("L"),
    "cmyk": picture("CMYK"),
    "16 bit": picture("I;16", "PNG"),
    "clear": picture("RGBA", "PNG"),
    "palette": picture("P", "PNG"),
    "one bit": picture("1", "PNG"),
    "tiff": picture("RGB", "TIFF"),
    "webp": picture("RGB", "WEBP"),
    "odd notes": odd_notes(),
    "broken notes": broken_notes(),
    "wrong ending": picture("RGB", "PNG"),
}


def told_of(folder: Path, content: bytes) -> str:
    (folder / "a.jpg").write_bytes(content)
    told = blocksheet("capture", "a.jpg", *BARS, "--out", "smock", cwd=folder)
    assert told.returncode == 2
    assert "report" not in told.stderr
    assert not (folder / "smock").exists()
    return told.stderr


@pytest.mark.parametrize("kind", UNREADABLE)
def test_what_is_no_photo_is_refused_by_name(tmp_path: Path, kind: str) -> None:
    content, said = UNREADABLE[kind]
    told = told_of(tmp_path, content)
    assert said in told
    assert "a.jpg" in told
    assert {file.name for file in tmp_path.iterdir()} == {"a.jpg"}


@pytest.mark.parametrize("kind", READABLE)
def test_photos_of_every_kind_are_read(tmp_path: Path, kind: str) -> None:
    """And refused because they show no card, with a picture."""
    told = told_of(tmp_path, READABLE[kind])
    assert "no target card" in told or "no card can be read" in told
    assert {file.name for file in tmp_path.iterdir()} == {"a.jpg", "smock-problem.jpg"}


def test_a_folder_or_nothing_given_for_a_photo_is_refused(tmp_path: Path) -> None:
    (tmp_path / "photos").mkdir()
    for name in ("photos", "none.jpg"):
        told = blocksheet("capture", name, *BARS, "--out", "smock", cwd=tmp_path)
        assert told.returncode == 2
    assert {file.name for file in tmp_path.iterdir()} == {"photos"}
