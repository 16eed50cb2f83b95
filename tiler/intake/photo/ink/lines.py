"""Branches of the skeleton -> measured lines with corners, meeting at nodes."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import pairwise

import numpy as np

from tiler.intake.photo.ink.centre import STEP, Course, even, measured, normals, softened
from tiler.intake.photo.ink.corners import Corner, corners_of
from tiler.intake.photo.ink.legs import Leg, Vector, leg_of
from tiler.intake.photo.ink.light import Light, lab_of
from tiler.intake.photo.model import Flattened, Points

#: Half the window in which the measured points are evened out, millimetres.
_EVENED = 3.0
#: A line with fewer measured places than this is drawn straight between its nodes.
_FEW = 6
#: Standard uncertainty that remains with the best picture: sampling and edges, millimetres.
_REST = 0.02


@dataclass(eq=False)
class Line:
    """A measured line.

    Args:
        course: What was measured.
        start: Index of the node where it begins; None for a ring.
        end: Likewise.
        corners: Along it, in order.
        colour: CIE L*, a*, b*, light divided out.
        unsure: Standard uncertainty across itself, millimetres.
        first: The line carried on over its beginning; None when it is too short.
        last: The line carried on over its end.
    """

    course: Course
    start: int | None
    end: int | None
    corners: list[Corner] = field(default_factory=list)
    colour: tuple[float, float, float] = (0.0, 0.0, 0.0)
    unsure: float = 0.05
    first: Leg | None = None
    last: Leg | None = None

    def leg(self, at_start: bool) -> Leg | None:
        """The line carried on over one end."""
        return self.first if at_start else self.last


def line_of(
    guide: Points,
    ends: tuple[int | None, int | None],
    loose: tuple[bool, bool],
    width: float,
    light: Light,
    flattened: Flattened,
) -> Line | None:
    """Measure a branch.

    Args:
        guide: Its pixels' places, millimetres.
        ends: Its nodes.
        loose: Whether nothing else meets it there.
        width: About how wide it is.
        light: The paper's brightness.
        flattened: The picture.

    Returns:
        None for what is too small or too faint to be a line.
    """
    closed = ends[0] is None
    course = measured(guide, closed, width, light, flattened)
    if course is None:
        return None
    if not closed:
        course = _trimmed(course, guide, loose)
    return finished(course, ends[0], ends[1], light, flattened)


def finished(
    course: Course, start: int | None, end: int | None, light: Light, flattened: Flattened
) -> Line:
    """A measured course with its corners, colour and ends.

    Args:
        course: What was measured.
        start: Index of the node where it begins; None for a ring.
        end: Likewise.
        light: The paper's brightness.
        flattened: The picture.
    """
    line = Line(course, start, end)
    line.corners = corners_of(course, light, flattened)
    line.colour = _colour(course, light, flattened)
    line.unsure = _unsure(course)
    if not course.closed:
        usable = np.flatnonzero(course.good)
        to = line.corners[0].before if line.corners else len(course.points)
        since = line.corners[-1].after if line.corners else 0
        line.first = leg_of(course.points[usable[usable <= to][:40]][::-1])
        line.last = leg_of(course.points[usable[usable >= since][-40:]])
    return line


def _trimmed(course: Course, guide: Points, loose: tuple[bool, bool]) -> Course:
    """Leave out what lies within another line's ink, or in the round end."""
    good = course.good.copy()
    points = course.points
    for place, free in ((guide[0], loose[0]), (guide[-1], loose[1])):
        away = np.hypot(*(points - place).T)
        good &= away > (0.4 if free else course.width / 2 + 0.6)
    if good.sum() < 4:
        third = len(points) // 3
        good = np.zeros(len(points), bool)
        good[third : len(points) - third] = True
    return replace(course, good=good)


def _colour(course: Course, light: Light, flattened: Flattened) -> tuple[float, float, float]:
    some = course.points[course.good][::2]
    if not len(some):
        some = course.points
    side = normals(some, False) if len(some) > 2 else np.zeros_like(some)
    at = np.linspace(-1, 1, 3) * course.width / 8
    places = some[:, None] + at[None, :, None] * side[:, None]
    px = flattened.to_pixels(places.reshape(-1, 2)).reshape(places.shape)
    return lab_of(light.darkness(flattened, px).reshape(-1, 3))


