"""Shapes that the trade draws: darts, the bracket of a fold, small marks."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from tiler.intake.photo.lines.crossings import angle_between, unit
from tiler.intake.photo.lines.net import along, evened, extent_of, length_of
from tiler.intake.photo.lines.trees import is_straight
from tiler.intake.photo.lines.turns import corners_of
from tiler.intake.photo.model import Numbers, Points

#: A notch or a drill mark is no longer than this, millimetres (common practice, no source).
SMALL = 16.0
#: The legs of a dart and of a notch open by at most this, degrees.
_WIDEST, _WIDEST_NOTCH = 70.0, 105.0
#: How far (millimetres) legs whose ink ran together may still go before they meet.
_FURTHER = 16.0
#: Arms of a fold bracket, and the least length along the edge, millimetres.
_ARMS, _BRACKET = (3.0, 50.0), 25.0


@dataclass(frozen=True, eq=False)
class Vee:
    """Two straight legs that meet at a tip.

    Args:
        one: Foot of a leg.
        tip: Where they meet.
        other: Foot of the other leg.
    """

    one: Numbers
    tip: Numbers
    other: Numbers

    @property
    def longest(self) -> float:
        """Of the legs, millimetres."""
        return float(max(np.hypot(*(self.one - self.tip)), np.hypot(*(self.other - self.tip))))

    def points(self) -> Points:
        """Foot, tip, foot, with points a millimetre apart between."""
        return drawn_through((self.one, self.tip, self.other))[0]


def drawn_through(places: tuple[Numbers, ...]) -> tuple[Points, tuple[int, ...]]:
    """Straight lines through places, about a millimetre from point to point.

    Returns:
        The points, and where the places between first and last are among them.
    """
    made = [places[0][None, :]]
    marks = []
    for a, b in pairwise(places):
        made.append(evened(np.vstack([a, b]))[1:])
        marks.append(sum(len(part) for part in made) - 1)
    return np.vstack(made), tuple(marks[:-1])


def vee_of(points: Points) -> Vee | None:
    """The two straight legs of an open line that turns back once; None for any other line."""
    chord = (points[0] + points[-1]) / 2
    far = np.hypot(*(points - chord).T)
    turn = int(np.argmax(far))
    if turn < 2 or turn > len(points) - 3:
        return None
    legs = []
    for foot_first in (points[: turn + 1], points[turn:][::-1]):
        s = along(foot_first)
        whole = float(s[-1])
        # Near the tip the ink of both legs runs together and draws them to one another.
        used = foot_first[s <= max(0.75 * whole, whole - 12.0)] if whole > 8 else foot_first
        if len(used) < 3 or not is_straight(used, 1.0, 0.015):
            return None
        legs.append((used, _line(used)))
    (one, (at, way)), (other, (past, along_way)) = legs
    small = float(far.max()) <= SMALL and extent_of(points) <= 2 * SMALL
    if angle_between(way, along_way) > (_WIDEST_NOTCH if small else _WIDEST):
        return None
    tip = _meet(at, way, past, along_way)
    drawn = points[turn]
    if tip is None or np.hypot(*(tip - drawn)) > _FURTHER:
        tip = drawn
    mouth = float(np.hypot(*(points[-1] - points[0])))
    vee = Vee(one[0], tip, other[0])
    if mouth > (1.7 if small else 1.15) * vee.longest or mouth < 1.0:
        return None
    return vee


def _line(points: Points) -> tuple[Numbers, Numbers]:
    middle = points.mean(axis=0)
    _, _, axes = np.linalg.svd(points - middle, full_matrices=False)
    way = axes[0] if float(axes[0] @ (points[-1] - points[0])) > 0 else -axes[0]
    return middle, way


def _meet(at: Numbers, way: Numbers, past: Numbers, other: Numbers) -> Numbers | None:
    cross = float(way[0] * other[1] - way[1] * other[0])
    if abs(cross) < 0.02:
        return None
    off = past - at
    place: Numbers = at + way * (float(off[0] * other[1] - off[1] * other[0]) / cross)
    return place


def lozenge_of(ring: Points) -> tuple[Numbers, Numbers, Numbers, Numbers] | None:
    """Tip, side, tip, side of a closed line of four straight legs, much longer than wide."""
    gaps = np.hypot(*(ring[:, None, :] - ring[None, ::2, :]).reshape(-1, 2).T)
    first, second = np.unravel_index(int(np.argmax(gaps)), (len(ring), len(ring[::2])))
    a, b = sorted((int(first), int(second) * 2))
    if b - a < 6 or len(ring) - b + a < 6:
        return None
    halves = [ring[a : b + 1], np.vstack([ring[b:], ring[: a + 1]])]
    length = float(np.hypot(*(ring[b] - ring[a])))
    legs: list[tuple[Points, Points]] = []
    widest = []
    for half in halves:
        way = unit(half[-1] - half[0])
        off = half - half[0]
        aside = np.abs(way[0] * off[:, 1] - way[1] * off[:, 0])
        turn = _broken_at(half, int(np.argmax(aside)))
        if not 3 <= turn <= len(half) - 4:
            return None
        share = float((half[turn] - half[0]) @ way) / max(length, 1e-9)
        if not 0.12 <= share <= 0.88:
            return None
        widest.append(float(aside.max()))
        legs.append((half[: turn + 1], half[turn:]))
    if sum(widest) > 0.6 * length or min(widest) < 1.0:
        return None
    parts = [leg for pair in legs for leg in pair]
    if not all(is_straight(part[2:-2] if len(part) > 8 else part, 1.2, 0.012) for part in parts):
        return None
    lines = [_line(part[2:-2] if len(part) > 8 else part) for part in parts]
    corners = []
    for n, drawn in enumerate((ring[a], legs[0][1][0], ring[b], legs[1][1][0])):
        met = _meet(*lines[n - 1], *lines[n])
        corners.append(met if met is not None and np.hypot(*(met - drawn)) < 8 else drawn)
    return corners[0], corners[1], corners[2], corners[3]


def _broken_at(half: Points, guess: int) -> int:
    """Where a line of two straight legs turns, tried about a guess."""
    best = (np.inf, guess)
    reach = max(3, len(half) // 6)
    for turn in range(max(3, guess - reach), min(len(half) - 4, guess + reach) + 1):
        misfit = 0.0
        for part in (half[: turn + 1], half[turn:]):
            off = part - part.mean(axis=0)
            misfit += float(np.linalg.svd(off, compute_uv=False)[1]) ** 2
        best = min(best, (misfit, turn))
    return best[1]


@dataclass(frozen=True, eq=False)
class Bracket:
    """The sign of a fold: a line along an edge, whose two ends turn towards it.

    Args:
        one: Where the first arm leaves the line along the edge.
        other: Where the second one does.
        towards: Unit direction of the arms.
        arm: Length of the longer arm, millimetres.
    """

    one: Numbers
    other: Numbers
    towards: Numbers
    arm: float


def bracket_of(points: Points) -> Bracket | None:
    """The bracket that an open line is; None for any other line."""
    found = [corner for corner in corners_of(points, closed=False) if abs(corner.turn) > 45]
    if len(found) != 2:
        return None
    first, second = found
    if first.turn * second.turn < 0 or not all(55 <= abs(c.turn) <= 130 for c in found):
        return None
    middle = float(np.hypot(*(second.at - first.at)))
    arms = [length_of(points[: first.index + 1]), length_of(points[second.index :])]
    if not all(_ARMS[0] <= arm <= _ARMS[1] for arm in arms) or middle < max(
        _BRACKET, 1.2 * max(arms)
    ):
        return None
    if not is_straight(points[first.index + 1 : second.index], 1.5, 0.01):
        return None
    towards = unit(unit(points[0] - first.at) + unit(points[-1] - second.at))
    return Bracket(first.at, second.at, towards, max(arms))


def cross_at(
    centre: Numbers, ways: tuple[Numbers, Numbers], size: float
) -> tuple[Points, tuple[int, ...]]:
    """Two strokes as one line, which goes back to the middle over what it has drawn."""
    one, other = (way * size / 2 for way in ways)
    return drawn_through((centre - one, centre + one, centre, centre - other, centre + other))


def dot_at(centre: Numbers, size: float) -> Points:
    """A ring round a dot, anticlockwise."""
    angles = np.linspace(0, 2 * np.pi, 16, endpoint=False)
    return centre + size / 2 * np.column_stack((np.cos(angles), np.sin(angles)))


def centre_of(points: Points) -> Numbers:
    """The middle of the bounds."""
    middle: Numbers = (points.max(axis=0) + points.min(axis=0)) / 2
    return middle


def small(points: Points) -> bool:
    """Whether it is as small as a mark."""
    return extent_of(points) <= SMALL
