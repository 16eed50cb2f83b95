"""A photo's file -> its pixels, upright, and what the file knows of the lens or the scanner."""

from __future__ import annotations

import io
import math
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Lock
from typing import TYPE_CHECKING, Any

import numpy as np

from tiler.intake.files import MIB
from tiler.intake.photo.model import Photo, Pixels
from tiler.pattern.errors import FileError

if TYPE_CHECKING:
    from PIL import Image

#: The largest file and the most pixels that are read.
PHOTO_LIMIT = 200 * MIB
PIXEL_LIMIT = 200_000_000
_FORMATS = ("JPEG", "PNG", "TIFF", "WEBP")
#: Tags of Exif 2.32 (CIPA DC-008), 4.6.
_EXIF_IFD, _ORIENTATION = 0x8769, 0x0112
_FOCAL_LENGTH, _FOCAL_35MM = 0x920A, 0xA405
_PLANE_RESOLUTION, _PLANE_UNIT = 0xA20E, 0xA210
_PIXELS_ACROSS, _PIXELS_DOWN = 0xA002, 0xA003
#: Diagonal of a frame of 36 x 24 mm film, which the equivalent focal length goes by.
_FILM_DIAGONAL = math.hypot(36.0, 24.0)
#: Units of the focal plane's resolution, millimetres.
_UNITS = {2: 25.4, 3: 10.0, 4: 1.0, 5: 0.001}
#: Focal lengths in diagonals of the picture outside of which no camera's lens is.
_LEAST_FOCAL, _MOST_FOCAL = 0.2, 20.0
#: Resolutions that a scanner can have.
_LEAST_DPI, _MOST_DPI = 30.0, 10_000.0
_SAVE = "Save it as JPEG or PNG and give that."


def read_photo(name: str, content: bytes) -> Photo:
    """Read a photo or a scan: JPEG, PNG, TIFF or WebP.

    It is turned as the file says. Greys and 16 bits become 8 bits of red, green and blue, what is
    transparent lies on white, and colour profiles are left out: colours only tell markers apart.

    Args:
        name: File name, for messages.
        content: The file.

    Raises:
        FileError: It is of another kind, damaged, or too large.
    """
    _refuse_others(name, content)
    with _large_allowed(), warnings.catch_warnings():
        # Damaged notes in a file do not matter to its pixels.
        warnings.simplefilter("ignore")
        try:
            return _read(name, content)
        except FileError:
            raise
        except MemoryError:
            raise FileError(
                "there is not enough memory for this picture",
                where=name,
                remedy="Save it smaller: 12 million pixels are enough.",
            ) from None
        except Exception as bad:
            # What a damaged file makes of its reader is a matter of chance.
            raise FileError(
                "this is no picture that can be read, or it is damaged", where=name, remedy=_SAVE
            ) from bad


def _refuse_others(name: str, content: bytes) -> None:
    """Say of files that are known, and not read, what to do with them."""
    if len(content) > PHOTO_LIMIT:
        raise FileError(
            f"the file has more than {PHOTO_LIMIT // MIB} MiB", where=name, remedy=_SAVE
        )
    if not content:
        raise FileError("the file is empty", where=name, remedy="Copy it from the phone again.")
    if content[4:8] == b"ftyp":
        raise FileError(
            "this is a HEIC or AVIF file (or a film), which is not read here",
            where=name,
            remedy="Share the photo as JPEG, or set the phone's camera to the most compatible "
            "format and photograph again.",
        )
    if content.lstrip()[:5] == b"%PDF-":
        raise FileError(
            "this is a PDF, which does not tell how large a scan in it is meant to be",
            where=name,
            remedy="Set the scanner to PNG or JPEG at 300 dpi, and scan again.",
        )


@contextmanager
def _large_allowed() -> Iterator[None]:
    """Our own limit holds instead of Pillow's, which counts otherwise on every version."""
    from PIL import Image

    with _LOCK:
        before, Image.MAX_IMAGE_PIXELS = Image.MAX_IMAGE_PIXELS, None
        try:
            yield
        finally:
            Image.MAX_IMAGE_PIXELS = before


_LOCK = Lock()


def _read(name: str, content: bytes) -> Photo:
    from PIL import Image

    with Image.open(io.BytesIO(content), formats=_FORMATS) as image:
        _refuse_size(name, image)
        notes = _notes(image)
        dpi = _dpi(image)
        image.load()
        # Whoever loads a TIFF gets it turned already, and the tag is gone then.
        turn = _orientation(image)
        pixels = _turned(_rgb(name, image), turn)
    height, width = pixels.shape[:2]
    return Photo(name, pixels, _focal_px(notes, width, height), dpi)


