"""Many points of a path at once, the very ones that `Path` gives one by one."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from tiler.pattern.path import Path
from tiler.pattern.segment import Segment, Straight, chords

Floats = npt.NDArray[np.float64]


def flattened(path: Path, tolerance: float) -> Floats:
    """Points along a path whose chords stay within a tolerance of it, both in millimetres.

    Returns:
        The points of `Path.flattened`, a row of x and y for each.
    """
    parts = [np.array([path.start])]
    for segment in path.segments:
        if isinstance(segment, Straight):
            parts.append(np.array([segment.end]))
        else:
            count = chords(segment, tolerance)
            parts.append(points_on(segment, np.arange(1, count + 1) / count))
    return np.concatenate(parts)


def points_on(segment: Segment, shares: Floats) -> Floats:
    """The points of a segment at many parameters; at 0 and 1 its own ends.

    The sums are those of `Segment.at`, in the same order, so that no number differs from it.
    """
    t, u = shares, 1 - shares
    points = np.empty((len(shares), 2))
    for axis, own in enumerate(zip(*segment, strict=True)):
        if len(own) == 2:
            start, end = own
            points[:, axis] = start + (end - start) * t
        else:
            start, one, two, end = own
            points[:, axis] = (
                u * u * u * start + 3 * u * u * t * one + 3 * u * t * t * two + t * t * t * end
            )
        points[t == 0.0, axis] = start
        points[t == 1.0, axis] = end
    return points
