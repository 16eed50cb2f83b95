"""Places on a path, and the parts of it between them."""

from __future__ import annotations

import math

import numpy as np

from tiler.drafting.points import Floats, points_on
from tiler.intake.nearest import nearest
from tiler.pattern.affine import Point
from tiler.pattern.path import Path
from tiler.pattern.segment import Segment, parameter_at

#: A place on a path: the index of a segment plus the parameter on it, so 2.5 is the middle (in
#: parameter) of the third segment.
Place = float

#: Parts shorter than this (millimetres) are rounding and are left out.
SPECK = 1e-7


def point_of(path: Path, place: Place) -> Point:
    """The point at a place."""
    index, t = _split(path, place)
    if t == 0.0:
        return path.segments[index].start
    return path.segments[index].end if t == 1.0 else path.segments[index].at(t)


def points_of(path: Path, places: Floats) -> Floats:
    """The points at many places, as pairs of millimetres."""
    indexes = np.clip(np.ceil(places).astype(int) - 1, 0, len(path.segments) - 1)
    shares = np.clip(places - indexes, 0.0, 1.0)
    points = np.empty((len(places), 2))
    for index in np.unique(indexes).tolist():
        own = indexes == index
        points[own] = points_on(path.segments[index], shares[own])
    return points


def place_of(path: Path, point: Point) -> Place:
    """The place on a path that is nearest to a point."""
    near = nearest(path, point)
    return near.segment + near.t


def part(path: Path, start: Place, end: Place) -> Path | None:
    """The open path from one place to a later one; None when it has no length.

    Whole segments stay the very same.
    """
    first, t0 = _split(path, start)
    last, t1 = _split(path, end)
    segments: list[Segment] = []
    for index in range(first, last + 1):
        segment = path.segments[index]
        low, high = (t0 if index == first else 0.0), (t1 if index == last else 1.0)
        if high <= low:
            continue
        if high < 1.0:
            segment = segment.split(high)[0]
        if low > 0.0:
            segment = segment.split(low / high)[1]
        if (low > 0.0 or high < 1.0) and segment.length <= SPECK:
            continue
        segments.append(segment)
    return Path(tuple(segments)) if segments else None


def length_between(path: Path, start: Place, end: Place) -> float:
    """Millimetres along a path from one place to a later one."""
    between = part(path, start, end)
    return between.length if between else 0.0


def further(path: Path, place: Place, by: float) -> Place:
    """The place some millimetres on (or back, when negative), at most at the path's end."""
    if by < 0:
        back = path.reversed()
        return len(path.segments) - further(back, len(path.segments) - place, -by)
    index, t = _split(path, place)
    left = by
    while index < len(path.segments):
        segment = path.segments[index]
        rest = segment.split(t)[1] if t > 0.0 else segment
        length = rest.length
        if left <= length:
            return index + t + (1.0 - t) * parameter_at(rest, left, length)
        left -= length
        index, t = index + 1, 0.0
    return float(len(path.segments))


def _split(path: Path, place: Place) -> tuple[int, float]:
    """Segment and parameter; a place between two segments belongs to the end of the first."""
    index = min(max(math.ceil(place) - 1, 0), len(path.segments) - 1)
    return index, min(max(place - index, 0.0), 1.0)
