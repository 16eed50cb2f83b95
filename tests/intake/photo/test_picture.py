"""Photos as phones and scanners write them are read, and everything else is refused in words."""

from __future__ import annotations

import io
import math
import struct
import zlib

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageOps

from tiler.intake.photo.picture import read_photo
from tiler.pattern.errors import FileError

FORMATS = ("JPEG", "PNG", "TIFF", "WEBP")


def picture() -> Image.Image:
    """Four fields of different colours, so that every turn and mirror image differs."""
    image = Image.new("RGB", (64, 48), "white")
    image.paste("red", (0, 0, 32, 24))
    image.paste("lime", (32, 0, 64, 24))
    image.paste("blue", (0, 24, 32, 48))
    return image


def saved(image: Image.Image, kind: str, **how: object) -> bytes:
    out = io.BytesIO()
    how = {"quality": 95, "subsampling": 0, **how} if kind == "JPEG" else how
    how = {"lossless": True, **how} if kind == "WEBP" else how
    image.save(out, kind, **how)
    return out.getvalue()


def alike(one: np.ndarray, other: Image.Image) -> bool:
    """The middle of each field is of the right colour; JPEG is not exact."""
    wanted = np.asarray(other.convert("RGB"), dtype=int)
    if one.shape != wanted.shape:
        return False
    rows, columns = one.shape[0] // 4, one.shape[1] // 4
    spots = [(rows * r, columns * c) for r in (1, 3) for c in (1, 3)]
    return all(np.abs(one[spot].astype(int) - wanted[spot]).max() < 12 for spot in spots)


