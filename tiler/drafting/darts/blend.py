"""A line whose beginning is moved aside and runs smoothly back into its old way."""

from __future__ import annotations

from tiler.drafting.darts.parts import distance_to, divided
from tiler.pattern.affine import Point
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic, Segment, Straight, parameter_at


def moved_start(path: Path, by: tuple[float, float], over: float) -> Path:
    """The path with its start moved by a vector, back on its old way after some millimetres.

    The part that moves is `by` x f(s / over) with f(t) = 1 - 3 t^2 + 2 t^3 (the cubic Hermite
    step), s millimetres along the old path. f is level at both ends, so the path keeps its
    direction at its start and runs without a corner into the old way. On a straight line the
    result is exact and one cubic; between nodes of a longer path the cubic has the displacement
    and its slope at its ends, so that no corner comes in at a node.

    Args:
        path: Open.
        by: Millimetres across and up.
        over: The distance on the path at which it is back, at most the path's length.
    """
    near, far = divided(path, over)
    if near is None:
        return path
    whole = near.length
    made: list[Segment] = []
    run = 0.0
    for segment in near.segments:
        length = segment.length
        made.append(_moved(_as_cubic(segment), by, run / whole, (run + length) / whole, whole))
        run += length
    return Path((*made, *(far.segments if far else ())), path.closed)


def distance_after(old: Path, new: Path, over: float, distance: float) -> float:
    """Where a place on a path lies once the path's start has been moved.

    Places go with the parameters of their segments, as `moved_start` keeps those.

    Args:
        old: As it was.
        new: What `moved_start` made of it.
        over: As it was given to `moved_start`.
        distance: Millimetres along the old path.

    Returns:
        Millimetres along the new path.
    """
    near, _ = divided(old, over)
    if near is None or new == old:
        return distance
    left = distance
    for index, segment in enumerate(near.segments):
        length = segment.length
        if left <= length:
            return distance_to(new, index, parameter_at(segment, left, length))
        left -= length
    return sum(segment.length for segment in new.segments[: len(near.segments)]) + left


def _moved(curve: Cubic, by: tuple[float, float], low: float, high: float, whole: float) -> Cubic:
    start, end = step(low), step(high)
    # The displacement at a handle goes with the length of that handle: both handles at a node
    # then turn by the same angle.
    first = start + _slope(low) / whole * curve.start.to(curve.handle_1)
    second = end - _slope(high) / whole * curve.handle_2.to(curve.end)
    shares = (start, first, second, end)
    return Cubic(
        *(Point(p.x + by[0] * f, p.y + by[1] * f) for p, f in zip(curve, shares, strict=True))
    )


def step(t: float) -> float:
    """The cubic Hermite step down from 1 at t = 0 to 0 at t = 1, level at both ends."""
    return 1 - t * t * (3 - 2 * t)


def _slope(t: float) -> float:
    return 6 * t * (t - 1)


def _as_cubic(segment: Segment) -> Cubic:
    if isinstance(segment, Cubic):
        return segment
    start, end = segment
    return Cubic(start, Straight(start, end).at(1 / 3), Straight(start, end).at(2 / 3), end)
