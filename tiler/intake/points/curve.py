"""A smooth line through points that lie on a curve.

At every point the line has the direction of the circle through that point and its two neighbours,
and each cubic has the handles of the circular arc that turns as far. So points of a circle give
that circle, however unevenly they were measured, and each cubic depends on four points only: a
wrong number does not make waves along the whole edge, as it does in a spline whose curvature is
continuous too. Handles are in proportion to the chord, so a short step beside a long one does not
make the long one bulge. Measured against arcs, ellipses and armholes with 3 to 10 points, unevenly
spaced, it is nearer to the truth than interpolating cubic splines by centripetal parameters
(Yuksel, Schaefer and Keyser, "Parameterization and applications of Catmull-Rom curves", 2011), and
about as near as those by chord length (de Boor, "A Practical Guide to Splines").
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from tiler.pattern.affine import Point
from tiler.pattern.segment import Cubic, Segment, Straight

#: A line between two points whose directions are within this (radians) of the chord is straight.
_STRAIGHT = 1e-9
#: A longest handle, as a share of the chord, for points where the line nearly turns back.
_LONGEST = 2.0


def smooth_through(points: Sequence[Point], *, closed: bool = False) -> tuple[Segment, ...]:
    """One segment from each point to the next, with one direction at every point between.

    At the ends of an open line the direction is that of the circle through the first (last) three
    points. Two points give a straight line.

    Args:
        points: At least two, or three for a closed line, none the same as the one before it; a
            closed line does not repeat its first point.
        closed: Whether the line goes back to its first point.
    """
    count = len(points)
    if count == 2 and not closed:
        return (Straight(points[0], points[1]),)
    inner = range(count) if closed else range(1, count - 1)
    ways = [_way(points[i - 1], points[i], points[(i + 1) % count]) for i in inner]
    if not closed:
        ways.insert(0, _mirrored(ways[0], points[0], points[1]))
        ways.append(_mirrored(ways[-1], points[-2], points[-1]))
    stops = count if closed else count - 1
    return tuple(
        _between(points[i], ways[i], ways[(i + 1) % count], points[(i + 1) % count])
        for i in range(stops)
    )


def _way(before: Point, here: Point, after: Point) -> float:
    """Direction (radians) of the circle through three points at the middle one.

    By the angle between tangent and chord: over the arc to a neighbour the way turns by twice the
    angle between tangent and chord, and inscribed angles over equal chords are equal.
    """
    (ax, ay), (bx, by) = (((q.x - p.x), (q.y - p.y)) for p, q in ((before, here), (here, after)))
    a, b = math.hypot(ax, ay) ** 2, math.hypot(bx, by) ** 2
    x, y = ax / a + bx / b, ay / a + by / b
    if math.hypot(x, y) < 1e-9 / math.sqrt(min(a, b)):
        # It turns straight back: across, as a circle between the two would.
        x, y = -by, bx
    return math.atan2(y, x)


def _mirrored(way: float, start: Point, end: Point) -> float:
    """The direction at the other end of a chord of a circle."""
    return 2 * math.atan2(end.y - start.y, end.x - start.x) - way


def _between(start: Point, first: float, last: float, end: Point) -> Segment:
    chord = start.to(end)
    along = math.atan2(end.y - start.y, end.x - start.x)
    out, into = math.remainder(first - along, math.tau), math.remainder(last - along, math.tau)
    if abs(out) <= _STRAIGHT and abs(into) <= _STRAIGHT:
        return Straight(start, end)
    # An arc that leaves its chord at an angle a has handles of 2/3 chord / (1 + cos a); its middle
    # is met exactly (as by Goldapp, 1991). Where the ends differ, so do the angles.
    middle = (math.cos(out) + math.cos(into)) / 2
    handle = min(2 / 3 / max(1 + middle, 1e-9), _LONGEST) * chord
    return Cubic(
        start,
        Point(start.x + handle * math.cos(first), start.y + handle * math.sin(first)),
        Point(end.x - handle * math.cos(last), end.y - handle * math.sin(last)),
        end,
    )
