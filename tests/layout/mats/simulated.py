"""A projector in space, for tests: rays from one point on a tilted plane."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tiler.layout.mats.grid import GRID_INSET

Array = npt.NDArray[np.float64]
WIDTH_PX, HEIGHT_PX = 1920, 1080
GRID = np.array(
    [
        (GRID_INSET, HEIGHT_PX - GRID_INSET),
        (WIDTH_PX - GRID_INSET, HEIGHT_PX - GRID_INSET),
        (WIDTH_PX - GRID_INSET, GRID_INSET),
        (GRID_INSET, GRID_INSET),
    ],
    dtype=np.float64,
)
MIDDLES = (GRID + np.roll(GRID, -1, axis=0)) / 2


@dataclass(frozen=True)
class Projector:
    """A point of light at the origin that looks along z, and a plane.

    Args:
        throw: Distance over width of the picture.
        about_x: Tilt of the plane about the level axis, degrees.
        about_y: And about the upright axis.
        offset: How far the picture is shifted up, in heights.
        distance: From the light to the plane, along z, mm.
    """

    throw: float = 1.25
    about_x: float = 0.0
    about_y: float = 0.0
    offset: float = 0.0
    distance: float = 1500.0

    def onto(self, pixels: Array) -> Array:
        """Where pixels fall on the plane, in axes of the plane, mm."""
        rays = np.column_stack(
            [
                (pixels[:, 0] - WIDTH_PX / 2) / WIDTH_PX,
                (HEIGHT_PX / 2 - pixels[:, 1] + self.offset * HEIGHT_PX) / WIDTH_PX,
                np.full(len(pixels), self.throw),
            ]
        )
        x, y = math.radians(self.about_x), math.radians(self.about_y)
        about_x = np.array(
            [(1, 0, 0), (0, math.cos(x), -math.sin(x)), (0, math.sin(x), math.cos(x))]
        )
        about_y = np.array(
            [(math.cos(y), 0, math.sin(y)), (0, 1, 0), (-math.sin(y), 0, math.cos(y))]
        )
        axes = about_y @ about_x
        across, up, normal = axes.T
        foot = np.array([0.0, 0.0, self.distance])
        reach = (foot @ normal) / (rays @ normal)
        points = rays * reach[:, None] - foot
        return np.column_stack([points @ across, points @ up])


def measured(points: Array, middles: Array | None = None) -> dict[str, float]:
    """What a perfect tape reads between the grid's corners, and between the middles."""

    def apart(a: Array, b: Array) -> float:
        return float(np.hypot(*(a - b)))

    a, b, c, d = points
    lengths = {
        "lower": apart(a, b),
        "right": apart(b, c),
        "upper": apart(c, d),
        "left": apart(d, a),
        "rising": apart(a, c),
        "falling": apart(d, b),
    }
    if middles is not None:
        lengths["middle-level"] = apart(middles[3], middles[1])
        lengths["middle-upright"] = apart(middles[0], middles[2])
    return lengths


def projectors(seed: int, count: int, offset: float = 0.0) -> Iterator[Projector]:
    """Projectors tilted by up to 25 degrees any way, whose pictures are about 1.2 m wide.

    Args:
        seed: Of the random numbers.
        count: How many.
        offset: The lens is shifted up or down by at most so many heights.
    """
    rng = np.random.default_rng(seed)
    for _ in range(count):
        tilt, way = 25 * math.sqrt(rng.random()), rng.uniform(0, 2 * math.pi)
        drawn = Projector(
            throw=rng.uniform(0.9, 2.0),
            about_x=tilt * math.cos(way),
            about_y=tilt * math.sin(way),
            offset=rng.uniform(-offset, offset),
        )
        lengths = measured(drawn.onto(GRID))
        size = 1200 * 2 / (lengths["lower"] + lengths["upper"])
        yield Projector(
            drawn.throw, drawn.about_x, drawn.about_y, drawn.offset, drawn.distance * size
        )
