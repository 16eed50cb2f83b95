"""A photo made small to be drawn on: lines with a dark casing, rings, and words on dark ground."""

from __future__ import annotations

import io
from collections.abc import Iterator, Sequence
from functools import cache
from itertools import cycle
from pathlib import Path
from typing import TYPE_CHECKING

import cv2
import numpy as np

import tiler.sheets
from tiler.intake.photo.model import Photo, Pixels, Points

if TYPE_CHECKING:
    from PIL import ImageFont

Colour = tuple[int, int, int]

DARK: Colour = (20, 24, 28)
LIGHT: Colour = (255, 255, 255)
#: The comment in each file, by which a picture of ours is known again.
MARK = b"Blocksheet: what was found in a photo"
#: Fractions of a pixel that OpenCV's lines are drawn to, as a power of 2.
_FINE = 4
#: Width of a line and of its casing, and size of words, for a picture whose long side has
#: `_USUAL` pixels.
_LINE, _CASING, _TEXT, _USUAL = 4.0, 9.0, 34.0, 2400.0
#: Nothing is drawn further outside than this, pixels: OpenCV's fixed-point numbers would overflow.
_BEYOND = 20_000.0
#: How much of a tint covers what lies below.
_TINT = 0.45
#: Room round what must be seen, as a share of its larger side.
_ROOM = 0.06


