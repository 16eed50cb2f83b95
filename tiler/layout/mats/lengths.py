"""The lengths that are measured on a projected grid, and their names."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import numpy.typing as npt

from tiler.pattern.errors import ProjectionError

Array = npt.NDArray[np.float64]

#: Names of the lengths, in the order in which they are measured; sides anticlockwise, as the
#: picture's words are read. The two middle lines may be left out.
SIDES = ("lower", "right", "upper", "left")
DIAGONALS = ("rising", "falling")
MIDDLES = ("middle-level", "middle-upright")
NEEDED = SIDES + DIAGONALS
NAMES = NEEDED + MIDDLES

#: Of each: what a sentence calls it, and which places it joins. Places 0 to 3 are the corners
#: (lower left, lower right, upper right, upper left), 4 to 7 the middles of the sides.
SPOKEN = {
    "lower": "the lower side",
    "right": "the right side",
    "upper": "the upper side",
    "left": "the left side",
    "rising": "the rising diagonal",
    "falling": "the falling diagonal",
    "middle-level": "the level middle line",
    "middle-upright": "the upright middle line",
}
ENDS = {
    "lower": (0, 1),
    "right": (1, 2),
    "upper": (2, 3),
    "left": (3, 0),
    "rising": (0, 2),
    "falling": (3, 1),
    "middle-level": (7, 5),
    "middle-upright": (4, 6),
}


def in_order(lengths: Mapping[str, float]) -> tuple[tuple[str, ...], Array]:
    """The names that were measured, in order, and their lengths.

    Args:
        lengths: By name, mm.

    Raises:
        ProjectionError: One of the six is missing, or a length is no length.
    """
    for name in NEEDED:
        if name not in lengths:
            raise ProjectionError(f"{SPOKEN[name]} is missing")
    for name, length in lengths.items():
        if not (np.isfinite(length) and length > 0):
            raise ProjectionError(
                f"{SPOKEN[name]} cannot be {length:g} mm long",
                remedy="Measure it again, and look at its unit.",
            )
    names = tuple(name for name in NAMES if name in lengths)
    return names, np.array([lengths[name] for name in names], dtype=np.float64)


def lengths_between(corners: Array, names: tuple[str, ...]) -> Array:
    """The lengths that one would measure.

    Args:
        corners: (…, 4, 2): the corners, in order, mm.
        names: Which lengths.

    Returns:
        (…, names), mm.
    """
    places = corners
    if any(name in MIDDLES for name in names):
        places = np.concatenate([corners, _middles(corners)], axis=-2)
    ends = np.array([ENDS[name] for name in names])
    steps = places[..., ends[:, 0], :] - places[..., ends[:, 1], :]
    return np.asarray(np.hypot(steps[..., 0], steps[..., 1]))


def _middles(corners: Array) -> Array:
    """Where the middles of the picture's sides fall.

    A rectangle's corners, gone round with signs + - + -, add up to nothing. So do those of its
    picture when each is taken in homogeneous coordinates with its own depth; the depths follow
    from areas of triangles, and the middle of a side divides it by the depths of its ends.
    """
    others = [(1, 2, 3), (2, 3, 0), (3, 0, 1), (0, 1, 2)]
    depths = np.stack([_area(corners[..., list(three), :]) for three in others], axis=-1)
    weighted = depths[..., None] * corners
    ahead = np.roll(weighted, -1, axis=-2)
    both = depths + np.roll(depths, -1, axis=-1)
    return np.asarray((weighted + ahead) / both[..., None])


def _area(three: Array) -> Array:
    a, b = three[..., 1, :] - three[..., 0, :], three[..., 2, :] - three[..., 0, :]
    return np.asarray(a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0])
