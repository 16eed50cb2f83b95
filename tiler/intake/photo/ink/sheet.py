"""The flattened table made small enough to look for ink and paper on it quickly."""

from __future__ import annotations

from dataclasses import dataclass, field

import cv2
import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.cards import BORDER
from tiler.intake.photo.ink.flattening import card_area
from tiler.intake.photo.model import Flattened, Points, Solved

Mask = NDArray[np.bool_]
Shade = NDArray[np.float32]

#: Millimetres a pixel, about: fine enough for a pencil line, and a quarter of the work.
_FINE = 0.5
#: A card that was cut out by hand: how much wider than its squares it may be, and its shadow.
_CARD_MORE = BORDER + 3.0


@dataclass(frozen=True, eq=False)
class Sheet:
    """A smaller picture of the table.

    Args:
        pixels: sRGB.
        seen: Whether photos show the pixel whole.
        cards: Whether a card lies there.
        times: Pixels of the flattened table along a pixel's side.
        pitch: Millimetres from pixel to pixel.
    """

    pixels: NDArray[np.uint8] = field(repr=False)
    seen: Mask = field(repr=False)
    cards: Mask = field(repr=False)
    times: int
    pitch: float

    def to_flattened(self, px: Points) -> Points:
        """Pixel coordinates (column, row) of the flattened table."""
        return px * self.times + (self.times - 1) / 2

    def from_flattened(self, px: Points) -> Points:
        """Pixel coordinates (column, row) of this picture."""
        return (px - (self.times - 1) / 2) / self.times


def sheet_of(flattened: Flattened, solved: Solved) -> Sheet:
    """The table at about half a millimetre a pixel."""
    times = max(1, round(_FINE / flattened.pitch))
    rows, columns = (n // times for n in flattened.seen.shape)
    whole = flattened.pixels[: rows * times, : columns * times]
    pixels = cv2.resize(whole, (columns, rows), interpolation=cv2.INTER_AREA)
    shown = flattened.seen[: rows * times, : columns * times]
    seen = np.asarray(shown.reshape(rows, times, columns, times).all(axis=(1, 3)), np.bool_)
    cards = np.zeros((rows, columns), np.uint8)
    sheet = Sheet(np.asarray(pixels, np.uint8), seen, cards > 0, times, flattened.pitch * times)
    for card in solved.cards:
        corners = flattened.to_pixels(card_area(card, solved.print_scale, _CARD_MORE))
        around = sheet.from_flattened(corners).round().astype(np.int32)
        cv2.fillPoly(cards, [around], 1)
    return Sheet(sheet.pixels, seen, cards > 0, times, sheet.pitch)


def disc(radius_px: float) -> NDArray[np.uint8]:
    """A round structuring element; at least 3 x 3."""
    side = 2 * max(1, round(radius_px)) + 1
    return np.asarray(cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (side, side)), np.uint8)


def grown(mask: Mask, radius_px: float) -> Mask:
    """A mask made wider all round."""
    return np.asarray(cv2.dilate(mask.astype(np.uint8), disc(radius_px))) > 0


def shrunk(mask: Mask, radius_px: float) -> Mask:
    """A mask made narrower all round; the picture's edge does not count as outside."""
    return np.asarray(cv2.erode(mask.astype(np.uint8), disc(radius_px))) > 0


def filled_in(pixels: NDArray[np.uint8], known: Mask) -> NDArray[np.uint8]:
    """Pixels that are not known get the value of the nearest one that is."""
    if known.all() or not known.any():
        return pixels
    missing = (~known).astype(np.uint8)
    _, nearest = cv2.distanceTransformWithLabels(
        missing, cv2.DIST_L2, 3, labelType=cv2.DIST_LABEL_PIXEL
    )
    places = np.zeros(int(nearest.max()) + 1, np.int64)
    flat = np.flatnonzero(known)
    places[nearest.reshape(-1)[flat]] = flat
    every = pixels.reshape(-1, pixels.shape[2])
    return np.asarray(every[places[nearest.reshape(-1)]].reshape(pixels.shape), np.uint8)
