"""Paths cut in two, at a distance or where they meet a straight line."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from tiler.drafting.unfold.mirror import Axis
from tiler.pattern.affine import Point
from tiler.pattern.path import Path
from tiler.pattern.segment import Segment, Straight, direction, parameter_at

#: Parts shorter than this (millimetres) are rounding and are left out.
_SPECK = 1e-7
#: Coefficients smaller than this share of the largest are rounding.
_LEADING = 1e-12
#: A segment this far (millimetres) beside a line does not meet it.
_BESIDE = 1e-6
#: How far outside of 0 to 1 a root still means an end of the segment.
_ROUNDING = 1e-9


def divided(path: Path, distance: float) -> tuple[Path | None, Path | None]:
    """The part of an open path before a distance (millimetres) and the part after it.

    A part without length is None.
    """
    left = distance
    for index, segment in enumerate(path.segments):
        length = segment.length
        if left <= length or index == len(path.segments) - 1:
            t = parameter_at(segment, min(max(left, 0.0), length), length)
            return _cut(path, index, t)
        left -= length
    raise AssertionError("a path has at least one segment")


def crossings(path: Path, line: Axis) -> Iterator[tuple[int, float]]:
    """Where a path meets the half-line from the axis's start through its end, in path order.

    Exact for straight lines; on a cubic, the roots of the cubic polynomial that its distance
    from the line is.

    Yields:
        The segment's index and its parameter.
    """
    x, y = line.direction
    for index, segment in enumerate(path.segments):
        for t in _roots(segment, line.start, x, y):
            place = segment.at(t)
            if x * (place.x - line.start.x) + y * (place.y - line.start.y) > 0:
                yield index, t


def up_to(path: Path, index: int, t: float) -> Path | None:
    """The path as far as a parameter of one of its segments; None where nothing is left."""
    return _cut(path, index, t)[0]


def distance_to(path: Path, index: int, t: float) -> float:
    """Millimetres along a path to a parameter of one of its segments."""
    whole = sum(segment.length for segment in path.segments[:index])
    return whole + (path.segments[index].split(t)[0].length if t > 0 else 0.0)


def lengthened(path: Path, by: float) -> Path:
    """The path with its end carried on straight, in its own direction, by millimetres."""
    x, y = direction(path.segments[-1], 1.0)
    beyond = Straight(path.end, Point(path.end.x + x * by, path.end.y + y * by))
    return Path((*path.segments, beyond))


def _cut(path: Path, index: int, t: float) -> tuple[Path | None, Path | None]:
    first, second = path.segments[index].split(t)
    before = [*path.segments[:index], *_worth(first)]
    after = [*_worth(second), *path.segments[index + 1 :]]
    return Path(tuple(before)) if before else None, Path(tuple(after)) if after else None


def _worth(segment: Segment) -> tuple[Segment, ...]:
    return (segment,) if segment.length > _SPECK else ()


def _roots(segment: Segment, start: Point, x: float, y: float) -> Iterator[float]:
    """Parameters from 0 to 1, in order, at which a segment meets the whole line.

    Args:
        segment: Straight or cubic.
        start: A place on the line.
        x: Its unit direction, across.
        y: And up.
    """
    heights = [x * (point.y - start.y) - y * (point.x - start.x) for point in segment]
    # A curve stays within its handles: with all of them on one side there is nothing to find.
    if min(heights) > _BESIDE or max(heights) < -_BESIDE:
        return
    if isinstance(segment, Straight):
        low, high = heights
        polynomial = [high - low, low]
    else:
        a, b, c, d = heights
        polynomial = [d - 3 * c + 3 * b - a, 3 * (c - 2 * b + a), 3 * (b - a), a]
    largest = max(map(abs, polynomial))
    # A leading coefficient that is rounding gives a root far away and spoils the others.
    while polynomial and abs(polynomial[0]) <= _LEADING * largest:
        polynomial.pop(0)
    if len(polynomial) < 2:
        return
    found = [root.real for root in np.roots(polynomial) if abs(root.imag) <= 1e-7]
    for root in sorted(_polished(float(root), polynomial) for root in found):
        if -_ROUNDING <= root <= 1 + _ROUNDING:
            yield min(max(root, 0.0), 1.0)


def _polished(root: float, polynomial: list[float]) -> float:
    """A root after two steps of Newton's method."""
    degree = len(polynomial) - 1
    slopes = [number * (degree - index) for index, number in enumerate(polynomial[:-1])]
    for _ in range(2):
        slope = _value(slopes, root)
        if slope:
            root -= _value(polynomial, root) / slope
    return root


def _value(polynomial: list[float], at: float) -> float:
    """A polynomial's value by Horner's rule."""
    value = 0.0
    for coefficient in polynomial:
        value = value * at + coefficient
    return value
