"""True lines of invented pieces, and the points of a shaky hand along them; no code of the tool."""

import math

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]


def bezier(*control: tuple[float, float], steps: int = 3000) -> Array:
    """A cubic by Bernstein's polynomials."""
    a, b, c, d = (np.array(p, dtype=float) for p in control)
    t = np.linspace(0, 1, steps)[:, None]
    return (1 - t) ** 3 * a + 3 * t * (1 - t) ** 2 * b + 3 * t**2 * (1 - t) * c + t**3 * d


def arc(radius: float, start: float, end: float, at: tuple[float, float] = (0, 0)) -> Array:
    angle = np.radians(np.linspace(start, end, 3000))
    return np.array(at) + radius * np.column_stack((np.cos(angle), np.sin(angle)))


def ellipse(across: float, up: float) -> Array:
    angle = np.linspace(0, math.tau, 6000)
    return np.column_stack((across * np.cos(angle), up * np.sin(angle)))


def straight(*points: tuple[float, float]) -> Array:
    return np.array(points, dtype=float)


def spaced(true: Array, step: float = 1.0) -> Array:
    """Points along a line about a millimetre apart, its ends among them."""
    along = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(true, axis=0).T))))
    where = np.linspace(0, along[-1], max(2, round(along[-1] / step)) + 1)
    return np.column_stack([np.interp(where, along, true[:, axis]) for axis in (0, 1)])


def shaken(
    points: Array, noise: float, seed: int, *, closed: bool = False, wobble: float = 0.0
) -> Array:
    """Points moved across the line: noise of each, and a slow wave; ends of open lines stay."""
    draw = np.random.default_rng(seed)
    way = np.gradient(points, axis=0)
    way /= np.hypot(way[:, 0], way[:, 1])[:, None]
    off = draw.normal(0, noise, len(points)) if noise else np.zeros(len(points))
    off += wobble * np.sin(np.arange(len(points)) * math.tau / 90 + draw.uniform(0, 6))
    if not closed:
        off[[0, -1]] = 0
    return points + np.column_stack((-way[:, 1], way[:, 0])) * off[:, None]


#: The half front of a weeding smock: its edges from corner to corner, anticlockwise, and the
#: armhole in two cubics that meet smoothly, as drafting books draw it.
SMOCK: tuple[Array, ...] = (
    straight((0, 0), (260, 8)),
    bezier((260, 8), (256, 150), (246, 290), (250, 430)),
    np.vstack(
        (
            bezier((250, 430), (205, 430), (182, 470), (184, 520)),
            bezier((184, 520), (186, 570), (196, 610), (200, 640))[1:],
        )
    ),
    straight((200, 640), (85, 685)),
    bezier((85, 685), (80, 630), (40, 598), (0, 598)),
    straight((0, 598), (0, 0)),
)


def ring_of(edges: tuple[Array, ...], noise: float, seed: int) -> tuple[Array, tuple[int, ...]]:
    """Points round a piece and the indices of its corners, which are exact."""
    rows, corners, count = [], [], 0
    for number, edge in enumerate(edges):
        corners.append(count)
        rows.append(shaken(spaced(edge), noise, seed + number)[:-1])
        count += len(rows[-1])
    return np.vstack(rows), tuple(corners)
