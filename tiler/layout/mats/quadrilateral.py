"""From the measured lengths to where the grid's corners lie."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tiler.layout.mats.descent import Rows, least
from tiler.layout.mats.homography import check_corners
from tiler.layout.mats.lengths import NEEDED, SIDES, in_order, lengths_between

Array = npt.NDArray[np.float64]

#: What chi squared exceeds with a probability of 0.0005, by degrees of freedom (closed form for 2:
#: -2 ln p; tables of the distribution for the others, from memory).
_SURPRISING = {1: 12.116, 2: 15.202, 3: 17.730}
#: Change of a coordinate from which slopes are taken, mm, and the gain that ends the fit, mm2.
_SMALL, _ENOUGH = 1e-3, 1e-12
#: Shifts both ways and a turn: no length tells of them.
_RIGID = 3


@dataclass(frozen=True, eq=False)
class Quadrilateral:
    """The quadrilateral that is nearest to the measured lengths.

    Args:
        corners: (4, 2), mm: lower left, lower right, upper right, upper left; the lower left one
            is the origin, and the lower side runs along x.
        residuals: Of each length: measured less fitted, mm.
        freedom: How many lengths are more than needed.
    """

    corners: Array
    residuals: Mapping[str, float]
    freedom: int

    @property
    def misfit(self) -> float:
        """Root of the sum of the squared residuals, mm."""
        return float(np.linalg.norm(list(self.residuals.values())))

    def fits(self, noise: float) -> bool:
        """Whether the lengths agree as well as their noise lets one expect.

        Args:
            noise: Standard deviation of one length, mm.
        """
        return self.misfit <= most_misfit(noise, self.freedom)


def most_misfit(noise: float, freedom: int) -> float:
    """The misfit that sound lengths exceed once in about 2,000 times, mm.

    Args:
        noise: Standard deviation of one length, mm.
        freedom: How many lengths are more than needed, 1 to 3.
    """
    return noise * math.sqrt(_SURPRISING[freedom])


def nearest_quadrilateral(lengths: Mapping[str, float]) -> Quadrilateral:
    """The quadrilateral whose lengths are nearest to the measured ones by least squares.

    Starts from the rectangle of the mean sides (`descent.least`). Six lengths
    are one more than the five that fix the shape of a quadrilateral, so they check each other.

    Args:
        lengths: By name (`lengths.NAMES`), mm.

    Raises:
        ProjectionError: One of the six is missing or no length, or the corners that fit best
            cross over or turn inwards.
    """
    names, wanted = in_order(lengths)
    corners, off = _fitted(names, wanted[None])
    return _laid(corners[0], dict(zip(names, map(float, off[0]), strict=True)))


def misfits(names: tuple[str, ...], lengths: Array) -> Array:
    """The misfits of several readings of the lengths, mm.

    Args:
        names: Of the lengths.
        lengths: (readings, names), mm.
    """
    return np.asarray(np.linalg.norm(_fitted(names, lengths)[1], axis=1))


def _fitted(names: tuple[str, ...], wanted: Array) -> tuple[Array, Array]:
    """Of each reading the corners, (n, 4, 2), and measured less fitted lengths, (n, names)."""
    side = {name: wanted[:, names.index(name)] for name in SIDES}
    wide, tall = (side["lower"] + side["upper"]) / 2, (side["left"] + side["right"]) / 2
    none = np.zeros(len(wanted))
    begun = np.stack([none, none, wide, none, wide, tall, none, tall], axis=1)

    def misses(state: Array, rows: Rows) -> Array:
        return wanted[rows] - lengths_between(state.reshape(-1, 4, 2), names)

    state = least(misses, begun, _SMALL, float(wanted.max()), _ENOUGH)
    return state.reshape(-1, 4, 2), misses(state, np.arange(len(state)))


def _laid(corners: Array, residuals: dict[str, float]) -> Quadrilateral:
    check_corners(corners)
    along = corners[1] - corners[0]
    cos, sin = along / np.hypot(*along)
    turned = (corners - corners[0]) @ np.array([(cos, -sin), (sin, cos)])
    return Quadrilateral(turned, residuals, len(residuals) - (8 - _RIGID))


def covariance(corners: Array, noise: float, names: tuple[str, ...] = NEEDED) -> Array:
    """How the noise of the lengths moves the corners, as a whole neither shifted nor turned.

    The inverse of the normal matrix, where a shift or turn of the whole counts as nothing (the
    pseudoinverse: inner constraints of a free network, textbook matter, from memory).

    Args:
        corners: (4, 2), mm.
        noise: Standard deviation of one length, mm.
        names: Which lengths were measured.

    Returns:
        (8, 8), mm2, in the order x, y of each corner.
    """
    slopes = _slopes(corners, names)
    return np.asarray(noise**2 * np.linalg.pinv(slopes.T @ slopes, rcond=1e-9, hermitian=True))


def _slopes(corners: Array, names: tuple[str, ...]) -> Array:
    """How each length changes with each coordinate: (names, 8)."""
    steps = np.eye(8).reshape(8, 4, 2) * _SMALL
    change = lengths_between(corners + steps, names) - lengths_between(corners - steps, names)
    return np.asarray(change.T / (2 * _SMALL))
