"""Corners of a marker line: where the lines before and after it meet."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import radians, sin, tan

import numpy as np

from tiler.intake.photo.ink.centre import STEP, Course
from tiler.intake.photo.ink.legs import Leg, Vector, leg_of, meeting
from tiler.intake.photo.ink.light import Light
from tiler.intake.photo.model import Flattened, Numbers, Points

#: The least turn that is looked at as a corner, and the least that is one, degrees.
_LOOK, _LEAST = 18.0, 15.0
#: Length over which a line's direction is taken to look for corners, millimetres.
_CHORD = 5.0
#: A line may go unmeasured for this long before a corner, as beside another line, millimetres.
_UNSEEN = 24.0
#: A corner's ink reaches so far beyond its centre, as a part of half the line's width; a rounded
#: one's does not.
_NIB = 0.6
#: Darkness, as a part of the line's own, that is ink.
_INK = 0.5


@dataclass(frozen=True, eq=False)
class Corner:
    """A corner of a course.

    Args:
        place: Millimetres.
        before: Index of the last point of the course that is plain line before it.
        after: Index of the first such point after it.
        into: The line before it, carried on.
        out: The line after it, carried on backwards.
    """

    place: Vector
    before: int
    after: int
    into: Leg
    out: Leg


def corners_of(course: Course, light: Light, flattened: Flattened) -> list[Corner]:
    """The corners along a course, in order; for a ring, indices may pass its end or beginning."""
    count = len(course.points)
    shift = min(count, round(40 / STEP)) if course.closed else 0
    points = _wrapped(course.points, shift)
    good = np.concatenate((course.good[count - shift :], course.good, course.good[:shift]))
    keep = round(max(0.6 * course.width + 0.75, 1.2) / STEP)
    turn = _turns(points, keep)
    found: list[Corner] = []
    for i in _peaks(turn, keep + round(2 / STEP)):
        if course.closed and not shift <= i < shift + count:
            continue
        corner = _corner(points, good, i, float(turn[i]), course, light, flattened)
        if corner is not None and (not found or corner.before >= found[-1].after - shift - 2):
            found.append(replace(corner, before=corner.before - shift, after=corner.after - shift))
    return found


def _wrapped(points: Points, shift: int) -> Points:
    return np.concatenate((points[len(points) - shift :], points, points[:shift]))


def _turns(points: Points, keep: int) -> Numbers:
    """How much the line turns at each point, degrees, from chords that leave the point out."""
    chord = round(_CHORD / STEP)
    far = keep + chord
    turn = np.zeros(len(points))
    # Near the ends of a line, chords may be shorter, but no shorter than half.
    for size in (chord // 2, chord):
        far = keep + size
        if len(points) <= 2 * far:
            continue
        i = np.arange(far, len(points) - far)
        before = points[i - keep] - points[i - far]
        after = points[i + far] - points[i + keep]
        cross = before[:, 0] * after[:, 1] - before[:, 1] * after[:, 0]
        turn[i] = np.degrees(np.abs(np.arctan2(cross, (before * after).sum(axis=1))))
    return turn


def _peaks(turn: Numbers, apart: int) -> list[int]:
    order = [int(i) for i in np.argsort(-turn, kind="stable") if turn[i] >= _LOOK]
    taken: list[int] = []
    blocked = np.zeros(len(turn), bool)
    for i in order:
        if not blocked[i]:
            # The middle of a flat top.
            j = i
            while j + 1 < len(turn) and turn[j + 1] >= 0.97 * turn[i] and j - i < apart:
                j += 1
            taken.append((i + j) // 2)
            blocked[max(0, i - apart) : j + apart + 1] = True
    return sorted(taken)


def _corner(
    points: Points,
    good: np.ndarray[tuple[int, ...], np.dtype[np.bool_]],
    i: int,
    turn: float,
    course: Course,
    light: Light,
    flattened: Flattened,
) -> Corner | None:
    inner = radians(max(180 - turn, 20))
    clear = max((course.width / 2) / tan(inner / 2) + 0.9, 0.5 * course.width + 0.5)
    keep = round(clear / STEP)
    usable = np.flatnonzero(good)
    left, right = usable[usable <= i - keep], usable[usable >= i + keep]
    if len(left) < 4 or len(right) < 4:
        return None
    if i - left[-1] > keep + _UNSEEN / STEP or right[0] - i > keep + _UNSEEN / STEP:
        return None
    one, two = leg_of(points[left[-40:]]), leg_of(points[right[:40]][::-1])
    if one is None or two is None:
        return None
    met = meeting(one, two)
    if met is None:
        return None
    place, x, y = met
    into, out = one.direction(x), -two.direction(y)
    angle = float(np.degrees(np.arccos(np.clip(into @ out, -1, 1))))
    if angle < _LEAST or min(x, y) < -1.5:
        return None
    inner = radians(180 - angle)
    near = points[max(0, i - 2 * keep) : i + 2 * keep + 1]
    off = float(np.hypot(*(near - place).T).min())
    if off > course.width / 2 / sin(max(inner, 0.2) / 2) + 0.8:
        return None
    if not _inked(place, into, out, course, light, flattened):
        return None
    return Corner(place, int(left[-1]), int(right[0]), one, two)


def _inked(
    place: Vector, into: Vector, out: Vector, course: Course, light: Light, flattened: Flattened
) -> bool:
    """Whether a round nib that turned at the place would have left the ink that is there."""
    outward = into - out
    outward = outward / max(float(np.hypot(outward[0], outward[1])), 1e-9)
    spots = np.array([place, place + outward * (_NIB * course.width / 2)])
    px = flattened.to_pixels(spots)
    dark = light.darkness(flattened, px[None])[0] @ course.mix
    return bool((dark > _INK).all())
