"""Where a line turns at a corner, and not in a curve.

A corner is a turn of 25 degrees or more that is done within about 6 mm. What a noisy line with a
point a millimetre does there is told by comparing how well three things explain it: two straight
legs, two bent legs, and one smooth curve (Bayesian information criterion; Schwarz, "Estimating the
dimension of a model", 1978).
"""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import dataclass

import numpy as np

from tiler.intake.photo.lines.bentlegs import (
    FINEST,
    BentLeg,
    leg_through,
    meeting,
    slope,
    to_chords,
    turn_between,
)
from tiler.intake.photo.model import Numbers, Points

#: Less turn (degrees) is no corner.
LEAST_TURN = 25.0
#: A corner's turn is done within this (millimetres along the line).
WITHIN = 6.5
#: What a marker rounds off a corner, millimetres either way along the line.
_ROUNDED = 1.5
#: A first look: legs of this length, and turns from this many degrees.
_LOOK, _LOOK_TURN = 5.5, 18.0
#: A turn that no curve of a garment has over the first look, degrees.
_STRONG = 48.0
#: Longest leg (millimetres) that tells a corner from a curve.
_LEG = 12.0
#: The share of the turn between straight legs that bent ones must leave to their meeting. Noisy
#: lines of our own gave 0.75 and more for corners and 0.5 and less for curves of 10 mm and more.
AT_ONCE = 0.62
#: Legs shorter than this (millimetres) cannot tell how they are bent.
_SHORT = 8.0
#: The turn is looked at from these places (millimetres along the line), and so many must agree.
_ABOUT, _VOTES = (0.0, -1.0, 1.0, -2.0, 2.0), 2
#: What is a corner between short legs: without question, and if straight legs explain it better.
_SHARP, _SHORT_TURN = 60.0, 35.0
#: Nearer to an end of an open line (millimetres) there is no corner.
_END = 3.5
#: Sharper turns (degrees) have ink that ran together between the legs.
_ACUTE = 120.0


@dataclass(frozen=True, eq=False)
class Corner:
    """A corner.

    Args:
        index: The nearest point of the line.
        at: The exact place, where the legs meet.
        turn: Degrees, positive to the left.
        clear: Points of the line nearer than this (millimetres) are rounding of the corner.
    """

    index: int
    at: Numbers
    turn: float
    clear: float


class _Way:
    """Points with their place along the line; of a closed one, over and over."""

    def __init__(self, points: Points, closed: bool) -> None:
        around = np.vstack([points, points[:1]]) if closed else points
        steps = np.hypot(*np.diff(around, axis=0).T)
        self.s = np.concatenate(([0.0], np.cumsum(steps)))[: len(points)]
        self.whole = float(steps.sum())
        self.closed = closed
        self.points = points
        if closed:
            self.all_s = np.concatenate((self.s - self.whole, self.s, self.s + self.whole))
            self.all = np.vstack([points, points, points])
        else:
            self.all_s, self.all = self.s, points

    def leg(self, s: float, near: float, far: float, side: int) -> tuple[Numbers, Points]:
        """Places relative to `s` and points of a leg before (-1) or after (1) it."""
        low, high = (s - far, s - near) if side < 0 else (s + near, s + far)
        a, b = np.searchsorted(self.all_s, (low - 1e-9, high + 1e-9))
        return self.all_s[a:b] - s, self.all[a:b]

    def ahead(self, one: float, other: float) -> float:
        """Millimetres from one place on to another."""
        gap = other - one
        return gap % self.whole if self.closed else gap

    def apart(self, one: float, other: float) -> float:
        """Millimetres between two places."""
        gap = abs(one - other)
        return min(gap, self.whole - gap) if self.closed else gap

    def room(self, s: float, side: int) -> float:
        """Millimetres of line on one side of a place."""
        if self.closed:
            return self.whole / 2
        return s if side < 0 else self.whole - s


