"""A printer and a person with a rule, simulated; shares nothing with what is tested."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def read_by_hand(
    lengths: NDArray[np.float64], division: float, rng: np.random.Generator, noise: float = 0.25
) -> NDArray[np.float64]:
    """What a person reads who lays a rule anywhere along a bar.

    Both ends are read to the nearest mark, after the eye has set each off by a normal error.

    Args:
        lengths: The true lengths of the printed bars, millimetres.
        division: Between neighbouring marks.
        rng: Seeded.
        noise: Standard deviation of that error, in divisions.
    """
    start = rng.uniform(0, 10, lengths.shape)
    ends = [start, start + lengths]
    marks = [
        np.round(end / division + rng.normal(0, noise, lengths.shape)) * division for end in ends
    ]
    return marks[1] - marks[0]


def rounded(length: float, division: float) -> float:
    """A careful reading: the nearest mark."""
    return round(length / division) * division
