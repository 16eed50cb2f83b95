"""Smooth curves through the points of a polyline."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from tiler.pattern.affine import Point
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic, Segment, Straight

#: How far (millimetres) a curve may pass from the points that it is drawn through.
FIT = 0.005
#: A curve that passes further off is given up at once.
_HOPELESS = 50 * FIT
#: Points that bulge less (millimetres) from the line between the ends are that line.
STRAIGHT_WITHIN = 0.001
#: Points nearer to one another (millimetres) are one.
SAME = 1e-6
#: Points beyond the seam of a ring that decide the direction in it.
_AROUND = 8
#: One cubic turns at most this far (radians), so that its shape is never in doubt.
_MOST_TURN = math.pi / 2
#: One cubic stands for at most so many spans, which keeps the work in step with their number.
_MOST_SPANS = 64

Vector = tuple[float, float]


def path_through(points: Sequence[Point], turns: Sequence[bool], closed: bool) -> Path | None:
    """The path that a polyline stands for.

    Between turn points that follow one another directly it is straight. A run with curve points
    is a cubic spline through all of them, its second derivative continuous over chord length
    (de Boor, "A Practical Guide to Splines", chapter IV), whose spans are then drawn together
    into as few cubics as stay within 0.005 mm. Directions are continuous between turn points.

    Args:
        points: Millimetres; the first is not repeated at the end of a closed line.
        turns: For each point whether the line may turn there; the ends of an open line do.
        closed: Whether the last point is joined to the first.

    Returns:
        None when all points are the same.
    """
    kept = [(p, t) for p, t in zip(points, turns, strict=True)]
    kept = _distinct(kept, closed)
    if len(kept) < 2:
        return None
    places = [point for point, _ in kept]
    if not closed:
        marks = [0, *(i for i, (_, t) in enumerate(kept[1:-1], 1) if t), len(kept) - 1]
        runs = [places[a : b + 1] for a, b in pairwise(marks)]
        return Path(tuple(s for run in runs for s in _run(run)))
    corners = [i for i, (_, t) in enumerate(kept) if t]
    if not corners:
        return Path(tuple(_round(places)), closed=True)
    first = corners[0]
    places = [*places[first:], *places[: first + 1]]
    marks = [*(c - first for c in corners), len(places) - 1]
    runs = [places[a : b + 1] for a, b in pairwise(marks)]
    return Path(tuple(s for run in runs for s in _run(run)), closed=True)


def _distinct(points: Sequence[tuple[Point, bool]], closed: bool) -> list[tuple[Point, bool]]:
    kept: list[tuple[Point, bool]] = []
    for point, turn in points:
        if kept and kept[-1][0].to(point) <= SAME:
            kept[-1] = (kept[-1][0], kept[-1][1] or turn)
        else:
            kept.append((point, turn))
    if closed and len(kept) > 1 and kept[-1][0].to(kept[0][0]) <= SAME:
        _, turn = kept.pop()
        kept[0] = (kept[0][0], kept[0][1] or turn)
    return kept


def _run(points: Sequence[Point]) -> list[Segment]:
    """The segments between two turn points."""
    line = Straight(points[0], points[-1])
    if len(points) == 2 or _bulge(line, points) <= STRAIGHT_WITHIN:
        return [line]
    return _drawn_together(points, _directions(points))


def _round(points: Sequence[Point]) -> list[Segment]:
    """A ring without turn points: the direction in its seam comes from both sides."""
    count = len(points)
    if count < 4:
        return [Straight(a, b) for a, b in pairwise([*points, points[0]])]
    around = min(_AROUND, count)
    wound = [points[i % count] for i in range(-around, count + around + 1)]
    directions = _directions(wound)[around : around + count + 1]
    directions[-1] = directions[0]
    return _drawn_together([*points, points[0]], directions)


def _bulge(line: Straight, points: Sequence[Point]) -> float:
    """The largest distance from the straight line; infinite where the way goes back."""
    (ax, ay), (bx, by) = line
    length = line.length
    if length == 0:
        return math.inf
    ux, uy = (bx - ax) / length, (by - ay) / length
    along = [(p.x - ax) * ux + (p.y - ay) * uy for p in points]
    if any(b <= a for a, b in pairwise(along)):
        return math.inf
    return max(abs((p.x - ax) * uy - (p.y - ay) * ux) for p in points)


def _directions(points: Sequence[Point]) -> list[Vector]:
    """Unit vectors along the spline through at least three points."""
    steps = [a.to(b) for a, b in pairwise(points)]
    axes = []
    for axis in (0, 1):
        slopes = [
            (b[axis] - a[axis]) / h for (a, b), h in zip(pairwise(points), steps, strict=True)
        ]
        axes.append(_derivatives(steps, slopes))
    found = []
    for index, (dx, dy) in enumerate(zip(*axes, strict=True)):
        size = math.hypot(dx, dy)
        if size < 1e-9:
            # The way turns back in this very point: go on along the next chord.
            a = points[min(index, len(points) - 2)]
            b = points[min(index, len(points) - 2) + 1]
            dx, dy, size = b.x - a.x, b.y - a.y, a.to(b)
        found.append((dx / size, dy / size))
    return found


def _derivatives(steps: Sequence[float], slopes: Sequence[float]) -> list[float]:
    """First derivatives of the cubic spline, ends from the parabola through three points.

    The tridiagonal system of the complete spline, solved by elimination (de Boor, chapter IV).
    """
    h, d = steps, slopes
    first = d[0] + (d[0] - d[1]) * h[0] / (h[0] + h[1])
    last = d[-1] + (d[-1] - d[-2]) * h[-1] / (h[-1] + h[-2])
    above: list[float] = []
    right: list[float] = []
    before = 0.0
    for i in range(1, len(h)):
        low, high = 1 / h[i - 1], 1 / h[i]
        value = 3 * (d[i - 1] * low + d[i] * high)
        if i == 1:
            value -= low * first
        pivot = 2 * (low + high) - (low * before if i > 1 else 0.0)
        value -= low * right[-1] if i > 1 else 0.0
        if i == len(h) - 1:
            value -= high * last
        before = high / pivot
        above.append(before)
        right.append(value / pivot)
    inner = right
    for i in range(len(inner) - 2, -1, -1):
        inner[i] -= above[i] * inner[i + 1]
    return [first, *inner, last]


def _drawn_together(points: Sequence[Point], directions: Sequence[Vector]) -> list[Segment]:
    """As few cubics as keep within the tolerance of the spline."""
    segments: list[Segment] = []
    here, last = 0, len(points) - 1
    spans = [_spanned(points, directions, i) for i in range(last)]
    turned = [0.0]
    for a, b in pairwise(directions):
        turned.append(turned[-1] + abs(math.atan2(a[0] * b[1] - a[1] * b[0], _dot(a, b))))
    while here < last:
        # Ever longer runs until one does not fit, then by halves between the two.
        best, low, high = spans[here].curve, here + 1, min(last, here + _MOST_SPANS) + 1
        step = 2
        while high - low > 1:
            until = here + step if step and here + step < high else (low + high) // 2
            tried = None
            if turned[until] - turned[here] <= _MOST_TURN:
                tried = _fit(spans[here:until])
            if tried is None:
                high, step = until, 0
            else:
                best, low, step = tried, until, step * 2
        segments.append(best)
        here = low
    return segments


class _Span(NamedTuple):
    """The curve between two points, its middle, and the chords to it and from it."""

    curve: Cubic
    middle: Point
    chords: tuple[float, float]


def _spanned(points: Sequence[Point], directions: Sequence[Vector], number: int) -> _Span:
    (a, b), (da, db) = points[number : number + 2], directions[number : number + 2]
    third = a.to(b) / 3
    curve = Cubic(
        a,
        Point(a.x + da[0] * third, a.y + da[1] * third),
        Point(b.x - db[0] * third, b.y - db[1] * third),
        b,
    )
    middle = curve.at(0.5)
    return _Span(curve, middle, (a.to(middle), middle.to(b)))


def _fit(spans: Sequence[_Span]) -> Cubic | None:
    """One cubic for several spans, or None.

    Least squares for the two handle lengths with the directions given, the parameters corrected
    by Newton's method in between (Schneider, "An Algorithm for Automatically Fitting Digitized
    Curves", Graphics Gems, 1990).
    """
    start, end = spans[0].curve, spans[-1].curve
    places, chords = [start.start], [0.0]
    for span in spans:
        places += [span.middle, span.curve.end]
        for chord in span.chords:
            chords.append(chords[-1] + chord)
    total = chords[-1]
    ts = [c / total for c in chords]
    da, db = _unit(start.start, start.handle_1), _unit(end.handle_2, end.end)
    for _ in range(4):
        curve = _least_squares(places, ts, da, db, total)
        if curve is None:
            return None
        worst = _furthest(curve, ts, places)
        if worst <= FIT:
            return curve
        if worst > _HOPELESS:
            return None
        ts = [0.0, *_nearer(curve, ts[1:-1], places[1:-1]), 1.0]
        if any(b <= a for a, b in pairwise(ts)):
            return None
    return None


def _least_squares(
    places: Sequence[Point], ts: Sequence[float], da: Vector, db: Vector, length: float
) -> Cubic | None:
    a, b = places[0], places[-1]
    aa = ab = bb = ra = rb = 0.0
    cross = -_dot(da, db)
    for t, p in zip(ts, places, strict=True):
        u = 1 - t
        w1, w2 = 3 * u * u * t, 3 * u * t * t
        # What the ends alone do not explain.
        sa, sb = u * u * u + w1, t * t * t + w2
        dx, dy = p.x - a.x * sa - b.x * sb, p.y - a.y * sa - b.y * sb
        aa += w1 * w1
        bb += w2 * w2
        ab += w1 * w2 * cross
        ra += w1 * (dx * da[0] + dy * da[1])
        rb -= w2 * (dx * db[0] + dy * db[1])
    determinant = aa * bb - ab * ab
    if determinant <= 1e-12 * aa * bb:
        return None
    first, second = (ra * bb - rb * ab) / determinant, (rb * aa - ra * ab) / determinant
    if not (0 < first < length and 0 < second < length):
        return None
    return Cubic(
        a,
        Point(a.x + da[0] * first, a.y + da[1] * first),
        Point(b.x - db[0] * second, b.y - db[1] * second),
        b,
    )


def _furthest(curve: Cubic, ts: Sequence[float], places: Sequence[Point]) -> float:
    """The largest distance of the curve's points from their places, or one that is hopeless.

    Written out, as `_nearer` is: it is where most of the time of reading goes.
    """
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = curve
    worst = 0.0
    for t, (x, y) in zip(ts, places, strict=True):
        u = 1 - t
        a, b, c, d = u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
        off = math.hypot(
            x - (a * x0 + b * x1 + c * x2 + d * x3), y - (a * y0 + b * y1 + c * y2 + d * y3)
        )
        if off > worst:
            worst = off
            if worst > _HOPELESS:
                break
    return worst


def _nearer(curve: Cubic, ts: Sequence[float], places: Sequence[Point]) -> list[float]:
    """One step of Newton's method towards the parameters of the nearest points."""
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = curve
    found = []
    for t, (x, y) in zip(ts, places, strict=True):
        u = 1 - t
        a, b, c, d = u * u * u, 3 * u * u * t, 3 * u * t * t, t * t * t
        ex = a * x0 + b * x1 + c * x2 + d * x3 - x
        ey = a * y0 + b * y1 + c * y2 + d * y3 - y
        a, b, c = 3 * u * u, 6 * u * t, 3 * t * t
        dx = a * (x1 - x0) + b * (x2 - x1) + c * (x3 - x2)
        dy = a * (y1 - y0) + b * (y2 - y1) + c * (y3 - y2)
        bx = 6 * u * (x2 - 2 * x1 + x0) + 6 * t * (x3 - 2 * x2 + x1)
        by = 6 * u * (y2 - 2 * y1 + y0) + 6 * t * (y3 - 2 * y2 + y1)
        slope = dx * dx + dy * dy + ex * bx + ey * by
        found.append(t - (ex * dx + ey * dy) / slope if slope > 0 else t)
    return found


def _unit(a: Point, b: Point) -> Vector:
    size = a.to(b)
    return (b.x - a.x) / size, (b.y - a.y) / size


def _dot(a: Vector, b: Vector) -> float:
    return a[0] * b[0] + a[1] * b[1]
