"""A traced line as it is measured: its length, its noise, and where it runs on average."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from tiler.intake.photo.model import Numbers, Points

#: Points within this many millimetres tell place and direction at a point.
_REACH = 10.0


@dataclass(frozen=True, eq=False)
class Line:
    """Points along a line.

    Args:
        points: Millimetres; for a closed line the first stands at the end again.
        closed: Whether it comes back to its beginning.
        noise: Standard uncertainty of a point across the line, millimetres.
    """

    points: Points
    closed: bool
    noise: float
    along: Numbers = field(init=False)

    def __post_init__(self) -> None:
        steps = np.hypot(*np.diff(self.points, axis=0).T)
        object.__setattr__(self, "along", np.concatenate(([0.0], np.cumsum(steps))))

    @property
    def length(self) -> float:
        """Millimetres from point to point."""
        return float(self.along[-1])

    @property
    def spacing(self) -> float:
        """Millimetres from one point to the next, on average."""
        return self.length / max(len(self.points) - 1, 1)

    def near(self, index: int) -> tuple[Points, float]:
        """Where the line runs at a point, noise averaged, and in which direction (radians).

        A parabola through the points within 10 mm, by least squares.
        """
        points, along = self.points, self.along
        here = along[index]
        low, high = np.searchsorted(along, (here - _REACH, here + _REACH + 1e-9))
        low = min(int(low), max(0, index - 3))
        high = max(int(high), min(len(points), index + 4))
        run, place = along[low:high] - here, points[low:high]
        if self.closed:
            rest = self.length
            if here + _REACH > rest:
                over = int(np.searchsorted(along, here + _REACH - rest))
                run = np.concatenate((run, along[1:over] + rest - here))
                place = np.concatenate((place, points[1:over]))
            if here - _REACH < 0:
                over = int(np.searchsorted(along, here - _REACH + rest))
                run = np.concatenate((run, along[over:-1] - rest - here))
                place = np.concatenate((place, points[over:-1]))
        degree = 2 if len(run) >= 4 else 1
        found = np.linalg.lstsq(np.vander(run, degree + 1, increasing=True), place, rcond=None)[0]
        return found[0], math.atan2(found[1, 1], found[1, 0])

    def thinned(self, step: float) -> tuple[Line, Numbers]:
        """The mean points of stretches of about a step (millimetres), ends kept.

        Returns:
            The shorter line, and for each of its points the index that it stands for here.
        """
        many = round(step / self.spacing) if self.length else 1
        if many < 2 or len(self.points) < 12 * many:
            return self, np.arange(len(self.points), dtype=np.float64)
        inner = self.points[1:-1]
        blocks = len(inner) // many
        bounds = np.linspace(0, len(inner), blocks + 1).astype(np.intp)
        sums = np.add.reduceat(inner, bounds[:-1], axis=0)
        means = sums / np.diff(bounds)[:, None]
        middles = 1 + (bounds[:-1] + bounds[1:] - 1) / 2
        points = np.concatenate((self.points[:1], means, self.points[-1:]))
        index = np.concatenate(([0.0], middles, [len(self.points) - 1.0]))
        # Errors of neighbours are not independent: not all of the gain is counted.
        return Line(points, self.closed, self.noise / math.sqrt(many) * 1.2), index


def noise_of(points: Points) -> float:
    """Standard deviation across the line that neighbouring points show, millimetres.

    From the distance of every point from the middle of its neighbours, whose variance is 3/2 of a
    point's own; by the median, which corners and jumps do not move.
    """
    if len(points) < 5:
        return 0.0
    chord = points[2:] - points[:-2]
    off = points[1:-1] - (points[2:] + points[:-2]) / 2
    size = np.maximum(np.hypot(chord[:, 0], chord[:, 1]), 1e-9)
    across = (chord[:, 0] * off[:, 1] - chord[:, 1] * off[:, 0]) / size
    return float(np.median(np.abs(across - np.median(across)))) * 1.4826 / math.sqrt(1.5)


def smoothed(off: Numbers, along: Numbers, closed: bool, width: float) -> Numbers:
    """Distances averaged along the line with a Gaussian, as far as there are points.

    Args:
        off: (n,), at points that are about evenly spaced.
        along: Millimetres along the line.
        closed: Whether the last point is the first again.
        width: Its standard deviation, millimetres.
    """
    spacing = max(float(along[-1]) / max(len(off) - 1, 1), 1e-6)
    half = min(max(1, math.ceil(2.5 * width / spacing)), 400)
    bell = np.exp(-0.5 * (np.arange(-half, half + 1) * spacing / width) ** 2)
    if closed and len(off) > half + 1:
        off = np.concatenate((off[-half - 1 : -1], off, off[1 : half + 1]))
        return np.asarray(np.convolve(off, bell / bell.sum(), mode="valid"))
    ones = np.convolve(np.ones(len(off)), bell)[half:-half]
    return np.asarray(np.convolve(off, bell)[half:-half] / ones)