def _refuse_size(name: str, image: Image.Image) -> None:
    width, height = image.size
    if width * height > PIXEL_LIMIT:
        raise FileError(
            f"it has {width} x {height} pixels, more than {PIXEL_LIMIT // 1_000_000} million",
            where=name,
            remedy="Save it smaller: 12 million pixels are enough for a photo, 300 dpi for a scan.",
        )
    if image.format == "TIFF" and getattr(image, "n_frames", 1) > 1:
        raise FileError(
            "this file holds several pages",
            where=name,
            remedy="Save each page as a file of its own and give them all.",
        )


def _rgb(name: str, image: Image.Image) -> Pixels:
    """Red, green and blue, 8 bits each."""
    mode = image.mode
    if mode.startswith("I"):
        return _from_deep(np.asarray(image))
    if mode == "F":
        raise FileError("its brightness has no known scale", where=name, remedy=_SAVE)
    if "A" in mode.upper().replace("LAB", "") or "transparency" in image.info:
        from PIL import Image as Images

        clear = image.convert("RGBA")
        white = Images.new("RGBA", clear.size, "white")
        image = Images.alpha_composite(white, clear)
    return np.array(image if image.mode == "RGB" else image.convert("RGB"), dtype=np.uint8)


def _from_deep(grey: np.ndarray[Any, Any]) -> Pixels:
    """Greys of 16 bits, also where they come in 32."""
    eight = np.clip(grey.astype(np.int64) // 257, 0, 255).astype(np.uint8)
    return np.repeat(eight[:, :, None], 3, axis=2)


def _orientation(image: Image.Image) -> int:
    try:
        return int(image.getexif().get(_ORIENTATION, 1))
    except Exception:
        # Notes that cannot be read say nothing; pixels count.
        return 1


def _turned(pixels: Pixels, orientation: int) -> Pixels:
    """As a person sees it: Exif 2.32, 4.6.4, Orientation."""
    match orientation:
        case 2:
            pixels = pixels[:, ::-1]
        case 3:
            pixels = pixels[::-1, ::-1]
        case 4:
            pixels = pixels[::-1]
        case 5:
            pixels = pixels.swapaxes(0, 1)
        case 6:
            pixels = np.rot90(pixels, -1)
        case 7:
            pixels = pixels[::-1, ::-1].swapaxes(0, 1)
        case 8:
            pixels = np.rot90(pixels)
    return np.ascontiguousarray(pixels)


def _notes(image: Image.Image) -> dict[int, float]:
    """The numbers among the camera's own notes."""
    found: dict[int, float] = {}
    try:
        notes = dict(image.getexif().get_ifd(_EXIF_IFD))
    except Exception:
        return found
    for tag, value in notes.items():
        try:
            found[int(tag)] = float(value)
        except (TypeError, ValueError, ZeroDivisionError, OverflowError):
            continue
    return {tag: value for tag, value in found.items() if math.isfinite(value)}


def _focal_px(notes: dict[int, float], width: int, height: int) -> float | None:
    """The focal length in pixels of this picture; None where the notes do not tell.

    The equivalent for 35 mm film goes by the diagonal (CIPA DCG-001); else the focal plane's
    resolution, in pixels of the picture as it was taken.
    """
    taken = sorted((notes.get(_PIXELS_ACROSS, 0.0), notes.get(_PIXELS_DOWN, 0.0)))
    seen = sorted((width, height))
    larger = 1.0
    if taken[0] > 0:
        shares = seen[0] / taken[0], seen[1] / taken[1]
        if abs(shares[0] / shares[1] - 1) > 0.01:
            # It has been cropped since, and nobody knows where.
            return None
        larger = shares[1]
    diagonal = math.hypot(width, height)
    focal = notes.get(_FOCAL_35MM, 0.0) / _FILM_DIAGONAL * diagonal
    if focal <= 0:
        unit = _UNITS.get(int(notes.get(_PLANE_UNIT, 2.0)), 0.0)
        if unit > 0:
            per_mm = notes.get(_PLANE_RESOLUTION, 0.0) / unit
            focal = notes.get(_FOCAL_LENGTH, 0.0) * per_mm * larger
    return focal if _LEAST_FOCAL <= focal / diagonal <= _MOST_FOCAL else None


def _dpi(image: Image.Image) -> float | None:
    """Dots an inch, where the file states them and they are the same both ways."""
    try:
        across, down = (float(value) for value in image.info["dpi"])
    except (KeyError, TypeError, ValueError, ZeroDivisionError):
        return None
    if not (_LEAST_DPI <= across <= _MOST_DPI and abs(across - down) <= 0.01 * across):
        return None
    return across
