"""The middle of a marker line: half-way between its flanks, measured across it in the picture."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.ink.light import Light
from tiler.intake.photo.model import Flattened, Numbers, Points

Flags = NDArray[np.bool_]

#: Millimetres from one measured place to the next along a line.
STEP = 0.5
#: Millimetres between samples across a line, and how far they reach beyond its flanks.
_ACROSS, _BEYOND = 0.15, 2.2
#: Parts of the line's darkness: below the first it is paper, above the second wholly ink.
_PAPER, _INK = 0.15, 0.85
#: How much wider or narrower than its neighbours a place may be, as a part and in millimetres.
_ODD, _ODD_MORE = 0.05, 0.1


@dataclass(frozen=True, eq=False)
class Course:
    """A line as it was measured.

    Args:
        points: Middle of the ink, `STEP` apart along it; for a ring the first is not repeated.
        good: Whether both flanks are those of a plain line there: not at corners and crossings.
        closed: Whether it is a ring.
        width: Of the line, millimetres.
        mix: What to weigh the darkness of red, green and blue with, so that the ink's own is 1.
        flanks: How far the ink reaches to the left and to the right of each point, (n, 2); over
            narrow gaps of light, so that it holds for two lines that nearly touch.
    """

    points: Points = field(repr=False)
    good: Flags = field(repr=False)
    closed: bool
    width: float
    mix: Numbers
    flanks: Numbers = field(repr=False)


def measured(
    guide: Points, closed: bool, width: float, light: Light, flattened: Flattened
) -> Course | None:
    """Measure a line across itself, twice: the second time from where the first found it.

    Args:
        guide: About where it is, millimetres.
        closed: Whether it is a ring.
        width: About how wide it is.
        light: The paper's brightness.
        flattened: The picture.

    Returns:
        None when it is too short or too faint to measure.
    """
    if len(guide) < 2:
        return None
    course = None
    points = even(guide, closed)
    points = softened(points, np.ones(len(points), bool), closed, 2.0)
    for _ in range(2):
        points = even(points, closed)
        if len(points) < 3:
            return None
        course = _once(points, closed, width, light, flattened)
        if course is None or len(course.points) < 2:
            return None
        width = course.width
        points = softened(course.points, course.good, closed, 2.5)
    return course


def even(points: Points, closed: bool, step: float = STEP) -> Points:
    """Points `step` apart along a line (about so for a ring, whose first is not repeated)."""
    way = np.concatenate((points, points[:1])) if closed else points
    along = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(way, axis=0).T))))
    count = max(2, round(float(along[-1]) / step) + 1)
    at = np.linspace(0, along[-1], count)[: count - 1 if closed else count]
    return np.column_stack((np.interp(at, along, way[:, 0]), np.interp(at, along, way[:, 1])))


def normals(points: Points, closed: bool) -> Points:
    """Unit vectors to the left of a line's direction."""
    if closed:
        ahead = np.roll(points, -1, axis=0) - np.roll(points, 1, axis=0)
    else:
        ahead = np.gradient(points, axis=0)
    ahead = ahead / np.maximum(np.hypot(ahead[:, 0], ahead[:, 1]), 1e-9)[:, None]
    return np.column_stack((-ahead[:, 1], ahead[:, 0]))


def softened(points: Points, good: Flags, closed: bool, reach: float) -> Points:
    """Local parabolas along a line, by least squares with tricube weights.

    Args:
        points: `STEP` apart.
        good: Which of them count; the others hardly do.
        closed: Whether it is a ring.
        reach: Half the length of the window, millimetres.
    """
    size = max(2, round(reach / STEP))
    if len(points) < 4:
        return points
    pad = min(size, len(points) - 1) if closed else 0
    value = np.concatenate((points[len(points) - pad :], points, points[:pad]))
    weigh = np.concatenate((good[len(good) - pad :], good, good[:pad])).astype(np.float64)
    weigh = np.where(weigh > 0, 1.0, 1e-3)
    k = np.arange(-size, size + 1)
    tricube = (1 - np.abs(k / (size + 1)) ** 3) ** 3

    def sums(power: int, of: Numbers) -> Numbers:
        kernel = (tricube * (k / size) ** power)[::-1]
        return np.convolve(of, kernel, mode="full")[size : size + len(of)]

    moments = [sums(p, weigh) for p in range(5)]
    matrix = np.stack([np.stack(moments[i : i + 3], axis=-1) for i in range(3)], axis=-2)
    matrix += np.eye(3) * 1e-9 + np.diag([0, 0, 1e-6])
    right = np.stack(
        [np.column_stack([sums(p, weigh * value[:, a]) for p in range(3)]) for a in range(2)],
        axis=-1,
    )
    found = np.linalg.solve(matrix, right)[:, 0, :]
    return np.asarray(found[pad : len(found) - pad] if pad else found, np.float64)


