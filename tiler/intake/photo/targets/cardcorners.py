"""Corners of a card's squares, found to a few hundredths of a pixel.

Round a corner, two squares are black and two white, so along the card's x and y the light is the
product of two edges. Blurred by a Gaussian, an edge is the error function of the distance to it
(as in any text on optics), and the corner is where both are nought. That is fitted to the pixels of
a cross: along both edges nearly to the next corner, and so narrow that it stays clear of markers.
A corner stays put when ink spreads or white is overexposed, for both move opposite edges alike.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.camera.starting import homography, mapped
from tiler.intake.photo.cards import COLUMNS, CORNERS, HEIGHT, MARKER, ROWS, SQUARE
from tiler.intake.photo.model import Numbers, Points

Floats = NDArray[np.float32]

#: Half the length of the cross and half its width, millimetres.
_LONG, _WIDE = 0.42 * SQUARE, 0.85 * (SQUARE - MARKER) / 2
#: At least so many pixels half across, so that blur does not reach out of it.
_LEAST_WIDE = 3.0
#: Rounds of least squares, and how far a corner may move in one, pixels.
_ROUNDS, _STRIDE = 12, 2.0
#: Keeps the least squares solvable where an edge is not seen.
_HOLD = np.full(9, 1e-6)
#: Less contrast than this is none, in linear light.
_DARK = 0.002
#: What a fit leaves, in shares of the contrast, before the corner is dropped.
_MOST_LEFT = 0.16
#: Less contrast than this share of the card's own is no corner.
_LEAST_CONTRAST = 0.45


@dataclass(frozen=True, eq=False)
class Corners:
    """The inner corners of a card that were found.

    Args:
        number: Which, as OpenCV counts them, (n,).
        in_photo: Where, pixels.
        blur_px: Standard deviation of the blur at each, pixels.
        left: What the fit leaves at each, in shares of its contrast.
    """

    number: NDArray[np.int64]
    in_photo: Points
    blur_px: Numbers = field(repr=False)
    left: Numbers = field(repr=False)


def inner_corners() -> Points:
    """All inner corners of a card in its own frame, in OpenCV's order: row by row from above."""
    column, row = np.meshgrid(np.arange(1, COLUMNS), np.arange(1, ROWS))
    return np.column_stack((column.ravel() * SQUARE, HEIGHT - row.ravel() * SQUARE)).astype(float)


