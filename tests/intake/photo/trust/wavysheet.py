"""Points on a wavy sheet as a pinhole shows them on the table: a simulator of its own for tests.

Similar triangles: what stands h above the table at q, seen from (x, y, z), is taken for the place
q + h (q - (x, y)) / (z - h) of the table.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter1d

from tiler.intake.photo.model import Flattened, Lying, Solved

Array = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class Eye:
    """A pinhole that looks at the table; its picture is the table turned upside down, in mm."""

    centre: tuple[float, float, float]
    scale: float = 4.0
    size: tuple[int, int] = (4000, 3000)

    def to_photo(self, on_table: Array) -> Array:
        x, y = on_table.T * self.scale
        return np.column_stack((x + self.size[0] / 2, self.size[1] / 2 - y))

    def to_table(self, in_photo: Array) -> Array:
        u, v = in_photo.T
        return np.column_stack((u - self.size[0] / 2, self.size[1] / 2 - v)) / self.scale

    def shown(self, points: Array, height: Array) -> Array:
        """Where points that stand above the table seem to lie on it."""
        foot, z = np.array(self.centre[:2]), self.centre[2]
        return np.asarray(points + (height / (z - height))[:, None] * (points - foot))

    def slant(self, points: Array) -> Array:
        """Shift for each millimetre of height."""
        return np.asarray((points - self.centre[:2]) / self.centre[2])


@dataclass(frozen=True, eq=False)
class Sheet:
    """A sheet with waves in it, round the origin, its lowest place on the table."""

    corners: Array
    numbers: Array = field(default_factory=lambda: np.zeros((2, 1)))
    sizes: Array = field(default_factory=lambda: np.zeros(1))
    phases: Array = field(default_factory=lambda: np.zeros(1))
    base: float = 0.0

    def height(self, points: Array) -> Array:
        return np.asarray(np.sin(points @ self.numbers + self.phases) @ self.sizes + self.base)

    @property
    def deviation(self) -> float:
        """Standard deviation of the height over the sheet."""
        return float(self.height(_grid(self.corners)).std())


def _grid(corners: Array) -> Array:
    low, high = corners.min(axis=0), corners.max(axis=0)
    x, y = np.meshgrid(*(np.linspace(a, b, 50) for a, b in zip(low, high, strict=True)))
    return np.column_stack((x.ravel(), y.ravel()))


def sheet(chance: np.random.Generator, rise: float) -> Sheet:
    """Three to five waves that together rise so far from trough to crest."""
    wide, high = chance.uniform(500, 900), chance.uniform(400, 650)
    box = np.array([(-wide, -high), (wide, -high), (wide, high), (-wide, high)]) / 2
    count = int(chance.integers(3, 6))
    turns, lengths = chance.uniform(0, np.pi, count), chance.uniform(180, 600, count)
    numbers = np.vstack((np.cos(turns), np.sin(turns))) * 2 * np.pi / lengths
    raw = Sheet(box, numbers, chance.uniform(0.4, 1, count), chance.uniform(0, 6.3, count))
    heights = raw.height(_grid(box))
    scale = rise / np.ptp(heights)
    return Sheet(box, numbers, raw.sizes * scale, raw.phases, -float(heights.min()) * scale)


def eye(chance: np.random.Generator, corners: Array, most: float = 30.0) -> Eye:
    """A phone over it, tilted by up to `most` degrees."""
    away = float(np.ptp(corners, axis=0).max()) * chance.uniform(1.0, 1.5)
    tilt, side = np.radians(chance.uniform(0, most)), chance.uniform(0, 2 * np.pi)
    flat = away * np.sin(tilt)
    return Eye((flat * np.cos(side), flat * np.sin(side), away * np.cos(tilt)))


def edge_shown(
    a: Array, b: Array, paper: Sheet, view: Eye, cut: Array, seen: float, chance: object
) -> tuple[Array, Array, Array, Array]:
    """An edge from a to b as it is shown: points, along, off the straight line, outward."""
    assert isinstance(chance, np.random.Generator)
    length = float(np.hypot(*(b - a)))
    way = (b - a) / length
    out = np.array([way[1], -way[0]])
    s = np.arange(8, length - 8, 2.0)
    real = a + s[:, None] * way + np.interp(s, np.linspace(0, length, len(cut)), cut)[:, None] * out
    points = view.shown(real, paper.height(real)) + chance.normal(0, seen, len(s))[:, None] * out
    along, off = (points - a) @ way, (points - a) @ out
    off = off - np.polyval(np.polyfit(along, off, 1), along)
    return points, along, off, out


def scissors(chance: np.random.Generator, size: float, bend: float) -> Array:
    """How an edge of 1000 places wanders: smoothed noise of a standard deviation."""
    wander = gaussian_filter1d(chance.standard_normal(1400), max(bend, 0.1))[200:1200]
    return np.asarray(size * wander / wander.std())


def block(size: float = 220.0) -> Array:
    """A closed outline: straight below, bent round the arm, like a bodice block."""
    t = np.linspace(0, 1, 120, endpoint=False)
    top = np.column_stack((size * (1 - 1.4 * t), 0.9 * size * (0.7 + 0.3 * np.sin(7 * t))))
    corners = np.array([(-size, -0.9 * size), (size, -0.8 * size)])
    ring = np.vstack((corners, top, corners[:1]))
    steps = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(ring, axis=0).T))))
    at = np.arange(0, steps[-1], 1.0)
    return np.column_stack([np.interp(at, steps, ring[:, k]) for k in (0, 1)])


def table(pixels: NDArray[np.uint8], left: float, top: float, pitch: float) -> Flattened:
    """A picture of the table that one photo shows all of."""
    shape = pixels.shape[:2]
    return Flattened(pixels, np.ones(shape, np.bool_), left, top, pitch, np.zeros(shape, np.uint8))


def solved(*views: Eye, cards: tuple[Lying, ...] = (), spread: float = 0.1) -> Solved:
    """As if the cameras were known."""
    return Solved(views, cards, (1.0, 1.0), lambda points: np.full(len(points), spread))
