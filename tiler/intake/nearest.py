"""Where on a path a point comes nearest."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise
from typing import NamedTuple

from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds, bounds_of_points
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic, Segment, Straight

_SAMPLES = 24


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
        self._tree = _tree(path.segments, 0, len(path.segments))

    def nearest(self, to: Point) -> Near:
        """The place on the path that is nearest to a point.

        Exact on straight lines. On a cubic, 24 even steps find the region and bisection of the
        derivative of the squared distance finds the place in it.

        Args:
            to: Millimetres.
        """
        best = Near(math.inf, self.path.start, 0, 0.0)
        waiting = [(0.0, self._tree)]
        while waiting:
            least, node = waiting.pop()
            if least >= best.distance:
                continue
            if node.halves:
                ways = [(_to_box(half.box, to), half) for half in node.halves]
                waiting += sorted(ways, key=lambda way: -way[0])
                continue
            near = _on_segment(self.path.segments[node.first], node.first, to)
            best = min(best, near, key=lambda each: each.distance)
        return best


def nearest(path: Path, to: Point) -> Near:
    """The place on a path (at least one segment) that is nearest to a point; see `Seeker`."""
    return Seeker(path).nearest(to)


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
    points = list(evenly(path, step))
    seeker = Seeker(by)
    total = near = 0.0
    for a, b in pairwise(points):
        length = a.to(b)
        total += length
        if seeker.nearest(Straight(a, b).at(0.5)).distance <= within:
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
    steps = [i / _SAMPLES for i in range(_SAMPLES + 1)]
    here = min(range(_SAMPLES + 1), key=lambda i: segment.at(steps[i]).to(to))
    low, high = steps[max(here - 1, 0)], steps[min(here + 1, _SAMPLES)]

    def slope(t: float) -> float:
        point, (dx, dy) = segment.at(t), segment.speed(t)
        return (point.x - to.x) * dx + (point.y - to.y) * dy

    if slope(low) > 0 or slope(high) < 0:
        return steps[here]
    for _ in range(52):
        middle = (low + high) / 2
        if slope(middle) < 0:
            low = middle
        else:
            high = middle
    return (low + high) / 2
