"""Where the pixels of the flattened table are in a photo: exact on a grid, and straight between."""

from __future__ import annotations

from dataclasses import dataclass, field

import cv2
import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.model import Camera, Photo, Points

Field = NDArray[np.float32]

#: Pixels of the table between two points of the grid. At 0.25 mm a pixel, a lens and a tilt of
#: 30° bend the mapping by less than a hundredth of a pixel in between.
STEP = 16
#: Pixels at a photo's frame that are not used.
_FRAME_PX = 3
#: Part of a photo's smaller side over which it is taken less and less readily, up to its frame.
_TAPER = 0.12


@dataclass(frozen=True, eq=False)
class View:
    """How a photo shows the table; fields on the grid, whose first point is at pixel -8.5.

    Args:
        across: Column in the photo.
        down: Row in the photo.
        merit: How well the photo shows the place: pixels a millimetre in the worst direction, less
            near the frame, 0 where it shows nothing.
        finest: Pixels of the photo a millimetre, in the best place and direction.
        size: Columns and rows of the table.
        footprint: What the photo's frame encloses, pixels of the table; None when its horizon
            is in the picture.
        limits: Last column and row of the photo that are used.
    """

    across: Field = field(repr=False)
    down: Field = field(repr=False)
    merit: Field = field(repr=False)
    finest: float
    size: tuple[int, int]
    footprint: NDArray[np.float64] | None
    limits: tuple[float, float]

    def inside(self, top: int, bottom: int) -> NDArray[np.bool_]:
        """Which pixels of the rows from `top` to before `bottom` the photo shows."""
        columns = self.size[0]
        across = spread_out(self.across, top, bottom, columns)
        down = spread_out(self.down, top, bottom, columns)
        shown = (across >= _FRAME_PX) & (across <= self.limits[0])
        shown &= (down >= _FRAME_PX) & (down <= self.limits[1])
        if self.footprint is not None:
            area = np.zeros(shown.shape, np.uint8)
            corners = np.clip((self.footprint - (0, top)) * 16, -(2**27), 2**27)
            cv2.fillPoly(area, [corners.round().astype(np.int32)], 1, shift=4)
            shown &= area > 0
        return shown


def view_of(
    photo: Photo,
    camera: Camera,
    left: float,
    upper: float,
    pitch: float,
    size: tuple[int, int],
) -> View:
    """How a photo shows the table.

    Args:
        photo: The photo.
        camera: Its camera.
        left: x of the first column, millimetres.
        upper: y of the first row.
        pitch: Millimetres from pixel to pixel.
        size: Columns and rows.
    """
    columns, rows = size
    x = left + pitch * (STEP * np.arange(-(-columns // STEP) + 2) - (STEP + 1) / 2)
    y = upper - pitch * (STEP * np.arange(-(-rows // STEP) + 2) - (STEP + 1) / 2)
    shape = (len(y), len(x))
    on_table = np.column_stack((np.tile(x, len(y)), np.repeat(y, len(x))))
    in_photo = camera.to_photo(on_table)
    across, down = in_photo[:, 0].reshape(shape), in_photo[:, 1].reshape(shape)
    gone = ~np.isfinite(across + down)
    across, down = np.where(gone, -1e6, across), np.where(gone, -1e6, down)
    fine, worst = _scales(across, down, pitch * STEP)
    near = np.minimum(
        np.minimum(across, photo.width - 1 - across), np.minimum(down, photo.height - 1 - down)
    )
    merit = worst * np.clip(near / (_TAPER * min(photo.width, photo.height)), 0, 1)
    shown = near > 0
    frame = camera.to_table(frame_of(photo))
    footprint = None
    if np.isfinite(frame).all():
        footprint = np.column_stack(((frame[:, 0] - left) / pitch, (upper - frame[:, 1]) / pitch))
    return View(
        across.astype(np.float32),
        down.astype(np.float32),
        np.where(gone, 0, merit).astype(np.float32),
        float(np.median(fine[shown])) if shown.any() else 1.0,
        size,
        footprint,
        (photo.width - 1.0 - _FRAME_PX, photo.height - 1.0 - _FRAME_PX),
    )


def spread_out(grid: Field, top: int, bottom: int, columns: int) -> Field:
    """A field of the grid at every pixel of the rows from `top` to before `bottom`.

    Args:
        grid: The field.
        top: A multiple of `STEP`.
        bottom: The row after the last.
        columns: Pixels across.
    """
    first, last = top // STEP, -(-bottom // STEP) + 2
    part = grid[first:last]
    whole = cv2.resize(
        part, (part.shape[1] * STEP, part.shape[0] * STEP), interpolation=cv2.INTER_LINEAR
    )
    return np.ascontiguousarray(
        whole[STEP : STEP + bottom - top, STEP : STEP + columns], np.float32
    )


def _scales(
    across: NDArray[np.float64], down: NDArray[np.float64], apart: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Pixels a millimetre in the best and in the worst direction: the singular values."""
    ay, ax = np.gradient(across, apart)
    dy, dx = np.gradient(down, apart)
    half = (ax * ax + ay * ay + dx * dx + dy * dy) / 2
    area = ax * dy - ay * dx
    root = np.sqrt(np.maximum(half * half - area * area, 0))
    return np.sqrt(half + root), np.sqrt(np.maximum(half - root, 0))


def frame_of(photo: Photo) -> Points:
    """Points along what is used of a photo, pixels."""
    part = np.linspace(0, 1, 60, endpoint=False)[:, None]
    a, right, low = float(_FRAME_PX), photo.width - 1.0 - _FRAME_PX, photo.height - 1.0 - _FRAME_PX
    ends = np.array([[a, a], [right, a], [right, low], [a, low]])
    return np.concatenate([ends[i] + part * (ends[(i + 1) % 4] - ends[i]) for i in range(4)])