def _once(
    points: Points, closed: bool, width: float, light: Light, flattened: Flattened
) -> Course | None:
    side = normals(points, closed)
    half = int((width / 2 + _BEYOND) / _ACROSS)
    at = np.arange(-half, half + 1) * _ACROSS
    places = points[:, None, :] + at[None, :, None] * side[:, None, :]
    px = flattened.to_pixels(places.reshape(-1, 2)).reshape(places.shape)
    dark = light.darkness(flattened, px)
    core = np.abs(at) <= max(width / 4, _ACROSS)
    mix = _mix(np.median(dark[:, core].reshape(-1, 3), axis=0).astype(np.float64))
    if mix is None:
        return None
    profile = _along(np.asarray(dark @ mix, np.float64), closed)
    peak = np.median(profile[:, core], axis=1)
    usual = float(np.median(peak))
    peak = np.clip(_running_median(peak, 9, closed), 0.5 * usual, 1.5 * usual)
    part = np.clip((profile / peak[:, None] - _PAPER) / (_INK - _PAPER), 0, 1)
    left, right = _outward(part[:, half::-1]), _outward(part[:, half:])
    across = left + right
    middle = (right - left) / 2
    most = float(np.median(across))
    local = _running_median(across, 61, closed)
    off = np.abs(across - local)
    good = off <= max(_ODD * most, 5 * float(np.median(off))) + _ODD_MORE
    good &= np.abs(across - most) <= 0.5 * most + 0.3
    # The ink of a second line beyond a narrow gap does not count much, but it reaches far.
    flanks = np.column_stack((_edge(part[:, half:]), _edge(part[:, half::-1])))
    good &= flanks.sum(axis=1) - across < 0.1 * most + 0.3
    good &= (part[:, half] > 0.3) & (np.abs(middle) < width / 2 + 1)
    moved = np.where(np.abs(middle) < width, middle, 0)
    flanks += np.column_stack((-moved, moved))
    return Course(points + side * moved[:, None], good, closed, most, mix, flanks)


def _mix(contrast: Numbers) -> Numbers | None:
    """Weights that give the ink darkness 1 with least noise; None for no ink."""
    contrast = np.maximum(contrast, 0)
    total = float(contrast @ contrast)
    return contrast / total if total > 0.02**2 else None


def _along(profile: Numbers, closed: bool) -> Numbers:
    """Mean of three neighbours along the line."""
    pad = np.pad(profile, ((1, 1), (0, 0)), mode="wrap" if closed else "edge")
    return np.asarray((pad[:-2] + pad[1:-1] + pad[2:]) / 3)


def _outward(part: Numbers) -> Numbers:
    """Length of ink from the first sample on, up to the first paper."""
    inside = np.cumprod(part > 0, axis=1)
    kept = part * inside
    return np.asarray((kept.sum(axis=1) - kept[:, 0] / 2) * _ACROSS)


def _edge(part: Numbers) -> Numbers:
    """Distance to the last place that is half ink, before the first paper."""
    inked = np.cumprod(part > 0, axis=1) * (part >= 0.5)
    last = part.shape[1] - 1 - np.argmax(inked[:, ::-1], axis=1)
    row = np.arange(len(part))
    here, beyond = part[row, last], part[row, np.minimum(last + 1, part.shape[1] - 1)]
    over = np.clip((here - 0.5) / np.maximum(here - beyond, 1e-3), 0, 1)
    return np.asarray(np.where(inked.any(axis=1), (last + over) * _ACROSS, 0.0))


def _running_median(values: Numbers, size: int, closed: bool) -> Numbers:
    half = min(size // 2, max(1, (len(values) - 1) // 2))
    pad = np.pad(values, half, mode="wrap" if closed else "reflect")
    return np.asarray(
        np.median(np.lib.stride_tricks.sliding_window_view(pad, 2 * half + 1), axis=1)
    )
