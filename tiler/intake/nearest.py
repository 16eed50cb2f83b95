"""Where on a path a point comes nearest."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from functools import cached_property
from itertools import pairwise
from typing import NamedTuple

from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds, bounds_of_points
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic, Segment, Straight

_SAMPLES = 24
#: What boxes and places may differ by (millimetres) though they touch.
_ROUNDING = 1e-9
_STEPS = [i / _SAMPLES for i in range(_SAMPLES + 1)]
#: What the four points of a cubic count for at each step.
_WEIGHTS = [
    ((1 - t) * (1 - t) * (1 - t), 3 * (1 - t) * (1 - t) * t, 3 * (1 - t) * t * t, t * t * t)
    for t in _STEPS
]


class Near(NamedTuple):
    """The nearest place on a path.

    Args:
        distance: Millimetres from the point asked for.
        point: The place itself.
        segment: Index of the segment that it lies on.
        t: The segment's parameter there, from 0 to 1.
    """

    distance: float
    point: Point
    segment: int
    t: float


class Seeker:
    """Finds the nearest place on one path, again and again.

    The segments stand in a tree of boxes, halved by their order along the path, so that most
    of a long outline is passed over with one look.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self._box = bounds_of_points([point for segment in path.segments for point in segment])

    @cached_property
    def _tree(self) -> _Node:
        return _tree(self.path.segments, 0, len(self.path.segments))

    def nearest(self, to: Point, within: float = math.inf) -> Near:
        """The place on the path that is nearest to a point.

        Exact on straight lines. On a cubic, 24 even steps find the region and bisection of the
        derivative of the squared distance finds the place in it.

        Args:
            to: Millimetres.
            within: How far (millimetres) it is looked; where nothing is as near, the place that
                is returned is only known to be further off.
        """
        best = Near(math.inf, self.path.start, 0, 0.0)
        limit = within + _ROUNDING
        if _to_box(self._box, to) > limit:
            return best
        waiting = [(0.0, self._tree)]
        while waiting:
            least, node = waiting.pop()
            if least >= best.distance or least > limit:
                continue
            if node.halves:
                one, other = node.halves
                here, there = _to_box(one.box, to), _to_box(other.box, to)
                # The nearer half is taken next.
                ways = ((here, one), (there, other))
                waiting += ways if here >= there else ways[::-1]
                continue
            near = _on_segment(self.path.segments[node.first], node.first, to)
            if near.distance < best.distance:
                best = near
        return best


def nearest(path: Path, to: Point) -> Near:
    """The place on a path (at least one segment) that is nearest to a point; see `Seeker`."""
    return Seeker(path).nearest(to)


def nearest_of(seekers: Iterable[Seeker], to: Point) -> tuple[int, Near]:
    """Which of several paths (at least one) comes nearest to a point, and where.

    Returns:
        Its index, the first one's of those that are as near, and the place on it.
    """
    best: tuple[int, Near] | None = None
    for index, seeker in enumerate(seekers):
        near = seeker.nearest(to, best[1].distance if best else math.inf)
        if best is None or near.distance < best[1].distance:
            best = index, near
    assert best is not None
    return best


def evenly(path: Path, step: float) -> Iterator[Point]:
    """Points along a path, ends included, no further apart than a step (millimetres)."""
    points = path.flattened()
    yield points[0]
    for a, b in pairwise(points):
        parts = max(1, math.ceil(a.to(b) / step))
        for part in range(1, parts):
            yield Straight(a, b).at(part / parts)
        yield b


def covered(path: Path, by: Path, within: float, step: float = 2.0) -> float:
    """The share of a path, from 0 to 1, that lies within some millimetres of another."""
    if not path.bounds.grown(2 * within).meets(by.bounds):
        return 0.0
    points = list(evenly(path, step))
    seeker = Seeker(by)
    total = near = 0.0
    for a, b in pairwise(points):
        length = a.to(b)
        total += length
        if seeker.nearest(Straight(a, b).at(0.5), within).distance <= within:
            near += length
    return near / total if total else 0.0


class _Node(NamedTuple):
    """A box round the segments from `first` on; `halves` is empty where there is one."""

    box: Bounds
    first: int
    halves: tuple[_Node, ...]


def _tree(segments: tuple[Segment, ...], first: int, stop: int) -> _Node:
    if stop - first == 1:
        return _Node(bounds_of_points(segments[first]), first, ())
    middle = (first + stop) // 2
    halves = (_tree(segments, first, middle), _tree(segments, middle, stop))
    return _Node(halves[0].box.joined(halves[1].box), first, halves)


def _to_box(box: Bounds, to: Point) -> float:
    """Distance of a point from a box: no part of a curve is outside the box of its handles."""
    return math.hypot(
        max(box.left - to.x, 0.0, to.x - box.right), max(box.bottom - to.y, 0.0, to.y - box.top)
    )


def _on_segment(segment: Segment, index: int, to: Point) -> Near:
    t = _on_straight(segment, to) if isinstance(segment, Straight) else _on_cubic(segment, to)
    point = segment.at(t)
    return Near(point.to(to), point, index, t)


def _on_straight(segment: Straight, to: Point) -> float:
    (ax, ay), (bx, by) = segment
    dx, dy = bx - ax, by - ay
    size = dx * dx + dy * dy
    if size == 0:
        return 0.0
    return min(1.0, max(0.0, ((to.x - ax) * dx + (to.y - ay) * dy) / size))


def _on_cubic(segment: Cubic, to: Point) -> float:
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = segment
    x, y = to
    # Written out: this is called for every notch, corner and sample of a pattern.
    off = [
        math.hypot(x - (a * x0 + b * x1 + c * x2 + d * x3), y - (a * y0 + b * y1 + c * y2 + d * y3))
        for a, b, c, d in _WEIGHTS
    ]
    here = off.index(min(off))
    low, high = _STEPS[max(here - 1, 0)], _STEPS[min(here + 1, _SAMPLES)]
    ax, ay, bx, by, cx, cy = x1 - x0, y1 - y0, x2 - x1, y2 - y1, x3 - x2, y3 - y2

    def slope(t: float) -> float:
        u = 1 - t
        a, b, c, d = u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
        e, f, g = 3 * u * u, 6 * u * t, 3 * t * t
        return (a * x0 + b * x1 + c * x2 + d * x3 - x) * (e * ax + f * bx + g * cx) + (
            a * y0 + b * y1 + c * y2 + d * y3 - y
        ) * (e * ay + f * by + g * cy)

    if slope(low) > 0 or slope(high) < 0:
        return _STEPS[here]
    for _ in range(52):
        middle = (low + high) / 2
        if slope(middle) < 0:
            low = middle
        else:
            high = middle
    return (low + high) / 2