class Canvas:
    """A photo of at most a given size, to draw on.

    Args:
        photo: What is drawn on.
        longest: Pixels of the long side; smaller photos stay as they are.
        around: Pixels of the photo that must be seen; what is far from all of them is left away.
        larger: How much a small part may be enlarged.
    """

    def __init__(
        self, photo: Photo, longest: int, around: Points | None = None, larger: float = 1.0
    ) -> None:
        left, top, right, bottom = _window(photo, around)
        self._corner = np.array([left, top], dtype=np.float64)
        part = photo.pixels[top:bottom, left:right]
        self.factor = min(larger, longest / max(right - left, bottom - top))
        size = (
            max(1, round((right - left) * self.factor)),
            max(1, round((bottom - top) * self.factor)),
        )
        how = cv2.INTER_AREA if self.factor < 1 else cv2.INTER_LINEAR
        small = cv2.resize(part, size, interpolation=how)
        self.pixels: Pixels = np.ascontiguousarray(small, dtype=np.uint8)
        self.unit = max(0.6, max(size) / _USUAL)
        self._taken: list[tuple[float, float, float, float]] = []

    @property
    def size(self) -> tuple[int, int]:
        """Pixels across and down."""
        return self.pixels.shape[1], self.pixels.shape[0]

    @property
    def text_px(self) -> int:
        """Size of words, pixels."""
        return max(12, round(_TEXT * self.unit))

    def at(self, in_photo: Points) -> Points:
        """Pixels of the canvas for pixels of the photo."""
        points = np.asarray(in_photo, dtype=np.float64).reshape(-1, 2) - self._corner
        return (points + 0.5) * self.factor - 0.5

    def line(
        self,
        points: Points,
        colour: Colour,
        *,
        closed: bool = False,
        dash: Sequence[float] = (),
        width: float = 1.0,
    ) -> None:
        """A line through pixels of the canvas.

        Args:
            points: Along it; it is broken where they are no numbers.
            colour: Of the line; its casing is dark.
            closed: Whether it goes back to its beginning.
            dash: Lengths of dashes and gaps in line widths, dash first; empty for none.
            width: In usual line widths.
        """
        runs = [run for part in _whole(points, closed) for run in _dashed(part, self._px(dash))]
        thick = max(1, round(_LINE * width * self.unit))
        casing = max(thick + 2, round((_LINE * width + _CASING - _LINE) * self.unit))
        for colour_of, thickness in ((DARK, casing), (colour, thick)):
            for run in runs:
                fixed = np.round(run * 2**_FINE).astype(np.int32)
                cv2.polylines(self.pixels, [fixed], False, colour_of, thickness, cv2.LINE_AA, _FINE)

    def tint(self, points: Points, colour: Colour) -> None:
        """Lay a colour over an area, so that what lies there still shows."""
        fixed = np.round(points * 2**_FINE).astype(np.int32)
        mask = np.zeros(self.pixels.shape[:2], dtype=np.uint8)
        cv2.fillPoly(mask, [fixed], 255, cv2.LINE_AA, _FINE)
        inside = mask > 0
        mixed = self.pixels[inside] * (1 - _TINT) + np.array(colour) * _TINT
        self.pixels[inside] = mixed.astype(np.uint8)

    def ring(self, at: Points, colour: Colour, radius: float = 4.0, width: float = 1.0) -> None:
        """A ring round one place; `radius` in line widths."""
        turn = np.linspace(0, 2 * np.pi, 49)
        size = radius * _LINE * self.unit
        self.line(
            at.reshape(1, 2) + size * np.column_stack((np.cos(turn), np.sin(turn))),
            colour,
            width=width,
        )

    def dot(self, at: Points, colour: Colour, radius: float = 1.6) -> None:
        """A filled spot with a casing; `radius` in line widths."""
        (x, y) = np.round(at.reshape(2) * 2**_FINE).astype(int).tolist()
        size = radius * _LINE * self.unit
        rim = (_CASING - _LINE) / 2 * self.unit
        for colour_of, radius_px in ((DARK, size + rim), (colour, size)):
            cv2.circle(
                self.pixels,
                (x, y),
                round(radius_px * 2**_FINE),
                colour_of,
                -1,
                cv2.LINE_AA,
                _FINE,
            )

    def words(
        self,
        text: str,
        near: Points,
        colour: Colour = LIGHT,
        *,
        bold: bool = True,
        over: bool = False,
    ) -> None:
        """Words on a dark ground, as near to a place as other words leave room.

        Args:
            text: One line.
            near: The place, pixels of the canvas.
            colour: Of the letters.
            bold: Which weight.
            over: Whether they may stand right over the place, instead of beside it.
        """
        font = face(self.text_px, bold)
        wide = font.getlength(text)
        high = self.text_px * 1.3
        pad = self.text_px * 0.3
        box = self._free(near.reshape(2), wide + 2 * pad, high, over=over)
        self._taken.append(box)
        left, top = round(box[0]), round(box[1])
        right, bottom = round(box[2]), round(box[3])
        self.pixels[top:bottom, left:right] = (
            self.pixels[top:bottom, left:right] * 0.15 + np.array(DARK) * 0.85
        ).astype(np.uint8)
        self._write([(text, (left + pad, (top + bottom) / 2), colour, bold)])

    def keep_free(self, points: Points, room: float = 2.0) -> None:
        """Keep words off what is drawn here; `room` in line widths round each point."""
        size = room * _LINE * self.unit
        for x, y in points[np.isfinite(points).all(axis=1)].tolist():
            self._taken.append((x - size, y - size, x + size, y + size))

    def jpeg(self, below: Pixels | None = None) -> bytes:
        """The picture as a JPEG file, with a strip of the same width below it."""
        from PIL import Image

        whole = self.pixels if below is None else np.vstack((self.pixels, below))
        out = io.BytesIO()
        Image.fromarray(whole).save(out, "JPEG", quality=90, optimize=True, comment=MARK)
        return out.getvalue()

    def _px(self, dash: Sequence[float]) -> list[float]:
        return [length * _LINE * self.unit for length in dash]

    def _free(
        self, near: Points, wide: float, high: float, *, over: bool
    ) -> tuple[float, float, float, float]:
        """The nearest box inside the picture that lies over nothing else, or the least bad one."""
        width, height = self.size
        best, least = (0.0, 0.0, wide, high), np.inf
        for away in (*((0.0,) if over else ()), 0.9, 1.6, 2.5, 3.6, 5.0, 7.0, 10.0):
            for turn in np.arange(0, 2 * np.pi, np.pi / 8):
                beside = wide / 2 + away * high * 0.6 if away else 0.0
                x = near[0] + np.cos(turn) * beside - wide / 2
                y = near[1] + np.sin(turn) * away * high - high / 2
                left = float(np.clip(x, 2, max(2, width - wide - 2)))
                top = float(np.clip(y, 2, max(2, height - high - 2)))
                box = left, top, left + wide, top + high
                cost = sum(_shared(box, other) for other in self._taken) * 100 + away * high
                if cost < least:
                    best, least = box, cost
            if least < 12.0 * high:
                break
        return best

    def _write(self, lines: Sequence[tuple[str, tuple[float, float], Colour, bool]]) -> None:
        self.pixels = written(self.pixels, self.text_px, lines)


