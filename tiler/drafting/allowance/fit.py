"""Exact curves as few cubic Béziers."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from tiler.drafting.allowance.curves import Bit, Floats, shaped
from tiler.pattern.affine import Affine, Point
from tiler.pattern.segment import Cubic, Segment, Straight

#: A fitted curve stays this near (millimetres) to the sampled points of the exact one, half of the
#: 0.02 mm that is promised for all of it.
FITTED = 0.01
#: Lines shorter than this (millimetres) between longer ones are left out, which moves a node by no
#: more than that. They come from curves that meet almost straight on, and could go backwards.
CRUMB = 5e-3
_NOTHING = 1e-6
_SAMPLES = 24
_ROUNDS = 6
_STEPS = 2
_DEEPEST = 10


def fitted(bit: Bit, start: Point, end: Point) -> tuple[Segment, ...]:
    """Lines and cubics along a bit, with its directions at all their ends.

    Args:
        bit: The exact curve.
        start: Where it shall begin, within a hundredth of a millimetre of where it does.
        end: Where it shall end.
    """
    if bit.straight or (start.to(end) < _NOTHING and bit.at(0.5).to(start) < _NOTHING):
        return (Straight(start, end),)
    return _curved(bit, start, end)


@lru_cache(maxsize=512)
def _curved(bit: Bit, start: Point, end: Point) -> tuple[Segment, ...]:
    # Most edges of a piece's styles are the same, and so they are after most changes.
    return tuple(_fitted(bit, start, end, 0.0, 1.0, _DEEPEST))


def _fitted(
    bit: Bit, start: Point, end: Point, low: float, high: float, depth: int
) -> list[Segment]:
    shares = np.linspace(low, high, _SAMPLES + 1)
    points, ways = bit.sampled(shares)
    points[0], points[-1] = start, end
    curve, error = _best(points, ways)
    if error <= FITTED or depth == 0:
        return [curve]
    middle = (low + high) / 2
    meeting = bit.at(middle)
    return [
        *_fitted(bit, start, meeting, low, middle, depth - 1),
        *_fitted(bit, meeting, end, middle, high, depth - 1),
    ]


def _best(points: Floats, ways: Floats) -> tuple[Cubic, float]:
    """The cubic with given ends and end directions that is nearest in the sense of least squares.

    Handles and the places of the points on the curve are improved in turn (Schneider, "An algorithm
    for automatically fitting digitized curves", Graphics Gems, 1990); only what is square to the
    way counts, which converges in a few rounds.
    """
    places = np.concatenate([[0.0], np.cumsum(_sizes(points[1:] - points[:-1]))])
    total = float(places[-1])
    places = places / total
    first, last = points[0], points[-1]
    out, back = ways[0], -ways[-1]
    normals = np.column_stack([-ways[:, 1], ways[:, 0]])
    best: tuple[Cubic, float] | None = None
    for _ in range(_ROUNDS):
        a, b = _handles(points, places, normals, out, back, total)
        nodes = np.array([first, first + a * out, last + b * back, last])
        for _ in range(_STEPS):
            places = _nearer(nodes, places, _at(nodes, places) - points)
        error = float(_sizes(_at(nodes, places) - points).max())
        if best is None or error < best[1]:
            best = Cubic(*(Point(x, y) for x, y in nodes.tolist())), error
        if error < FITTED / 4:
            break
    assert best is not None
    return best


def _sizes(vectors: Floats) -> Floats:
    return np.asarray(np.hypot(vectors[:, 0], vectors[:, 1]), dtype=np.float64)


def _handles(
    points: Floats, places: Floats, normals: Floats, out: Floats, back: Floats, total: float
) -> tuple[float, float]:
    """Handle lengths for which the curve's distances square to the way of the points are least."""
    u = 1 - places
    b1, b2 = 3 * u * u * places, 3 * u * places * places
    base = _column(u**3 + b1) * points[0] + _column(places**3 + b2) * points[-1]
    off = ((points - base) * normals).sum(1)
    one, two = b1 * (normals @ out), b2 * (normals @ back)
    c11, c12, c22 = float(one @ one), float(one @ two), float(two @ two)
    x1, x2 = float(one @ off), float(two @ off)
    determinant = c11 * c22 - c12 * c12
    if determinant > 1e-9 * c11 * c22:
        a = (x1 * c22 - x2 * c12) / determinant
        b = (c11 * x2 - c12 * x1) / determinant
        if 0.01 * total < a < total and 0.01 * total < b < total:
            return a, b
    return total / 3, total / 3


def _column(numbers: Floats) -> Floats:
    return numbers[:, None]


def _at(nodes: Floats, places: Floats) -> Floats:
    return np.asarray(shaped(places) @ nodes, dtype=np.float64)


def _nearer(nodes: Floats, places: Floats, off: Floats) -> Floats:
    """One step of Newton's method towards the feet of the points on the curve."""
    t = _column(places)
    u = 1 - t
    first, second, third = nodes[1:] - nodes[:-1]
    speed = 3 * (u * u * first + 2 * u * t * second + t * t * third)
    bend = 6 * (u * (second - first) + t * (third - second))
    slope = (speed * speed).sum(1) + (off * bend).sum(1)
    slope[slope <= 1e-12] = np.inf
    moved = np.minimum(np.maximum(places - (off * speed).sum(1) / slope, 0.0), 1.0)
    moved[0], moved[-1] = 0.0, 1.0
    return np.asarray(np.maximum.accumulate(moved), dtype=np.float64)


def merged(segments: list[Segment]) -> list[Segment]:
    """Straight lines that run on in one another as one, and no crumbs between longer lines.

    What is left out between two lines is no longer than `CRUMB` together, and the nodes beside it
    move by no more than that.
    """
    result: list[Segment] = []
    moved = 0.0
    for segment in segments:
        size = segment.start.to(segment.end)
        if result and size < CRUMB and moved + size < CRUMB < _size(result[-1]):
            result[-1], moved = _ending(result[-1], segment.end), moved + size
        elif result and len(result) == 1 and _size(result[0]) < CRUMB < size:
            result[0] = _starting(segment, result[0].start)
        elif result and isinstance(segment, Straight) and _runs_on(result[-1], segment):
            result[-1] = _ending(result[-1], segment.end)
        else:
            result.append(segment)
            moved = 0.0
    return result


def _size(segment: Segment) -> float:
    return segment.start.to(segment.end)


def _ending(segment: Segment, end: Point) -> Segment:
    if isinstance(segment, Straight):
        return Straight(segment.start, end)
    by = Affine.move(end.x - segment.end.x, end.y - segment.end.y)
    return Cubic(segment.start, segment.handle_1, by(segment.handle_2), end)


def _starting(segment: Segment, start: Point) -> Segment:
    if isinstance(segment, Straight):
        return Straight(start, segment.end)
    by = Affine.move(start.x - segment.start.x, start.y - segment.start.y)
    return Cubic(start, by(segment.handle_1), segment.handle_2, segment.end)


def _runs_on(one: Segment, two: Straight) -> bool:
    if not isinstance(one, Straight):
        return False
    (ax, ay), (bx, by) = one.speed(0.0), two.speed(0.0)
    ahead = ax * bx + ay * by
    size = math.hypot(ax + bx, ay + by)
    return ahead >= 0 and (size == 0 or abs(ax * by - ay * bx) / size < 1e-7)