def corners_of(points: Points, closed: bool) -> list[Corner]:
    """The corners of a line, in order; ends of an open one are none.

    Args:
        points: About a millimetre apart; of a closed line the first is not repeated.
        closed: Whether the last is joined to the first.
    """
    if len(points) < 5:
        return []
    way = _Way(points, closed)
    turns = np.array([_first_look(way, float(s)) for s in way.s])
    taken: list[int] = []
    for index in np.argsort(-np.abs(turns), kind="stable").tolist():
        if abs(turns[index]) < _LOOK_TURN:
            break
        if all(
            way.apart(way.s[index], way.s[other])
            > (_LOOK + 0.5 if turns[index] * turns[other] > 0 else 2.5)
            for other in taken
        ):
            taken.append(index)
    strong = [index for index in taken if abs(turns[index]) >= _STRONG]
    judged = (_judged(way, index, strong) for index in taken)
    found = [corner for corner in judged if corner is not None]
    kept: list[Corner] = []
    for corner in sorted(found, key=lambda c: -abs(c.turn)):
        if all(np.hypot(*(corner.at - other.at)) > 2.0 for other in kept):
            kept.append(corner)
    return sorted(kept, key=lambda corner: corner.index)


def _first_look(way: _Way, s: float) -> float:
    _, before = way.leg(s, 0.4, _LOOK, -1)
    _, after = way.leg(s, 0.4, _LOOK, 1)
    if len(before) < 2 or len(after) < 2:
        return 0.0
    return turn_between(slope(before), slope(after))


def _judged(way: _Way, index: int, strong: Collection[int]) -> Corner | None:
    s = float(way.s[index])
    rooms = [way.room(s, -1), way.room(s, 1)]
    for other in strong:
        if other == index:
            continue
        ahead, behind = way.ahead(s, float(way.s[other])), way.ahead(float(way.s[other]), s)
        if ahead > 0:
            rooms[1] = min(rooms[1], ahead - 0.5)
        if behind > 0:
            rooms[0] = min(rooms[0], behind - 0.5)
    if min(rooms) < 2.0 or min(way.room(s, -1), way.room(s, 1)) < _END:
        return None
    places = [s + off for off in _ABOUT if min(rooms[0] + off, rooms[1] - off) >= 2.0]
    agreed = [
        place
        for place in places
        if _vote(way, place, [min(_LEG, rooms[0] + place - s), min(_LEG, rooms[1] + s - place)])
    ]
    if len(agreed) < _VOTES:
        return None
    placed = (
        _placed(way, index, place, [rooms[0] + place - s, rooms[1] + s - place]) for place in agreed
    )
    return next((corner for corner in placed if corner is not None), None)


def _vote(way: _Way, s: float, reach: list[float]) -> bool:
    """Whether two legs explain the line about a place better than a smooth curve."""
    near = min(_ROUNDED, min(reach) / 3)
    t1, before = way.leg(s, near, reach[0], -1)
    t2, after = way.leg(s, near, reach[1], 1)
    if min(len(before), len(after)) < 3:
        _, before = way.leg(s, 0.0, reach[0], -1)
        _, after = way.leg(s, 0.0, reach[1], 1)
        if min(len(before), len(after)) < 2:
            return False
        return abs(turn_between(slope(before), slope(after))) >= _SHORT_TURN
    straight = leg_through(before, False), leg_through(after, False)
    turn = abs(turn_between(straight[0].way, straight[1].way))
    if turn < LEAST_TURN - 2:
        return False
    t, both = np.concatenate((t1, t2)), np.vstack([before, after])
    count = len(both)

    def score(misfit: float, parameters: int) -> float:
        mean = misfit / count + FINEST**2
        return count * math.log(mean) + parameters * math.log(count)

    curve = score(_smooth_misfit(t, both), 4)
    better = curve - score(sum(leg.misfit for leg in straight), 4)
    if min(reach) < _SHORT or min(len(before), len(after)) < 6:
        return turn >= _SHARP or (turn >= _SHORT_TURN and better > 0)
    bent = leg_through(before, True), leg_through(after, True)
    better = max(better, curve - score(sum(leg.misfit for leg in bent), 6) - 2)
    met = meeting(*bent)
    at_once = abs(met[1]) if met is not None else 0.0
    return better > 0 and at_once >= AT_ONCE * turn


def _smooth_misfit(t: Numbers, points: Points) -> float:
    """What is left across a curve of third degree along the line, square millimetres."""
    base = np.vander(t / 10, 4, increasing=True)
    fit = np.linalg.lstsq(base, points, rcond=None)[0]
    slope = np.column_stack((np.zeros_like(t), np.ones_like(t), 2 * t / 10, 3 * (t / 10) ** 2))
    ways = slope @ fit
    ways /= np.maximum(np.hypot(*ways.T), 1e-9)[:, None]
    off = points - base @ fit
    across = ways[:, 0] * off[:, 1] - ways[:, 1] * off[:, 0]
    return float(across @ across)