def corners_in(light: Floats, matrix: Numbers, expected: Points) -> Corners:
    """Fit every corner of a card.

    Args:
        light: The photo's linear light, 0 to 1.
        matrix: Homography from the card's frame to the photo; tells how edges run.
        expected: Where corners should be, within a pixel or two, (`CORNERS`, 2).
    """
    at = inner_corners()
    keep, found, blurs, lefts, contrasts = [], [], [], [], []
    for number in range(CORNERS):
        step = np.array([[1e-3, 0.0], [0.0, 1e-3]])
        slope = (mapped(matrix, at[number] + step) - mapped(matrix, at[number] - step)).T / 2e-3
        fit = _fitted(light, expected[number], slope)
        if fit is not None:
            keep.append(number)
            found.append(fit[0])
            blurs.append(fit[1])
            lefts.append(fit[2])
            contrasts.append(fit[3])
    contrast, left = np.array(contrasts), np.array(lefts)
    good = np.zeros(0, dtype=bool)
    if keep:
        # The first square, upper left, is black; so signs change from corner to corner.
        parity = np.array([1 - 2 * ((n % (COLUMNS - 1) + n // (COLUMNS - 1)) % 2) for n in keep])
        usual = np.median(contrast * parity)
        good = (contrast * parity > _LEAST_CONTRAST * abs(usual)) & (left < _MOST_LEFT)
    return Corners(
        np.array(keep, dtype=np.int64)[good],
        np.array(found, dtype=np.float64).reshape(-1, 2)[good],
        np.array(blurs, dtype=np.float64)[good],
        left[good],
    )


def _fitted(
    light: Floats, start: Points, slope: Numbers
) -> tuple[Points, float, float, float] | None:
    """Corner, blur, what is left, contrast (its sign: black on the upper left and lower right)."""
    from scipy.special import erf

    height, width = light.shape
    reach = int(np.ceil(_LONG * np.linalg.norm(slope, axis=1).max()))
    x0, y0 = (np.rint(start).astype(int) - reach).tolist()
    x1, y1 = x0 + 2 * reach + 1, y0 + 2 * reach + 1
    own_x, own_y = max(x0, 0), max(y0, 0)
    patch = light[own_y : min(y1, height), own_x : min(x1, width)].astype(np.float64)
    if min(patch.shape) < 5:
        return None
    px, py = np.meshgrid(
        np.arange(own_x, own_x + patch.shape[1]), np.arange(own_y, own_y + patch.shape[0])
    )
    back = np.linalg.inv(slope)
    # Distances from the two edges in pixels are those in millimetres by these.
    per_mm = 1 / np.linalg.norm(back, axis=1)
    wide = np.maximum(_WIDE * per_mm, _LEAST_WIDE)
    whole = 0.75 * _cross_size(wide, per_mm, slope)
    corner, blur, contrast = start.astype(np.float64), 1.0, 1.0
    far = float(wide.max())
    for turn in range(_ROUNDS):
        dx, dy = (px - corner[0]).astype(np.float64), (py - corner[1]).astype(np.float64)
        a = (back[0, 0] * dx + back[0, 1] * dy) * per_mm[0]
        b = (back[1, 0] * dx + back[1, 1] * dy) * per_mm[1]
        away_a, away_b = np.abs(a), np.abs(b)
        cross = (away_a < wide[0]) & (away_b < _LONG * per_mm[1])
        cross |= (away_b < wide[1]) & (away_a < _LONG * per_mm[0])
        if cross.sum() < whole:
            return None
        a, b, dx, dy, value = a[cross], b[cross], dx[cross], dy[cross], patch[cross]
        root = np.sqrt(2) * blur
        ea, eb = erf(a / root), erf(b / root)
        steep = np.sqrt(2 / np.pi) / blur
        by_a = steep * np.exp(-((a / root) ** 2)) * eb
        by_b = steep * np.exp(-((b / root) ** 2)) * ea
        by_blur = -(by_a * a + by_b * b) / blur
        product = ea * eb
        shape = np.stack(
            (by_a, by_b, by_blur, product, np.ones_like(a), dx / far, dy / far,
             product * a / far, product * b / far)
        )  # fmt: skip
        told = shape @ shape.T + np.diag(_HOLD)
        best = np.linalg.solve(told, shape @ value)
        contrast = float(best[3])
        if abs(contrast) < _DARK:
            return None
        # The first three come times the contrast; they say how far the model must move.
        step = np.clip(best[:3] / contrast, -_STRIDE, _STRIDE)
        corner = corner - slope @ (step[:2] / per_mm)
        blur = float(np.clip(blur + np.clip(step[2], -blur / 2, blur), 0.25, 3 * far))
        if turn > 1 and np.abs(step[:2]).max() < 2e-3 and abs(step[2]) < 0.02:
            break
    else:
        if np.abs(step[:2]).max() > 0.03:
            return None
    if np.hypot(*(corner - start)) > max(3.0, 2.0 * far):
        return None
    left = value - best @ shape
    share = float(np.sqrt(np.mean(left**2))) / abs(contrast)
    return corner, blur, share, contrast


def _cross_size(wide: Numbers, per_mm: Numbers, slope: Numbers) -> float:
    """Pixels of a whole cross."""
    area = abs(float(np.linalg.det(slope)))
    across, up = (2 * wide / per_mm).tolist()
    return area * float((across + up) * 2 * _LONG - across * up)


def refined(on_card: Points, in_photo: Points, wanted: Points) -> Points:
    """Where points of a card should be, from others on it: a homography, and what bends beyond it.

    Args:
        on_card: Known points in the card's frame.
        in_photo: The same in the photo.
        wanted: Points in the card's frame.
    """
    matrix = homography(on_card, in_photo)
    aim = mapped(matrix, wanted)
    if len(on_card) < 16:
        return aim
    left = in_photo - mapped(matrix, on_card)
    shape = np.linalg.lstsq(_bent(on_card), left, rcond=None)[0]
    return np.asarray(aim + _bent(wanted) @ shape)


def _bent(points: Points) -> Numbers:
    x, y = ((points - (COLUMNS * SQUARE / 2, HEIGHT / 2)) / HEIGHT).T
    return np.column_stack((np.ones_like(x), x, y, x * x, x * y, y * y))
