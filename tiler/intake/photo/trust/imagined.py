"""Imagined errors of one piece: of the cameras, of paper that is not flat, and of the line itself.

Each is an array (places, tables): how far each place lies beside the true line.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.model import Numbers, Points
from tiler.intake.photo.trust.flatness import Flatness

Errors = NDArray[np.float64]

#: Waves of paper, millimetres, and how many lie over one another.
_SHORTEST, _LONGEST, _COUNT = 150.0, 700.0, (2, 6)
#: The lowest places of paper lie on the table: its mean stands up by so many standard deviations
#: at least (waves that are seen along lines only seldom show their lowest).
_MEAN = 2.3
#: How far along the line its own errors hang together, millimetres.
_TOGETHER = 12.0


@dataclass(frozen=True, eq=False)
class Places:
    """Places evenly along all drawn lines.

    Args:
        points: (n, 2), millimetres.
        normals: Unit vectors across the line, (n, 2).
        path: Which line each belongs to, in order.
        step: From place to place, millimetres.
        misfit: How far the measured line lies along each normal, millimetres.
        unsure: Standard uncertainty of the measured line along it, millimetres.
    """

    points: Points
    normals: Points
    path: NDArray[np.int64]
    step: float
    misfit: Numbers
    unsure: Numbers


def unturned(places: Places, errors: Errors) -> Errors:
    """What stays when each table is turned and shifted as well as can be (least squares)."""
    rigid = _rigid(places)
    return np.asarray(errors - rigid @ (np.linalg.pinv(rigid) @ errors))


def places_drawn(
    places: Places, spread: Numbers, count: int, chance: np.random.Generator
) -> Errors:
    """Errors of the places on the table.

    Cameras, lenses and print scales bend the table as polynomials do, so polynomials of the third
    degree are drawn, without what turning and shifting do, as large at each place as is said.

    Args:
        places: The lines.
        spread: Root of the mean square of the distance at each place, x and y together.
        count: How many tables.
        chance: Where numbers at random come from.
    """
    middle = places.points.mean(axis=0)
    size = max(float(np.ptp(places.points, axis=0).max()) / 2, 1e-9)
    u, v = ((places.points - middle) / size).T
    powers = [(i, degree - i) for degree in (1, 2, 3) for i in range(degree + 1)]
    # Higher degrees are less common: what is far from the cards is bent, what is between is not.
    basis = np.column_stack([u**i * v**j / (i + j) for i, j in powers])
    n, terms = basis.shape
    both = np.zeros((n, 2, 2 * terms))
    both[:, 0, :terms] = both[:, 1, terms:] = basis
    flat = both.reshape(2 * n, -1)
    rigid = np.zeros((n, 2, 3))
    rigid[:, 0, 0] = rigid[:, 1, 1] = 1
    rigid[:, 0, 2], rigid[:, 1, 2] = -v, u
    frame = rigid.reshape(2 * n, 3)
    free = (flat - frame @ (np.linalg.pinv(frame) @ flat)).reshape(n, 2, -1)
    own = np.sqrt((free**2).sum(axis=(1, 2)))
    scale = spread / np.maximum(own, 0.3 * float(np.median(own)) + 1e-12)
    across = np.einsum("nk,nkt->nt", places.normals, free) * scale[:, None]
    return np.asarray(across @ chance.standard_normal((2 * terms, count)))


def heights_drawn(
    places: Places, flatness: Flatness, count: int, chance: np.random.Generator
) -> Errors:
    """Errors by paper that stands up, seen from a slant."""
    across = np.einsum("nk,nk->n", places.normals, flatness.slant(places.points))
    heights = np.empty((len(across), count))
    for table in range(count):
        waves = int(chance.integers(*_COUNT))
        lengths = _SHORTEST * (_LONGEST / _SHORTEST) ** chance.random(waves)
        turns = chance.uniform(0, 2 * np.pi, waves)
        numbers = np.vstack((np.cos(turns), np.sin(turns))) * (2 * np.pi / lengths)
        sizes = chance.uniform(0.4, 1.0, waves)
        field = np.sin(places.points @ numbers + chance.uniform(0, 2 * np.pi, waves)) @ sizes
        field /= np.sqrt((sizes**2).sum() / 2)
        deviation = abs(chance.normal(flatness.height, flatness.unsure))
        heights[:, table] = (field + max(-float(field.min()), _MEAN)) * deviation
    return np.asarray(heights * across[:, None])


def line_drawn(places: Places, count: int, chance: np.random.Generator) -> Errors:
    """Errors of the measured line, and how the drawn one leaves it."""
    white = chance.standard_normal((len(places.points), count))
    keep = float(np.exp(-places.step / _TOGETHER))
    fresh = np.sqrt(1 - keep**2)
    for row in range(1, len(white)):
        if places.path[row] == places.path[row - 1]:
            white[row] = keep * white[row - 1] + fresh * white[row]
    return white * places.unsure[:, None] + places.misfit[:, None]


def _rigid(places: Places) -> NDArray[np.float64]:
    """How far each place moves along its normal when all are shifted and turned, (n, 3)."""
    x, y = (places.points - places.points.mean(axis=0)).T
    turning = -y * places.normals[:, 0] + x * places.normals[:, 1]
    return np.column_stack((places.normals, turning))