def _unsure(course: Course) -> float:
    """From how the measured points scatter; about three of them say the same."""
    even_ = softened(course.points, course.good, course.closed, _EVENED)
    off = np.hypot(*(course.points - even_).T)[course.good]
    scatter = float(np.median(off)) / 0.6745 if len(off) > 5 else 0.1
    return float(np.hypot(0.6 * scatter, _REST))


def drawn(line: Line, start: Vector | None, end: Vector | None) -> Points:
    """Points of a line about a millimetre apart, through its corners.

    Args:
        line: The line.
        start: Where its first node is; None for a ring.
        end: Where its last node is.
    """
    course = line.course
    count = len(course.points)
    if course.closed:
        return _ring(line, count)
    usable = np.flatnonzero(course.good)
    if start is not None and end is not None and not line.corners and len(usable) < _FEW:
        return np.concatenate((start[None], _carried(None, start, end), end[None]))
    marks: list[tuple[Vector | None, int, Leg | None, int, Leg | None]] = []
    # Each vertex: its place, the last plain point before it, its leg; the first after it, its leg.
    marks.append((start, -1, None, int(usable[0]) if len(usable) else 0, line.first))
    marks.extend((c.place, c.before, c.into, c.after, c.out) for c in line.corners)
    marks.append((end, int(usable[-1]) if len(usable) else count - 1, line.last, count, None))
    parts: list[Points] = [] if start is None else [start[None]]
    for one, two in pairwise(marks):
        parts.append(_between(course, one[3], two[1], one[0], one[4], two[0], two[2]))
        if two[0] is not None:
            parts.append(two[0][None])
    return np.concatenate(parts)


def _ring(line: Line, count: int) -> Points:
    course = line.course
    if not line.corners:
        return even(softened(course.points, course.good, True, _EVENED), True, 2 * STEP)
    parts = []
    for i, corner in enumerate(line.corners):
        after = line.corners[(i + 1) % len(line.corners)]
        last = after.before + (count if i + 1 == len(line.corners) else 0)
        span = np.arange(corner.after, last + 1) % count
        part = replace(
            course,
            points=course.points[span],
            good=course.good[span],
            closed=False,
            flanks=course.flanks[span],
        )
        parts.append(corner.place[None])
        parts.append(
            _between(
                part, 0, len(span) - 1, corner.place, corner.out, after.place, after.into
            )
        )  # fmt: skip
    return np.concatenate(parts)


def _between(
    course: Course,
    since: int,
    to: int,
    start: Vector | None,
    first: Leg | None,
    end: Vector | None,
    last: Leg | None,
) -> Points:
    """The points between two vertices, both left out."""
    if to < since:
        return np.empty((0, 2))
    points, good = course.points[since : to + 1], course.good[since : to + 1]
    even_ = softened(points, good, False, _EVENED)[:: round(1 / STEP)]
    before = np.empty((0, 2)) if start is None else _carried(first, even_[0], start)[::-1]
    after = np.empty((0, 2)) if end is None else _carried(last, even_[-1], end)
    return np.concatenate((before, even_, after))


def _carried(leg: Leg | None, since: Vector, to: Vector) -> Points:
    """Points a millimetre apart from `since` to `to`, both left out, along the leg."""
    length = float(np.hypot(*(to - since)))
    count = int(length - 0.4)
    if count < 1:
        return np.empty((0, 2))
    part = np.arange(1, count + 1) / (count + 1)
    straight = since + part[:, None] * (to - since)
    if leg is None:
        return straight
    x, reach = leg.beside(since), leg.beside(to)
    if reach <= x:
        return straight
    way = np.array([leg.at(x + p * (reach - x)) for p in part])
    off_start, off_end = since - leg.at(x), to - leg.at(reach)
    return np.asarray(way + (1 - part)[:, None] * off_start + part[:, None] * off_end)
