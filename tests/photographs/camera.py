"""A phone's camera: a pinhole behind a lens with Brown's distortion (D. C. Brown, Close-range
camera calibration, Photogrammetric Engineering 37, 1971), its pixels' centres at whole numbers.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from scipy.interpolate import RectBivariateSpline

from tests.photographs.scene import Array


@dataclass(frozen=True, eq=False)
class Camera:
    """Where it stands and what its lens does.

    Args:
        width: Pixels across.
        height: Pixels down.
        focal: Focal length, pixels.
        centre: Principal point, pixels.
        turning: World to camera (x right, y down, z away), 3 x 3.
        place: Of the pinhole in the world.
        k: Radial coefficients k1, k2, k3.
        p: Tangential coefficients p1, p2.
    """

    width: int
    height: int
    focal: float
    centre: tuple[float, float]
    turning: Array = field(repr=False)
    place: Array
    k: tuple[float, float, float] = (0.0, 0.0, 0.0)
    p: tuple[float, float] = (0.0, 0.0)

    @property
    def tilt(self) -> float:
        """Degrees between the view and the table's upright."""
        return float(np.degrees(np.arccos(np.clip(-self.turning[2, 2], -1, 1))))

    def bent(self, ideal: Array) -> Array:
        """Where the lens puts normalised coordinates."""
        x, y = ideal[..., 0], ideal[..., 1]
        r2 = x * x + y * y
        radial = 1 + r2 * (self.k[0] + r2 * (self.k[1] + r2 * self.k[2]))
        p1, p2 = self.p
        return np.stack(
            (
                x * radial + 2 * p1 * x * y + p2 * (r2 + 2 * x * x),
                y * radial + p1 * (r2 + 2 * y * y) + 2 * p2 * x * y,
            ),
            axis=-1,
        )

    def straight(self, bent: Array) -> Array:
        """The inverse of `bent`, by Newton's method from where the coordinates are."""
        target = np.asarray(bent, float)
        at = target.copy()
        p1, p2 = self.p
        for _ in range(30):
            x, y = at[..., 0], at[..., 1]
            r2 = x * x + y * y
            radial = 1 + r2 * (self.k[0] + r2 * (self.k[1] + r2 * self.k[2]))
            slope = self.k[0] + r2 * (2 * self.k[1] + 3 * self.k[2] * r2)
            xx = radial + 2 * x * x * slope + 2 * p1 * y + 6 * p2 * x
            xy = 2 * x * y * slope + 2 * p1 * x + 2 * p2 * y
            yy = radial + 2 * y * y * slope + 6 * p1 * y + 2 * p2 * x
            miss = self.bent(at) - target
            det = xx * yy - xy * xy
            step = np.stack(
                (
                    (yy * miss[..., 0] - xy * miss[..., 1]) / det,
                    (xx * miss[..., 1] - xy * miss[..., 0]) / det,
                ),
                axis=-1,
            )
            at = at - step
            if np.abs(step).max(initial=0) < 1e-13:
                break
        return at

    def project(self, world: Array) -> Array:
        """Pixels of points (…, 3); (…, 2) is taken to lie at z = 0."""
        world = np.asarray(world, float)
        if world.shape[-1] == 2:
            world = np.concatenate((world, np.zeros((*world.shape[:-1], 1))), axis=-1)
        seen = (world - self.place) @ self.turning.T
        return np.array(self.centre) + self.focal * self.bent(seen[..., :2] / seen[..., 2:])

    def directions(self, columns: Array, rows: Array) -> Array:
        """Directions of sight in the world through a grid of pixels, (rows, columns, 3).

        The lens is turned back exactly every 16 pixels; quintic splines stand for the rest, which
        is off by less than a millionth of a pixel.
        """
        u = np.arange(columns[0] - 48, columns[-1] + 64, 16.0)
        v = np.arange(rows[0] - 48, rows[-1] + 64, 16.0)
        knots = (np.stack(np.meshgrid(u, v), axis=-1) - self.centre) / self.focal
        ideal = self.straight(knots)
        sight = np.ones((len(rows), len(columns), 3))
        for axis in range(2):
            fit = RectBivariateSpline(v, u, ideal[..., axis], kx=5, ky=5)
            sight[..., axis] = fit(rows, columns)
        return sight @ self.turning

    def rays(self, columns: Array, rows: Array) -> tuple[Array, Array]:
        """A point on each ray, broadcastable, and its direction, (rows, columns, 3)."""
        return self.place, self.directions(columns, rows)

    def folds_back(self) -> bool:
        """Whether the lens stops growing with the angle before the corners of the picture."""
        reach = np.hypot(self.width, self.height) / 2 / self.focal * 1.06
        r = np.linspace(0, 2.5, 2000)
        image = r * (1 + r**2 * (self.k[0] + r**2 * (self.k[1] + r**2 * self.k[2])))
        growth = np.gradient(image, r)
        first = np.argmax(growth < 0.35) if (growth < 0.35).any() else len(r) - 1
        return bool(image[first] < reach)


def turned(axis: Array, radians: float) -> Array:
    """Rotation about a unit vector (Rodrigues' formula)."""
    x, y, z = axis
    cross = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    return np.asarray(np.eye(3) + np.sin(radians) * cross + (1 - np.cos(radians)) * cross @ cross)


@dataclass(frozen=True, eq=False)
class Flatbed:
    """A scanner: every pixel looks straight down.

    Args:
        width: Pixels across.
        height: Pixels down.
        corner: Of the table, seen by the upper left pixel.
        turn: Degrees that the picture's x axis is turned anticlockwise on the table.
        pitch: Millimetres from pixel to pixel, across and down.
    """

    width: int
    height: int
    corner: tuple[float, float]
    turn: float
    pitch: tuple[float, float]

    def rays(self, columns: Array, rows: Array) -> tuple[Array, Array]:
        """As for a camera."""
        c, s = np.cos(np.radians(self.turn)), np.sin(np.radians(self.turn))
        u, v = np.meshgrid(columns * self.pitch[0], rows * self.pitch[1])
        x, y = self.corner[0] + c * u + s * v, self.corner[1] + s * u - c * v
        start = np.stack((x, y, np.ones_like(x)), axis=-1)
        return start, np.broadcast_to(np.array([0.0, 0.0, -1.0]), start.shape)

    def project(self, world: Array) -> Array:
        """Pixels of points of the table."""
        world = np.asarray(world, float)
        c, s = np.cos(np.radians(self.turn)), np.sin(np.radians(self.turn))
        dx, dy = world[..., 0] - self.corner[0], world[..., 1] - self.corner[1]
        return np.stack(((c * dx + s * dy) / self.pitch[0], (s * dx - c * dy) / self.pitch[1]), -1)
