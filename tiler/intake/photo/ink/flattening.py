"""Photos -> the table from straight above; every pixel is taken from one photo, and only once."""

from __future__ import annotations

from math import cos, sin, sqrt

import cv2
import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.cards import BORDER, HEIGHT, WIDTH
from tiler.intake.photo.ink.brightness import Gains, gains_of
from tiler.intake.photo.ink.mapping import STEP, View, frame_of, spread_out, view_of
from tiler.intake.photo.model import Flattened, Lying, Photo, Points, Solved
from tiler.intake.photo.problem import CaptureError, Doubts

#: How far beyond the cards the table is shown, as a part of their extent on each side; and where a
#: line runs on there.
BEYOND, FARTHER = 0.25, 0.75
#: The most pixels of the flattened table; it gets coarser rather than larger.
_MOST = 40_000_000
#: Rows that are made at a time; a multiple of the grid's step.
_STRIP = 16 * STEP


def flatten(
    photos: tuple[Photo, ...],
    solved: Solved,
    doubts: Doubts,
    pitch: float = 0.25,
    beyond: float = BEYOND,
) -> Flattened:
    """Show the table from straight above.

    Where several photos show a place, the one with the finest pixels there is taken, and less
    readily so towards its frame; the photos are made equally bright first.

    Args:
        photos: What was photographed.
        solved: How the cameras stood.
        doubts: Where it is told when the pixels had to be coarser than asked for.
        pitch: Millimetres from pixel to pixel.
        beyond: How far beyond the cards, as a part of their extent, the table is shown.

    Raises:
        CaptureError: The photos show nothing of the table round the cards.
    """
    left, low, right, high = _window(photos, solved, beyond)
    if right - left < 10 * pitch or high - low < 10 * pitch:
        raise CaptureError(
            "the photos show nothing of the table round the cards",
            remedy="Photograph the tracing and the cards again, from above.",
            code="no-table",
        )
    finest = sqrt((right - left) * (high - low) / _MOST)
    if finest > pitch:
        doubts.add(
            "coarse",
            f"the table is large: it is measured at {finest:.2f} mm a pixel, not {pitch:g} mm",
        )
        pitch = finest
    columns, rows = int((right - left) / pitch) + 1, int((high - low) / pitch) + 1
    views = [
        view_of(photo, camera, left, high, pitch, (columns, rows))
        for photo, camera in zip(photos, solved.cameras, strict=True)
    ]
    gains = gains_of(photos, views)
    pixels = np.zeros((rows, columns, 3), np.uint8)
    seen = np.zeros((rows, columns), np.bool_)
    taken = np.zeros((rows, columns), np.uint8)
    best = np.zeros((rows, columns), np.float32) if len(photos) > 1 else None
    for index, (photo, view) in enumerate(zip(photos, views, strict=True)):
        source = _softened(photo, view, pitch)
        for top in range(0, rows, _STRIP):
            bottom = min(top + _STRIP, rows)
            shown = view.inside(top, bottom)
            if best is not None:
                merit = spread_out(view.merit, top, bottom, columns)
                shown &= merit > best[top:bottom]
                best[top:bottom][shown] = merit[shown]
            if not shown.any():
                continue
            new = _strip(source, view, gains, index, top, bottom, columns)
            cv2.copyTo(new, shown.astype(np.uint8), pixels[top:bottom])
            taken[top:bottom][shown] = index
            seen[top:bottom] |= shown
    return Flattened(pixels, seen, left, high, pitch, taken)


def _strip(
    source: NDArray[np.uint8],
    view: View,
    gains: Gains,
    index: int,
    top: int,
    bottom: int,
    columns: int,
) -> NDArray[np.uint8]:
    across = spread_out(view.across, top, bottom, columns)
    down = spread_out(view.down, top, bottom, columns)
    new = cv2.remap(source, across, down, cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE)
    if gains.even:
        return np.asarray(new, np.uint8)
    bright = new.astype(np.float32)
    for channel in range(3):
        bright[..., channel] *= spread_out(gains.of(index, channel), top, bottom, columns)
    return np.asarray(np.clip(bright + 0.5, 0, 255), np.uint8)


def _softened(photo: Photo, view: View, pitch: float) -> NDArray[np.uint8]:
    """Take out what is finer than a pixel of the table; unchanged when nothing is."""
    ratio = view.finest * pitch
    if ratio < 1.25:
        return photo.pixels
    sigma = 0.5 * sqrt(ratio * ratio - 1)
    return np.asarray(cv2.GaussianBlur(photo.pixels, (0, 0), sigma), np.uint8)


def _window(
    photos: tuple[Photo, ...], solved: Solved, beyond: float
) -> tuple[float, float, float, float]:
    """Left, lower, right and upper end of what is shown."""
    corners = np.concatenate([card_area(card, solved.print_scale, BORDER) for card in solved.cards])
    low, high = corners.min(axis=0), corners.max(axis=0)
    more = beyond * float((high - low).max())
    low, high = low - more, high + more
    frames = [
        camera.to_table(frame_of(photo))
        for photo, camera in zip(photos, solved.cameras, strict=True)
    ]
    if all(np.isfinite(frame).all() for frame in frames):
        every = np.concatenate(frames)
        low, high = np.maximum(low, every.min(axis=0)), np.minimum(high, every.max(axis=0))
    return float(low[0]), float(low[1]), float(high[0]), float(high[1])


def card_area(card: Lying, print_scale: tuple[float, float], more: float) -> Points:
    """The corners of a card's squares on the table, anticlockwise.

    Args:
        card: How it lies.
        print_scale: As in `Solved`.
        more: How much wider on every side, millimetres; `BORDER` for the whole card.
    """
    a, b = WIDTH * print_scale[0], HEIGHT * print_scale[1]
    own = np.array([[-more, -more], [a + more, -more], [a + more, b + more], [-more, b + more]])
    c, s = cos(card.turn), sin(card.turn)
    return np.asarray(own @ np.array([[c, s], [-s, c]]) + (card.x, card.y), np.float64)
