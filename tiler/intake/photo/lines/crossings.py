"""How lines go on through the places where they meet."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from tiler.intake.photo.lines.net import Half, Net, along, merged
from tiler.intake.photo.model import Numbers, Points

#: Marker ink runs together nearer than this (millimetres) to a meeting, so lines are read beyond.
BEYOND = 1.8
#: How far (millimetres) from a meeting a line tells its direction.
REACH = 10.0
_BENT_REACH = 15.0
#: Two lines are one that goes through when they are straight to one another within this, degrees.
SMOOTH = 18.0
#: Lines that cross at less (degrees) may as well have touched.
CLEAR = 20.0
#: Longest (millimetres) stretch that ink of two crossing lines shares: a 5 mm line at 22 degrees;
#: a thinner line less, as a part of its width, and some more for the ink that fills the corners.
_RUN_TOGETHER, _RUN_PART, _RUN_MORE = 13.0, 2.7, 2.0
#: How far (millimetres) a meeting may be put along the line through it.
_ALONG = 1.0
#: A meeting is put straight only where the line through it is this plain (millimetres off a cubic).
_PLAIN = 0.25


def heading(points: Points) -> Numbers:
    """The unit direction in which a line leaves its first point, read beyond the meeting.

    A line that is bent more than its noise explains is followed back to the point as a parabola.
    """
    s = along(points)
    whole = float(s[-1])
    near = BEYOND if whole > 3 * BEYOND else 0.0
    straight = (s >= near) & (s <= min(REACH, whole))
    if straight.sum() < 3:
        return unit(points[-1] - points[0])
    bent = (s >= near) & (s <= min(_BENT_REACH, whole))
    if bent.sum() >= 8 and whole >= REACH:
        at, here = s[bent], points[bent]
        fit = np.linalg.lstsq(np.vander(at, 3, increasing=True), here, rcond=None)[0]
        off = here - np.vander(at, 3, increasing=True) @ fit
        noise = float(np.sqrt((off**2).sum() / (2 * len(at) - 6)))
        # Standard error of the third coefficient over evenly spread points.
        error = float(np.sqrt(180 / len(at))) * max(noise, 0.03) / float(at[-1] - at[0]) ** 2
        if float(np.hypot(*fit[2])) > 3 * error:
            return unit(fit[1])
    at, here = s[straight], points[straight]
    line = np.linalg.lstsq(np.vander(at, 2, increasing=True), here, rcond=None)[0]
    return unit(line[1])


def unit(vector: Numbers) -> Numbers:
    """The same direction, one long."""
    size = float(np.hypot(*vector))
    return vector / size if size > 0 else np.array([1.0, 0.0])


def angle_between(one: Numbers, other: Numbers) -> float:
    """Degrees between two unit directions, 0 to 180."""
    return math.degrees(math.acos(max(-1.0, min(1.0, float(one @ other)))))


def bend(net: Net, one: Half, other: Half) -> float:
    """Degrees by which a line that comes against one half and leaves by the other turns."""
    return 180.0 - angle_between(heading(net.points(one)), heading(net.points(other)))


def through(net: Net, node: int) -> tuple[Half, Half] | None:
    """The two halves that are one line through a meeting, plainly more so than any others."""
    halves = net.leaving.get(node, ())
    pairs = sorted((bend(net, a, b), a, b) for n, a in enumerate(halves) for b in halves[n + 1 :])
    if not pairs or pairs[0][0] > SMOOTH + 7:
        return None
    if len(pairs) > 1 and len(halves) == 3 and pairs[1][0] < max(2 * pairs[0][0], SMOOTH + 7):
        return None
    return pairs[0][1], pairs[0][2]


def passes(net: Net, node: int) -> tuple[tuple[Half, Half], tuple[Half, Half]] | None:
    """The two lines that cross at a meeting of four, where that is plain; else None."""
    halves = net.leaving.get(node, ())
    if len(halves) != 4:
        return None
    a, b, c, d = halves
    ways = sorted(
        (max(bend(net, *p), bend(net, *q)), p, q)
        for p, q in (((a, b), (c, d)), ((a, c), (b, d)), ((a, d), (b, c)))
    )
    (worst, p, q), (second, _, _) = ways[0], ways[1]
    if worst > SMOOTH or second < worst + CLEAR / 2:
        return None
    one = heading(net.points(p[0]))
    other = heading(net.points(q[0]))
    between = angle_between(one, other)
    if min(between, 180 - between) < CLEAR:
        return None
    return p, q


def contracted(net: Net) -> Net:
    """One meeting for two between which crossing lines ran together."""
    arcs = dict(net.arcs)
    nodes = net.nodes.copy()
    for key in sorted(arcs, key=lambda k: arcs[k].length):
        arc = arcs[key]
        if arc.length > _RUN_TOGETHER or arc.start == arc.end:
            continue
        now = Net(nodes, arcs)
        if len(now.leaving[arc.start]) != 3 or len(now.leaving[arc.end]) != 3:
            continue
        one = [h for h in now.leaving[arc.start] if h[0] != key]
        other = [h for h in now.leaving[arc.end] if h[0] != key]
        if len(one) != 2 or len(other) != 2 or not _crosses(now, one, other):
            continue
        if arc.length > _RUN_PART * max(arcs[k].width for k, _ in (*one, *other)) + _RUN_MORE:
            continue
        middle = (nodes[arc.start] + nodes[arc.end]) / 2
        kept = {k: a for k, a in arcs.items() if k != key}
        for k, a in kept.items():
            points, start, end = a.points, a.start, a.end
            if start in (arc.start, arc.end):
                points = np.vstack([middle[None, :], _beyond(points[1:], middle, arc.length)])
                start = arc.start
            if end in (arc.start, arc.end):
                back = _beyond(points[-2::-1], middle, arc.length)
                points = np.vstack([back[::-1], middle[None, :]])
                end = arc.start
            if points is not a.points:
                kept[k] = replace(a, points=points, start=start, end=end)
        nodes[arc.start] = middle
        arcs = kept
    return merged(Net(nodes, arcs))


def _crosses(net: Net, one: list[Half], other: list[Half]) -> bool:
    """Whether each line of one meeting goes on as one of the other, and the two lines cross."""
    best: list[tuple[float, float]] = []
    for first, second in ((0, 1), (1, 0)):
        turns = [bend(net, one[0], other[first]), bend(net, one[1], other[second])]
        offs = [
            _aside(net.points(a), net.points(b))
            for a, b in ((one[0], other[first]), (one[1], other[second]))
        ]
        best.append((max(turns), max(offs)))
    straight = min(best)
    if straight[0] > SMOOTH or straight[1] > 1.5 or max(best)[0] < straight[0] + CLEAR / 2:
        return False
    between = angle_between(heading(net.points(one[0])), heading(net.points(one[1])))
    return between >= CLEAR


def _aside(one: Points, other: Points) -> float:
    """How far (millimetres) two lines that should be one lie beside one another."""
    way = heading(other)
    off = other[0] - one[0]
    return abs(float(way[0] * off[1] - way[1] * off[0]))


def _beyond(points: Points, middle: Numbers, near: float) -> Points:
    far = np.hypot(*(points - middle).T) > near / 2
    first = int(np.argmax(far)) if far.any() else len(points) - 1
    return points[first:]


def tidied(net: Net) -> Net:
    """The net with the line through each meeting of three put straight there.

    Where a line ends on another the ink is thicker on one side, which draws both centre lines
    aside. What lies within `BEYOND` is read from a cubic through what lies further out.
    """
    arcs = dict(net.arcs)
    nodes = net.nodes.copy()
    for node, halves in sorted(net.leaving.items()):
        now = Net(nodes, arcs)
        if len(halves) != 3 or len({key for key, _ in halves}) < 3:
            continue
        pair = through(now, node)
        if pair is None:
            continue
        third = next(half for half in halves if half not in pair)
        place = _put_straight(now.points(pair[0]), now.points(pair[1]), now.points(third))
        if place is None:
            continue
        at, one, other = place
        nodes[node] = at
        rest = now.points(third)
        stem = np.vstack([at[None, :], _outside(rest, at)])
        for half, points in ((pair[0], one), (pair[1], other), (third, stem)):
            arcs[half[0]] = replace(arcs[half[0]], points=points if half[1] else points[::-1])
    return Net(nodes, arcs)


def _outside(points: Points, at: Numbers) -> Points:
    inner = points[1:-1]
    return np.vstack([inner[np.hypot(*(inner - at).T) > BEYOND], points[-1:]])


def _put_straight(
    one: Points, other: Points, third: Points
) -> tuple[Numbers, Points, Points] | None:
    sides = []
    for points in (one, other):
        s = along(points)
        if s[-1] < 3 * BEYOND:
            return None
        sides.append(points[(s >= BEYOND) & (s <= min(REACH, s[-1] - BEYOND / 2))])
    if min(len(side) for side in sides) < 3:
        return None
    node = one[0]
    way = unit(sides[1].mean(axis=0) - sides[0].mean(axis=0))
    frame = np.array([way, [-way[1], way[0]]])
    left, right = ((side - node) @ frame.T for side in sides)
    seen = np.vstack([left, right])
    if left[:, 0].max() > 0 or right[:, 0].min() < 0:
        return None
    cubic = np.polynomial.polynomial.Polynomial.fit(seen[:, 0], seen[:, 1], 3)
    if float(np.sqrt(np.mean((cubic(seen[:, 0]) - seen[:, 1]) ** 2))) > _PLAIN:
        return None
    if abs(float(cubic(0.0))) > 2.0:
        return None
    x = _meeting_place(third, frame, node, cubic)
    at = node + np.array([x, float(cubic(x))]) @ frame
    made = []
    for points, sign in ((one, -1.0), (other, 1.0)):
        local = (points - node) @ frame.T
        s = along(points)
        beyond = s >= BEYOND
        start = float(local[beyond][0, 0])
        steps = max(1, round(abs(start - x)))
        xs = np.linspace(x, start, steps + 1)[1:-1]
        drawn = node + np.column_stack((xs, cubic(xs))) @ frame
        if sign * (start - x) <= 0:
            return None
        made.append(np.vstack([at[None, :], drawn, points[beyond]]))
    return at, made[0], made[1]


def _meeting_place(
    third: Points, frame: Numbers, node: Numbers, cubic: np.polynomial.polynomial.Polynomial
) -> float:
    """Where along the line through a meeting the third one comes to it, millimetres."""
    s = along(third)
    beyond = third[(s >= min(BEYOND, s[-1] / 3)) & (s <= REACH)]
    if len(beyond) < 3:
        return 0.0
    foot = frame @ (beyond.mean(axis=0) - node)
    axes = np.linalg.svd(beyond - beyond.mean(axis=0), full_matrices=False)[2]
    lean = frame @ axes[0]
    if abs(lean[1]) < 0.35:
        return 0.0
    x = 0.0
    for _ in range(4):
        x = float(foot[0] + lean[0] / lean[1] * (float(cubic(x)) - foot[1]))
        x = max(-_ALONG, min(_ALONG, x))
    return x
