"""How bright the bare paper is everywhere, so that uneven light can be divided out of the ink."""

from __future__ import annotations

from dataclasses import dataclass, field

import cv2
import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.ink.sheet import Mask, Shade, Sheet, disc, filled_in
from tiler.intake.photo.model import Flattened, Points

#: Pixels of the sheet along a pixel of the paper's brightness: about 2 mm.
COARSE = 4
#: Lines up to this width do not show in the paper's brightness, millimetres.
_WIDEST = 12.0
#: Light to values of pixels, about as sRGB has it; a power keeps ratios whatever the light.
_GAMMA = 2.2
#: How far the paper's brightness is averaged, millimetres (standard deviation), and how much it
#: may differ there (logarithm): a shadow's edge stays one.
_SMOOTH, _SHADOW = 8.0, 0.06


@dataclass(frozen=True, eq=False)
class Light:
    """The bare paper as the photos would show it.

    Args:
        pixels: Red, green and blue as float32, sRGB values, about 2 mm a pixel.
        times: Pixels of the flattened table along a pixel's side.
    """

    pixels: Shade = field(repr=False)
    times: int

    def darkness(self, flattened: Flattened, px: Points) -> NDArray[np.float32]:
        """How much of the paper's light is missing, red, green and blue: 0 is bare paper.

        It is light that blur and half-covered pixels mix, so that a line's edge is where half of
        it is missing; values of pixels are light to the power of 1/2.2.

        Args:
            flattened: The table.
            px: Pixel coordinates (column, row), shape (n, m, 2).

        Returns:
            Shape (n, m, 3).
        """
        out = np.empty((*px.shape[:2], 3), np.float32)
        for start in range(0, len(px), 4096):
            part = px[start : start + 4096].astype(np.float32)
            across, down = part[..., 0].copy(), part[..., 1].copy()
            ink = cv2.remap(
                flattened.pixels, across, down, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
            )
            shift = np.float32((self.times - 1) / 2)
            paper = cv2.remap(
                self.pixels,
                (across - shift) / np.float32(self.times),
                (down - shift) / np.float32(self.times),
                cv2.INTER_LINEAR,
                borderMode=cv2.BORDER_REPLICATE,
            )
            out[start : start + 4096] = (
                1 - (ink.astype(np.float32) / np.maximum(paper, 1)) ** _GAMMA
            )
        return out


def lab_of(darkness: NDArray[np.float32]) -> tuple[float, float, float]:
    """CIE L*, a*, b* of ink as it would look on white paper, from its darkness, n x 3."""
    from skimage.color import rgb2lab

    light = np.clip(1 - np.median(darkness, axis=0), 0, 1).astype(np.float64)
    value = light ** (1 / _GAMMA)
    lightness, a, b = rgb2lab(value[None, None])[0, 0]
    return float(lightness), float(a), float(b)


def coarse_of(sheet: Sheet) -> tuple[NDArray[np.uint8], Mask]:
    """The sheet at about 2 mm a pixel without its thin lines, and where that is known."""
    rows, columns = (max(1, n // COARSE) for n in sheet.seen.shape)
    whole = slice(0, rows * COARSE), slice(0, columns * COARSE)
    small = cv2.resize(sheet.pixels[whole], (columns, rows), interpolation=cv2.INTER_AREA)
    bare = (sheet.seen & ~sheet.cards)[whole]
    known = np.asarray(bare.reshape(rows, COARSE, columns, COARSE).all(axis=(1, 3)), np.bool_)
    pixels = filled_in(np.asarray(small, np.uint8), known)
    round_ = disc(_WIDEST / 2 / (sheet.pitch * COARSE))
    closed = cv2.morphologyEx(pixels, cv2.MORPH_CLOSE, round_)
    return np.asarray(cv2.medianBlur(closed, 5), np.uint8), known


def light_of(sheet: Sheet, coarse: NDArray[np.uint8], paper: Mask) -> Light:
    """The paper's brightness everywhere: averaged over paper alone but for edges of shadows.

    Beyond the paper it is carried on.

    Args:
        sheet: The table.
        coarse: From `coarse_of`.
        paper: Where paper is, at the same size.
    """
    sigma = _SMOOTH / (sheet.pitch * COARSE)
    known = cv2.erode(paper.astype(np.uint8), np.ones((3, 3), np.uint8))
    if not known.any():
        known = paper.astype(np.uint8)
    value = np.log(filled_in(coarse, known > 0).astype(np.float32) + 1)
    smooth = cv2.bilateralFilter(value, 2 * round(2 * sigma) + 1, _SHADOW, sigma)
    return Light(np.asarray(np.exp(smooth) - 1, np.float32), sheet.times * COARSE)


def brought_up(light: Light, sheet: Sheet) -> Shade:
    """The paper's brightness at every pixel of the sheet."""
    rows, columns = sheet.seen.shape
    low_rows, low_columns = light.pixels.shape[:2]
    big = cv2.resize(
        light.pixels, (low_columns * COARSE, low_rows * COARSE), interpolation=cv2.INTER_LINEAR
    )
    return np.asarray(
        cv2.copyMakeBorder(
            big, 0, rows - big.shape[0], 0, columns - big.shape[1], cv2.BORDER_REPLICATE
        ),
        np.float32,
    )