def written(
    pixels: Pixels, size: int, lines: Sequence[tuple[str, tuple[float, float], Colour, bool]]
) -> Pixels:
    """Pixels with words on them: text, left end and middle height, colour, whether bold."""
    from PIL import Image, ImageDraw

    image = Image.fromarray(pixels)
    draw = ImageDraw.Draw(image)
    for text, at, colour, bold in lines:
        draw.text(at, text, fill=colour, font=face(size, bold), anchor="lm")
    return np.array(image, dtype=np.uint8)


@cache
def face(size: int, bold: bool) -> ImageFont.FreeTypeFont:
    """The typeface of our sheets."""
    from PIL import ImageFont

    name = "NotoSans-Bold.ttf" if bold else "NotoSans-Regular.ttf"
    return ImageFont.truetype(Path(tiler.sheets.__file__).parent / "fonts" / name, size)


def _window(photo: Photo, around: Points | None) -> tuple[int, int, int, int]:
    """The part of a photo that holds some of its pixels, with room round it: left, top, …"""
    whole = (0, 0, photo.width, photo.height)
    if around is None or not np.isfinite(around).all(axis=1).any():
        return whole
    points = around[np.isfinite(around).all(axis=1)]
    low, high = points.min(axis=0), points.max(axis=0)
    room = _ROOM * float((high - low).max())
    left, top = (max(0, int(side)) for side in low - room)
    right, bottom = (int(side) for side in high + room)
    right, bottom = min(photo.width, right), min(photo.height, bottom)
    return (left, top, right, bottom) if left < right and top < bottom else whole


def _shared(
    one: tuple[float, float, float, float], other: tuple[float, float, float, float]
) -> float:
    wide = min(one[2], other[2]) - max(one[0], other[0])
    high = min(one[3], other[3]) - max(one[1], other[1])
    return max(wide, 0.0) * max(high, 0.0)


def _whole(points: Points, closed: bool) -> Iterator[Points]:
    """The stretches of a line that have numbers, not far outside of the picture."""
    if closed and len(points):
        points = np.vstack((points, points[:1]))
    good = np.all(np.abs(np.nan_to_num(points, nan=np.inf)) < _BEYOND, axis=1)
    for run in np.split(np.arange(len(points)), np.flatnonzero(np.diff(good)) + 1):
        if len(run) and good[run[0]]:
            yield points[run]


def _dashed(points: Points, dash: Sequence[float]) -> Iterator[Points]:
    """The dashes of a line."""
    if not dash or len(points) < 2:
        yield points
        return
    steps = np.linalg.norm(np.diff(points, axis=0), axis=1)
    along = np.concatenate(([0.0], np.cumsum(steps)))
    start, drawn = 0.0, True
    for length in cycle(dash):
        end = min(start + length, along[-1])
        if drawn:
            inner = along[(along > start) & (along < end)]
            places = np.concatenate(([start], inner, [end]))
            yield np.column_stack([np.interp(places, along, points[:, k]) for k in (0, 1)])
        start, drawn = end, not drawn
        if start >= along[-1]:
            return