def _placed(way: _Way, index: int, s: float, rooms: list[float]) -> Corner | None:
    one, other = _best_leg(way, s, rooms[0], -1), _best_leg(way, s, rooms[1], 1)
    if one is None or other is None:
        return None
    met = meeting(one, other)
    if met is None or abs(met[1]) < LEAST_TURN:
        return None
    at, turn = met
    _, before = way.leg(s, 0.0, 6.0, -1)
    _, after = way.leg(s, 0.0, 6.0, 1)
    cut_off = to_chords(np.vstack([before, after]), at)
    radians = math.radians(abs(turn))
    if abs(turn) < _ACUTE and cut_off > 0.15 + WITHIN / radians * (1 / math.cos(radians / 2) - 1):
        return None
    if float(np.hypot(*(at - way.points[index]))) > (6.0 if abs(turn) < _ACUTE else 15.0):
        return None
    return Corner(index, at, turn, 1.0 + min(cut_off, 3.0))


def _best_leg(way: _Way, s: float, room: float, side: int) -> BentLeg | None:
    """The leg that is least off where the corner is, by its noise and by what it leaves out."""
    near = min(_ROUNDED, room / 3)
    best: tuple[float, BentLeg] | None = None
    for reach, bent in ((6.0, False), (9.0, False), (13.0, False), (9.0, True), (13.0, True)):
        _, points = way.leg(s, near, min(reach, room), side)
        if len(points) < 2:
            _, points = way.leg(s, 0.0, min(reach, room), side)
        if len(points) < (6 if bent else 2):
            continue
        leg = leg_through(points, bent)
        # Standard errors a little beyond the end of evenly spread points: 2 and 3 of the mean's
        # for a line and a parabola at the end itself.
        price = (3.4 if bent else 2.2) * leg.noise() / math.sqrt(leg.count)
        price += 0.0 if bent else _hidden_bend(points)
        if best is None or price < best[0]:
            best = (price, leg)
    return best[1] if best is not None else None


def _hidden_bend(points: Points) -> float:
    """How far off a straight leg is beyond its end, if its bend is what its points say."""
    if len(points) < 5:
        return 0.0
    bent = leg_through(points, True)
    reach = float(np.hypot(*(points[-1] - points[0])))
    # Standard error of the bend over a leg with evenly spread points: sqrt(720/n) s / reach^2.
    error = math.sqrt(720 / bent.count) * bent.noise() / max(reach, 1e-6) ** 2
    return max(0.0, abs(bent.bent) - 2 * error) * reach**2 * 0.2


def with_corners(
    points: Points,
    closed: bool,
    kept: Collection[int] = (),
    settled: Collection[int] = (),
) -> tuple[Points, tuple[int, ...], dict[int, int]]:
    """The line with its corners where the legs meet.

    Args:
        points: As in `corners_of`.
        closed: Likewise.
        kept: Indices of points that stay what and where they are; a corner beside one is at it.
        settled: Indices of points among which corners were looked for before.

    Returns:
        Points, indices of the corners among them, and new index -> old index of what is left.
    """
    size = len(points)
    fixed, done = set(kept), set(settled)
    if not closed:
        fixed |= {0, size - 1}
    drop: set[int] = set()
    put: dict[int, Numbers] = {}
    flags: set[int] = set()
    for corner in corners_of(points, closed):
        off = np.hypot(*(points - corner.at).T)
        beside = [i for i in fixed if off[i] < corner.clear + 1.5]
        if beside:
            nearest = min(beside, key=lambda i: float(off[i]))
            if closed or nearest not in (0, size - 1):
                flags.add(nearest)
            continue
        if corner.index in done:
            continue
        put[corner.index] = corner.at
        flags.add(corner.index)
        apart = np.abs(np.arange(size) - corner.index)
        apart = np.minimum(apart, size - apart) if closed else apart
        near = np.nonzero((off < corner.clear) & (apart <= 12))[0].tolist()
        drop |= set(near) - fixed - done - {corner.index}
    kept_now = [i for i in range(size) if i not in drop or i in flags]
    made = np.array([put.get(i, points[i]) for i in kept_now])
    marks = tuple(n for n, i in enumerate(kept_now) if i in flags)
    return made, marks, dict(enumerate(kept_now))
