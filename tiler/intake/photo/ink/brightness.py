"""Makes photos of one table equally bright where they show the same places."""

from __future__ import annotations

from dataclasses import dataclass, field

import cv2
import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.ink.mapping import Field, View
from tiler.intake.photo.model import Photo

#: Values between which a pixel tells how bright the light is.
_DARK, _LIGHT = 12, 250
#: Places that two photos must share to be compared.
_ENOUGH = 40


@dataclass(frozen=True, eq=False)
class Gains:
    """What to multiply each photo's values with.

    Args:
        planes: Photo x channel x 3: logarithm of the gain, as constant and slopes over the grid
            (-1 to 1 across and down).
        shape: Rows and columns of the grid.
    """

    planes: NDArray[np.float64] = field(repr=False)
    shape: tuple[int, int]

    @property
    def even(self) -> bool:
        """Whether there is nothing to do."""
        return not self.planes.any()

    def of(self, photo: int, channel: int) -> Field:
        """The factor on the grid."""
        rows, columns = self.shape
        constant, across, down = self.planes[photo, channel]
        x, y = np.linspace(-1, 1, columns), np.linspace(-1, 1, rows)
        return np.asarray(np.exp(constant + across * x[None, :] + down * y[:, None]), np.float32)


def gains_of(photos: tuple[Photo, ...], views: list[View]) -> Gains:
    """Gains that make the photos agree where they overlap, and change them least."""
    shape = (views[0].across.shape[0], views[0].across.shape[1])
    planes = np.zeros((len(photos), 3, 3))
    if len(photos) < 2:
        return Gains(planes, shape)
    shown = [_shown(photo, view) for photo, view in zip(photos, views, strict=True)]
    rows, columns = shape
    x = np.tile(np.linspace(-1, 1, columns), rows)
    y = np.repeat(np.linspace(-1, 1, rows), columns)
    basis = np.column_stack((np.ones_like(x), x, y))
    for channel in range(3):
        planes[:, channel] = _solved([part[:, channel] for part in shown], basis)
    return Gains(planes, shape)


def _shown(photo: Photo, view: View) -> NDArray[np.float64]:
    """Logarithm of what a photo shows at the grid's points, n x 3; NaN where it says nothing."""
    times = max(1, round(view.finest * 4))
    small = cv2.resize(
        photo.pixels,
        (max(1, photo.width // times), max(1, photo.height // times)),
        interpolation=cv2.INTER_AREA,
    )
    scale = np.float32(small.shape[1] / photo.width), np.float32(small.shape[0] / photo.height)
    half = np.float32(0.5)
    across = (view.across + half) * scale[0] - half
    down = (view.down + half) * scale[1] - half
    found = cv2.remap(small, across, down, cv2.INTER_LINEAR).reshape(-1, 3)
    known = (view.merit.reshape(-1) > 0)[:, None] & (found > _DARK) & (found < _LIGHT)
    value = np.log(np.maximum(found, 1).astype(np.float64))
    return np.asarray(np.where(known, value, np.nan), np.float64)


def _solved(shown: list[NDArray[np.float64]], basis: NDArray[np.float64]) -> NDArray[np.float64]:
    """The planes of one channel, least squares over all pairs; strays count little."""
    count = len(shown)
    normal = 1e-3 * np.eye(3 * count)
    right = np.zeros(3 * count)
    for a in range(count):
        for b in range(a + 1, count):
            apart = shown[a] - shown[b]
            both = np.isfinite(apart)
            if both.sum() < _ENOUGH:
                continue
            off = apart[both]
            stray = np.abs(off - np.median(off))
            weight = 1 / (1 + (stray / (1.5 * np.median(stray) + 1e-3)) ** 2)
            part = basis[both]
            weight /= weight.sum()
            inner = part.T @ (part * weight[:, None])
            moment = part.T @ (weight * off)
            for i, j, sign in ((a, a, 1), (b, b, 1), (a, b, -1), (b, a, -1)):
                normal[3 * i : 3 * i + 3, 3 * j : 3 * j + 3] += sign * inner
            right[3 * a : 3 * a + 3] -= moment
            right[3 * b : 3 * b + 3] += moment
    return np.asarray(np.linalg.solve(normal, right).reshape(count, 3), np.float64)
