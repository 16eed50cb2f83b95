"""A projector that is simulated with arithmetic of its own, and what it shows on a flat mat.

A pinhole: straight rays from one point through a grid of square pixels (any book on computer
vision; Hartley and Zisserman, "Multiple View Geometry", chapter 6, from memory). Nothing is shared
with the tool but the measured lengths that a person would type in.
"""

from __future__ import annotations

import io
from dataclasses import dataclass

import cv2
import numpy as np
import numpy.typing as npt
import shapely
from PIL import Image

Array = npt.NDArray[np.float64]
WIDTH, HEIGHT = 1920, 1080
#: The picture on the mat is looked at with so many dots a millimetre.
DOTS = 2.0


@dataclass(frozen=True)
class Projector:
    """From a picture's pixels (y down) to the plane of the mat (mm, y up)."""

    matrix: Array

    def land(self, points: Array) -> Array:
        """Where pixels fall."""
        far = np.column_stack([points, np.ones(len(points))]) @ self.matrix.T
        return np.asarray(far[:, :2] / far[:, 2:])

    def show(self, png: bytes) -> tuple[Array, Array]:
        """The lit mat as a raster, 0 to 1, and where its upper left dot is, mm."""
        picture = np.asarray(Image.open(io.BytesIO(png)).convert("L"))
        assert picture.shape == (HEIGHT, WIDTH)
        corners = self.land(np.array([[0, 0], [WIDTH, 0], [WIDTH, HEIGHT], [0, HEIGHT]], float))
        left, low = corners.min(axis=0)
        right, high = corners.max(axis=0)
        # OpenCV counts from the middle of a pixel; dots run down while the mat's y runs up.
        half = np.array([[1, 0, 0.5], [0, 1, 0.5], [0, 0, 1]])
        into = np.array([[DOTS, 0, -DOTS * left - 0.5], [0, -DOTS, DOTS * high - 0.5], [0, 0, 1]])
        size = (int((right - left) * DOTS) + 1, int((high - low) * DOTS) + 1)
        lit = cv2.warpPerspective(picture, into @ self.matrix @ half, size, flags=cv2.INTER_LINEAR)
        return np.asarray(lit, dtype=float) / 255, np.array([left, high])


def random_projector(random: np.random.Generator, most: float = 25.0) -> Projector:
    """Tilted by up to so many degrees about both axes, just far enough to cover 1.2 by 0.7 m."""
    tilt, pan = np.radians(random.uniform(-most, most, 2))
    about_x = np.array(
        [[1, 0, 0], [0, np.cos(tilt), -np.sin(tilt)], [0, np.sin(tilt), np.cos(tilt)]]
    )
    about_y = np.array([[np.cos(pan), 0, np.sin(pan)], [0, 1, 0], [-np.sin(pan), 0, np.cos(pan)]])
    throw = random.uniform(1.0, 1.6) * WIDTH
    lens = np.array([[throw, 0, WIDTH / 2], [0, throw, HEIGHT / 2], [0, 0, 1]])
    up = np.diag([1.0, -1.0, 1.0])
    rays = up @ about_x @ about_y @ np.linalg.inv(lens)
    outer = np.array([[0, HEIGHT], [WIDTH, HEIGHT], [WIDTH, 0], [0, 0]], float)
    low, high = 100.0, 20000.0
    while high - low > 1.0:
        middle = (low + high) / 2
        corners = Projector(np.diag([middle, middle, 1.0]) @ rays).land(outer)
        if _holds(corners, 1200.0, 700.0):
            high = middle
        else:
            low = middle
    return Projector(np.diag([high * 1.01, high * 1.01, 1.0]) @ rays)


def _holds(corners: Array, width: float, height: float) -> bool:
    """Whether a rectangle along the lower side of the picture lies in it, about its middle."""
    along = corners[1] - corners[0]
    along = along / np.hypot(*along)
    upward = np.array([-along[1], along[0]])
    whole = shapely.Polygon(corners)
    middle = np.array(whole.centroid.coords[0])
    ends = [
        middle + sx * along * width / 2 + sy * upward * height / 2
        for sx, sy in ((-1, -1), (1, -1), (1, 1), (-1, 1))
    ]
    return bool(whole.contains(shapely.Polygon(ends)))


def centres(lit: Array, origin: Array, points: Array, normals: Array, reach: float) -> Array:
    """How far the middle of the nearest light is from each point along its normal, mm.

    Raises:
        AssertionError: A point has no light within reach.
    """
    steps = np.arange(-reach, reach + 1e-9, 0.1)
    places = points[:, None] + steps[None, :, None] * normals[:, None]
    across = (places[..., 0] - origin[0]) * DOTS - 0.5
    down = (origin[1] - places[..., 1]) * DOTS - 0.5
    seen = cv2.remap(
        lit.astype(np.float32), across.astype(np.float32), down.astype(np.float32), cv2.INTER_LINEAR
    )
    found = []
    for row in np.asarray(seen, dtype=float):
        bright = np.flatnonzero(row > 0.3)
        assert len(bright), "a line of the pattern is not there"
        nearest = bright[np.argmin(np.abs(steps[bright]))]
        dark = np.flatnonzero(row <= 0.05)
        low = max(dark[dark < nearest], default=-1) + 1
        high = min(dark[dark > nearest], default=len(row))
        weight = row[low:high]
        found.append(float((weight * steps[low:high]).sum() / weight.sum()))
    return np.array(found)