@pytest.mark.parametrize("kind", FORMATS)
@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_photo_is_turned_upright(kind: str, orientation: int) -> None:
    """As Pillow's own exif_transpose turns it."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    plain = picture()
    plain.info["exif"] = plain.getexif().tobytes()
    content = saved(plain, kind, exif=exif)
    turns = {
        1: plain,
        2: ImageOps.mirror(plain),
        3: plain.rotate(180),
        4: ImageOps.flip(plain),
        5: plain.transpose(Image.Transpose.TRANSPOSE),
        6: plain.transpose(Image.Transpose.ROTATE_270),
        7: plain.transpose(Image.Transpose.TRANSVERSE),
        8: plain.transpose(Image.Transpose.ROTATE_90),
    }
    assert alike(read_photo("photo", content).pixels, turns[orientation])


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGBA", "CMYK", "YCbCr", "I;16"])
def test_every_kind_of_pixel_becomes_red_green_and_blue(mode: str) -> None:
    """White stays white, black black; what is clear lies on white."""
    image = Image.new("L", (40, 30), 255)
    image.paste(0, (0, 0, 20, 30))
    if mode == "I;16":
        deep = np.where(np.asarray(image) > 0, 65535, 0).astype(np.uint16)
        content = saved(Image.fromarray(deep), "PNG")
    else:
        kind = "TIFF" if mode in ("CMYK", "YCbCr") else "PNG"
        content = saved(image.convert("RGB").convert(mode), kind)
    pixels = read_photo("scan", content).pixels
    assert pixels.dtype == np.uint8
    assert pixels.shape == (30, 40, 3)
    assert pixels[15, 10].max() < 40
    assert pixels[15, 30].min() > 230


def test_what_is_clear_lies_on_white() -> None:
    """Also where a palette has a clear colour."""
    clear = Image.new("RGBA", (8, 8), (0, 0, 0, 0))
    assert read_photo("a.png", saved(clear, "PNG")).pixels.min() == 255
    palette = Image.new("P", (8, 8), 0)
    palette.putpalette([0, 0, 0] * 256)
    assert read_photo("b.png", saved(palette, "PNG", transparency=0)).pixels.min() == 255


def test_the_focal_length_comes_from_its_equivalent_on_film() -> None:
    """26 mm on a diagonal of 43.27 mm (36 x 24 mm film), on 64 x 48 pixels: 80 px of diagonal."""
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0xA405] = 26
    photo = read_photo("a.jpg", saved(picture(), "JPEG", exif=exif))
    assert photo.focal_px == pytest.approx(26 / math.hypot(36, 24) * 80)
    assert read_photo("b.jpg", saved(picture(), "JPEG")).focal_px is None


def test_the_focal_length_comes_from_the_sensor_too() -> None:
    """4 mm, 20 pixels a millimetre on the sensor: 80 pixels; half of that at half the size."""
    for shrunk in (1, 2):
        exif = Image.Exif()
        notes = exif.get_ifd(0x8769)
        notes[0x920A], notes[0xA20E], notes[0xA210] = 4.0, 508.0, 2
        notes[0xA002], notes[0xA003] = 64 * shrunk, 48 * shrunk
        photo = read_photo("a.jpg", saved(picture(), "JPEG", exif=exif))
        assert photo.focal_px == pytest.approx(80 / shrunk)


def test_a_cropped_photo_tells_no_focal_length() -> None:
    """Nobody knows which part of the picture is left."""
    exif = Image.Exif()
    notes = exif.get_ifd(0x8769)
    notes[0xA405], notes[0xA002], notes[0xA003] = 26, 96, 48
    assert read_photo("a.jpg", saved(picture(), "JPEG", exif=exif)).focal_px is None


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "TIFF"])
def test_a_scan_tells_its_resolution(kind: str) -> None:
    """300 dpi; PNG keeps pixels a metre, so that it comes back rounded."""
    photo = read_photo("scan", saved(picture(), kind, dpi=(300, 300)))
    assert photo.dpi == pytest.approx(300, abs=0.02)
    assert read_photo("scan", saved(picture(), kind, dpi=(300, 200))).dpi is None


def test_what_is_no_photo_is_refused_with_what_to_do() -> None:
    """HEIC and PDF are what phones and scanners give by default."""
    heic = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic" + bytes(100)
    with pytest.raises(FileError, match=r"IMG_1\.heic.*HEIC.*most compatible"):
        read_photo("IMG_1.heic", heic)
    with pytest.raises(FileError, match=r"PDF.*PNG or JPEG"):
        read_photo("scan.pdf", b"%PDF-1.4\n" + bytes(50))
    for content in (b"", b"\0" * 50, b"<svg xmlns='http://www.w3.org/2000/svg'/>", b"GIF89a\1\0"):
        with pytest.raises(FileError):
            read_photo("other", content)


def test_several_pages_in_one_file_are_refused() -> None:
    """Which one is meant?"""
    two = saved(picture(), "TIFF", save_all=True, append_images=[picture()])
    with pytest.raises(FileError, match="several pages"):
        read_photo("scan.tif", two)


def test_a_picture_that_blows_up_is_refused_before_it_is_unpacked() -> None:
    """A PNG of a few bytes that claims 100,000 x 100,000 pixels."""

    def chunk(kind: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    head = struct.pack(">IIBBBBB", 100_000, 100_000, 8, 2, 0, 0, 0)
    bomb = b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 99))
    with pytest.raises(FileError, match="million"):
        read_photo("bomb.png", bomb + chunk(b"IEND", b""))


@pytest.mark.parametrize("kind", FORMATS)
def test_a_file_that_breaks_off_is_refused(kind: str) -> None:
    """Wherever it breaks off."""
    whole = saved(picture().resize((300, 200)), kind)
    for share in (0.02, 0.3, 0.6, 0.9):
        with pytest.raises(FileError):
            read_photo("photo", whole[: int(len(whole) * share)])


@pytest.mark.parametrize("kind", FORMATS)
@given(changes=st.lists(st.tuples(st.floats(0, 0.999), st.integers(0, 255)), max_size=8))
def test_a_damaged_file_is_read_or_refused(kind: str, changes: list[tuple[float, int]]) -> None:
    """Never a traceback of another kind."""
    content = bytearray(saved(picture(), kind))
    for place, value in changes:
        content[int(place * len(content))] = value
    try:
        photo = read_photo("photo", bytes(content))
    except FileError:
        return
    assert photo.pixels.ndim == 3
