"""Curves -> points dense enough to be the curve, each a turn point or a curve point."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

from tiler.pattern.affine import Point
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic, Segment, Straight, chords, turn_between

#: How far (millimetres) a chord may lie from its curve; 0.02 is promised.
CHORD = 0.015
#: Degrees that the way turns from one chord to the next at most, about.
_CHORD_TURN = 8.0
#: Below this (degrees) two curves meet smoothly.
_SMOOTH = 0.1
#: A smooth meeting of curves is a curve point when the jump of curvature there moves a curve
#: through the points by no more than this (millimetres).
_JUMP = 0.002


class Sample(NamedTuple):
    """A point of a line.

    Args:
        at: Millimetres.
        turn: True for a turn point (layer 2), False for a curve point (layer 3).
    """

    at: Point
    turn: bool


def sampled(path: Path) -> list[Sample]:
    """Points along a path; the first is not repeated at the end of a closed one.

    Turn points are the ends, the ends of straight lines, corners, and meetings of curves where
    the curvature jumps: a curve drawn through the points could not know of it.
    """
    segments = [s for s in path.segments if sum(a.to(b) for a, b in pairwise(s)) > 0]
    samples: list[Sample] = []
    for index, segment in enumerate(segments):
        ends = index == 0 and not path.closed
        turn = ends or not _goes_on(segments[index - 1], segment)
        samples.append(Sample(segment.start, turn))
        samples += [Sample(p, False) for p in _between(segment)]
    if not path.closed and segments:
        samples.append(Sample(segments[-1].end, True))
    return samples


def _between(segment: Segment) -> Iterator[Point]:
    if isinstance(segment, Straight):
        return
    steps = _steps(segment)
    for step in range(1, steps):
        yield segment.at(step / steps)


def _steps(curve: Cubic) -> int:
    steps = chords(curve, CHORD)
    if steps == 1:
        return 1
    legs = [Straight(a, b) for a, b in pairwise(curve) if a != b]
    turning = sum(abs(turn_between(a, b)) for a, b in pairwise(legs))
    return max(steps, math.ceil(turning / _CHORD_TURN), 3)


def _goes_on(before: Segment, after: Segment) -> bool:
    """Whether two segments meet as one smooth curve."""
    if isinstance(before, Straight) or isinstance(after, Straight):
        return False
    if abs(turn_between(before, after)) > _SMOOTH:
        return False
    jump = abs(_curvature(before, 1.0) - _curvature(after, 0.0))
    step = max(before.length / _steps(before), after.length / _steps(after))
    return jump * step * step / 8 <= _JUMP


def _curvature(curve: Cubic, t: float) -> float:
    """Signed curvature at an end, in 1/mm; infinite where a handle has no length."""
    p0, p1, p2 = curve[:3] if t == 0.0 else curve[:0:-1]
    ax, ay, bx, by = p1.x - p0.x, p1.y - p0.y, p2.x - p1.x, p2.y - p1.y
    size = math.hypot(ax, ay)
    if size < 1e-9:
        return math.inf
    # Walking back flips the sign.
    sign = 1.0 if t == 0.0 else -1.0
    return sign * (2 / 3) * (ax * by - ay * bx) / size**3
