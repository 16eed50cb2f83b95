"""What a measured mat can show: how true, and how fine."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tiler.layout.mats.grid import grid_corners_px
from tiler.layout.mats.homography import Homography
from tiler.layout.mats.mat import Mat
from tiler.layout.mats.quadrilateral import covariance
from tiler.layout.mats.usable import usable_rectangle

Array = npt.NDArray[np.float64]

#: A line is safely seen from so many pixels on; common practice, no source.
LINE_PX = 2.0
#: A line is drawn as near as half a pixel to its place.
_ROUNDING_PX = 0.5
_SMALL = 1e-3


@dataclass(frozen=True)
class Accuracy:
    """What a mat can show.

    Args:
        pixel_sizes: The long extent of a pixel at each corner of the grid, mm: lower left, lower
            right, upper right, upper left.
        error: What is to be expected at the worst corner of the usable rectangle, mm: one standard
            deviation of the place for the noise of the measured lengths, and half a pixel.
        smallest_line: The thinnest line that is seen everywhere, mm.
    """

    pixel_sizes: tuple[float, float, float, float]
    error: float
    smallest_line: float


def accuracy_of(mat: Mat) -> Accuracy:
    """What a mat can show; the six lengths are taken to be measured with the mat's noise.

    Raises:
        ProjectionError: The mat was not measured yet.
    """
    onto = mat.to_mat()
    grid = np.asarray(grid_corners_px(mat.width_px, mat.height_px), dtype=np.float64)
    corners = onto(grid)
    places = onto.inverse()(usable_rectangle(mat).corners())
    spread = covariance(corners, mat.noise)
    pixels = [onto.sizes_at((x, y))[0] for x, y in places]
    errors = [
        float(np.sqrt(np.trace(slope @ spread @ slope.T))) + _ROUNDING_PX * pixel
        for slope, pixel in zip(_slopes(grid, corners, places), pixels, strict=True)
    ]
    first, second, third, fourth = (onto.sizes_at((x, y))[0] for x, y in grid)
    return Accuracy((first, second, third, fourth), max(errors), LINE_PX * max(pixels))


def _slopes(grid: Array, corners: Array, places: Array) -> Array:
    """How places of the picture move on the mat when the corners do: (places, 2, 8)."""
    steps = np.eye(8).reshape(8, 4, 2) * _SMALL
    moved = [
        Homography.through(grid, corners + step)(places)
        - Homography.through(grid, corners - step)(places)
        for step in steps
    ]
    return np.asarray(moved).transpose(1, 2, 0) / (2 * _SMALL)
