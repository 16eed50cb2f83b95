"""Lines that belong on an outline, moved exactly on to it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from tiler.intake.nearest import Seeker
from tiler.intake.photo.model import Points
from tiler.intake.ring import with_end, with_start
from tiler.pattern.affine import Point
from tiler.pattern.path import Path
from tiler.pattern.segment import Segment, Straight

#: A fold line whose points all lie this near (millimetres) to an outline is meant to lie on it.
_FOLD_REACH = 3.0
#: A fold that begins or ends this near (millimetres) to a node of the outline is meant to there.
_NODE = 12.0
#: Ends of lines this near (millimetres) to an outline are meant to meet it.
_MEETS = 1.5


@dataclass(frozen=True, slots=True)
class _Place:
    """A place on a path: how many segments lie before it, and the parameter on the next."""

    segment: int
    t: float
    point: Point


def notch_on(points: Points, rings: Sequence[Path]) -> Path:
    """A notch as one stroke from the outline, exactly, to its other end.

    A tick across the outline keeps the end that is farther from it.

    Args:
        points: Along the tick.
        rings: Outlines that it may stand on.
    """
    start, end = (Point(float(x), float(y)) for x, y in points[[0, -1]])
    if not rings:
        return Path((Straight(start, end),))
    line = shapely.LineString(np.vstack((points, points[-1:])) if len(points) < 2 else points)
    seekers = [Seeker(ring) for ring in rings]
    shapes = [shapely.LineString(ring.flattened(0.01)) for ring in rings]
    nearest = min(range(len(rings)), key=lambda n: shapely.distance(line, shapes[n]))
    seeker = seekers[nearest]
    away = {place: seeker.nearest(place).distance for place in (start, end)}
    outer = max(away, key=lambda place: away[place])
    touch = shapely.shortest_line(shapes[nearest], line).coords[0]
    foot = seeker.nearest(Point(*touch)).point
    if outer.to(foot) < 0.5:
        outer = max((start, end), key=foot.to)
    return Path((Straight(foot, outer),))


def fold_on(points: Points, rings: Sequence[Path]) -> Path | None:
    """The part of an outline that a fold line was drawn on; None when it lies elsewhere."""
    for ring in rings:
        off = shapely.distance(shapely.points(points), shapely.LineString(ring.flattened(0.02)))
        if off.max() > _FOLD_REACH:
            continue
        seeker = Seeker(ring)
        ends = [_place(ring, seeker, Point(float(x), float(y))) for x, y in points[[0, -1]]]
        middle = Point(*(float(each) for each in points[len(points) // 2]))
        ways = [_between(ring, *ends), _between(ring, *ends[::-1]).reversed()]
        return min(
            (way for way in ways if way.segments),
            key=lambda way: Seeker(way).nearest(middle).distance,
            default=None,
        )
    return None


def with_ends_on(path: Path, rings: Sequence[Path]) -> Path:
    """The path, ends that nearly meet an outline moved on to it, or to its node if one is near."""
    segments = list(path.segments)
    for ring in rings:
        seeker = Seeker(ring)
        for last in (False, True):
            end = segments[-1].end if last else segments[0].start
            near = seeker.nearest(end)
            if near.distance > _MEETS:
                continue
            node = min(ring.nodes(), key=end.to)
            to = node if node.to(end) <= _MEETS else near.point
            if last:
                segments[-1] = with_end(segments[-1], to)
            else:
                segments[0] = with_start(segments[0], to)
    return Path(tuple(segments), path.closed)


def _place(ring: Path, seeker: Seeker, to: Point) -> _Place:
    nodes = [segment.start for segment in ring.segments]
    nearest = min(range(len(nodes)), key=lambda number: nodes[number].to(to))
    if nodes[nearest].to(to) <= _NODE:
        return _Place(nearest, 0.0, nodes[nearest])
    near = seeker.nearest(to)
    return _Place(near.segment, near.t, near.point)


def _between(ring: Path, start: _Place, end: _Place) -> Path:
    """From place to place along a closed path, in its direction."""
    count = len(ring.segments)
    found: list[Segment] = []
    if start.segment == end.segment and start.t < end.t:
        _, rest = ring.segments[start.segment].split(start.t)
        found.append(rest.split((end.t - start.t) / (1 - start.t))[0])
        return Path(tuple(found))
    first = ring.segments[start.segment]
    found.append(first.split(start.t)[1] if start.t > 0 else first)
    step = (start.segment + 1) % count
    while step != end.segment:
        found.append(ring.segments[step])
        step = (step + 1) % count
    if end.t > 0:
        found.append(ring.segments[end.segment].split(end.t)[0])
    return Path(tuple(found))
