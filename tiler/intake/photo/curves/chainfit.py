"""Cubics that follow one another smoothly, laid through points by least squares.

The unknowns are geometric: how far each joint moves across the line, the direction there, and the
lengths of the two handles of each cubic, so that neighbours always have one tangent. Distances are
measured square to the curve: each round finds the feet of the points anew and then takes a
Gauss-Newton step with Levenberg's damping, for which a foot need not move (its shift along the
tangent does not change the distance to first order). Beginning with chord lengths and improving
the parameters goes back to Schneider, "An Algorithm for Automatically Fitting Digitized Curves",
Graphics Gems (1990).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tiler.intake.photo.curves.bezier import Indices, at, feet, powers, speed, weights
from tiler.intake.photo.curves.smoothing import Line
from tiler.intake.photo.model import Numbers, Points

#: Handles are drawn towards a third of the cubic's length as if that were known to this factor
#: (natural logarithm): what the points do not decide stays quiet.
_HANDLE_KNOWN = 0.4
#: The shortest and the longest handle, as a share of the cubic's length.
_SHORTEST, _LONGEST = 0.08, 0.62
_ROUNDS = 16
#: A point counts in full up to this many standard uncertainties off, and less beyond (Huber).
_HUBER = 2.5


@dataclass(frozen=True, slots=True)
class Held:
    """Directions (radians) that the ends of an open line must have; None where they are free."""

    first: float | None = None
    last: float | None = None


@dataclass(frozen=True, eq=False)
class Chain:
    """Cubics laid through a line.

    Args:
        breaks: Indices of the points where one ends and the next begins, both ends included.
        control: (k, 4, 2).
        off: How far each point is to the left of the curve, millimetres, (n,).
        cost: Half the sum of squares that was made small, for comparing.
    """

    breaks: tuple[int, ...]
    control: Numbers
    off: Numbers
    cost: float

    @property
    def pieces(self) -> int:
        """How many cubics."""
        return len(self.breaks) - 1


@dataclass(frozen=True, eq=False)
class _Knobs:
    """What is turned; `size` is the length of each cubic along the points."""

    base: Points
    normal: Points
    shift: Numbers
    angle: Numbers
    log: Numbers
    size: Numbers

    def control(self) -> Numbers:
        nodes = self.base + self.shift[:, None] * self.normal
        along = np.stack((np.cos(self.angle), np.sin(self.angle)), axis=1)
        handle = np.exp(self.log)[:, :, None]
        first, last = nodes[:-1], nodes[1:]
        return np.stack(
            (first, first + handle[:, 0] * along[:-1], last - handle[:, 1] * along[1:], last),
            axis=1,
        )


def fit_chain(line: Line, breaks: tuple[int, ...], held: Held, *, rounds: int = _ROUNDS) -> Chain:
    """The best smooth chain of cubics with joints at given points of a line.

    Args:
        line: The points; the first and the last place of an open line are kept exactly.
        breaks: As in `Chain`; for a closed line the last is the first, come round again.
        held: Directions at the ends of an open line.
        rounds: The most steps that are taken.
    """
    points = line.points
    which = np.asarray(breaks)
    count = len(breaks) - 1
    piece: Indices = np.clip(
        np.searchsorted(which, np.arange(len(points)), side="right") - 1, 0, count - 1
    )
    knobs = _first(line, which, held)
    columns, total = _columns(count, line.closed, held)
    run = line.along - line.along[which[piece]]
    t = np.clip(run / np.maximum(knobs.size[piece], 1e-9), 0.0, 1.0)
    noise = line.noise
    quiet = (noise / _HANDLE_KNOWN) ** 2
    third = np.log(knobs.size / 3)[:, None]

    def seen(knobs: _Knobs, t: Numbers) -> tuple[Numbers, Numbers, Points, Numbers, float]:
        control = knobs.control()
        curves = powers(control, piece)
        t = feet(curves, t, points)
        first = speed(curves, t)
        normal = np.column_stack((-first[:, 1], first[:, 0]))
        normal /= np.maximum(np.hypot(first[:, 0], first[:, 1]), 1e-9)[:, None]
        off = _dot(at(curves, t) - points, normal)
        far = np.abs(off)
        most = _HUBER * noise
        huber = np.where(far <= most, 0.5 * off * off, most * (far - 0.5 * most))
        cost = float(huber.sum() + 0.5 * quiet * np.sum((knobs.log - third) ** 2))
        return control, t, normal, off, cost

    state = seen(knobs, t)
    damping = 1e-4
    for _ in range(rounds):
        control, t, normal, off, cost = state
        weight = np.minimum(1.0, _HUBER * noise / np.maximum(np.abs(off), 1e-12))
        slopes = _slopes(knobs, piece, t, normal, columns, total)
        square = slopes.T @ (slopes * weight[:, None])
        push = slopes.T @ (off * weight)
        logs = columns[:, 4:]
        square[logs, logs] += quiet
        push[logs] += quiet * (knobs.log - third)
        better = False
        for _ in range(4):
            inner = square[:total, :total] + damping * np.diag(np.diag(square)[:total] + 1e-9)
            step = np.append(-np.linalg.solve(inner, push[:total]), 0.0)
            tried = _turned(knobs, step, columns, line.closed)
            after = seen(tried, t)
            if after[4] <= cost:
                better = True
                break
            damping *= 10
        if not better:
            break
        knobs, state, damping = tried, after, max(damping / 10, 1e-9)
        if cost - after[4] <= 1e-3 * cost + 1e-9:
            break
    control, _, _, off, cost = state
    return Chain(breaks, control, -off, cost)


def _first(line: Line, breaks: Indices, held: Held) -> _Knobs:
    places, angles = zip(*(line.near(int(index)) for index in breaks), strict=True)
    base, angle = np.array(places), np.array(angles)
    if line.closed:
        base[-1], angle[-1] = base[0], angle[0]
    else:
        base[0], base[-1] = line.points[0], line.points[-1]
        angle[0] = angle[0] if held.first is None else held.first
        angle[-1] = angle[-1] if held.last is None else held.last
    size = np.diff(line.along[breaks])
    log = np.log(np.repeat(size[:, None] / 3, 2, axis=1))
    normal = np.stack((-np.sin(angle), np.cos(angle)), axis=1)
    return _Knobs(base, normal, np.zeros(len(breaks)), angle, log, size)


def _columns(count: int, closed: bool, held: Held) -> tuple[Indices, int]:
    """For each cubic the unknowns shift, angle of its start, of its end, and its two handles.

    What is not free has the number after the last, a column that is thrown away.
    """
    joints = count if closed else count - 1
    ends = 0 if closed else (held.first is None) + (held.last is None)
    total = 2 * joints + ends + 2 * count
    shift = np.full(count + 1, total)
    angle = np.full(count + 1, total)
    if closed:
        shift[:-1], angle[:-1] = np.arange(count), count + np.arange(count)
        shift[-1], angle[-1] = shift[0], angle[0]
    else:
        shift[1:-1], angle[1:-1] = np.arange(joints), joints + np.arange(joints)
        free = iter(range(2 * joints, total))
        if held.first is None:
            angle[0] = next(free)
        if held.last is None:
            angle[-1] = next(free)
    logs = total - 2 * count + np.arange(2 * count).reshape(count, 2)
    table = np.column_stack((shift[:-1], angle[:-1], shift[1:], angle[1:], logs))
    return table, total


def _slopes(
    knobs: _Knobs, piece: Indices, t: Numbers, normal: Points, columns: Indices, total: int
) -> Numbers:
    """Derivatives of the distances, (n, total + 1)."""
    b = weights(t)
    along = np.stack((np.cos(knobs.angle), np.sin(knobs.angle)), axis=1)
    across = np.stack((-along[:, 1], along[:, 0]), axis=1)
    handle = np.exp(knobs.log)[piece]

    start, end = piece, piece + 1
    parts = (
        (b[:, 0] + b[:, 1]) * _dot(knobs.normal[start], normal),
        b[:, 1] * handle[:, 0] * _dot(across[start], normal),
        (b[:, 2] + b[:, 3]) * _dot(knobs.normal[end], normal),
        -b[:, 2] * handle[:, 1] * _dot(across[end], normal),
        b[:, 1] * handle[:, 0] * _dot(along[start], normal),
        -b[:, 2] * handle[:, 1] * _dot(along[end], normal),
    )
    slopes = np.zeros((len(t), total + 1))
    rows = np.arange(len(t))
    for number, part in enumerate(parts):
        slopes[rows, columns[piece, number]] += part
    slopes[:, total] = 0.0
    return slopes


def _dot(one: Points, other: Points) -> Numbers:
    return np.asarray(one[:, 0] * other[:, 0] + one[:, 1] * other[:, 1])


def _turned(knobs: _Knobs, step: Numbers, columns: Indices, closed: bool) -> _Knobs:
    size = knobs.size[:, None]
    reach = np.append(columns[:, 0], columns[-1, 2]), np.append(columns[:, 1], columns[-1, 3])
    near = np.minimum(np.append(knobs.size, np.inf), np.append(np.inf, knobs.size)) / 4
    shift = knobs.shift + np.clip(step[reach[0]], -near, near)
    angle = knobs.angle + np.clip(step[reach[1]], -0.3, 0.3)
    log = knobs.log + np.clip(step[columns[:, 4:]], -0.5, 0.5)
    log = np.clip(log, np.log(_SHORTEST * size), np.log(_LONGEST * size))
    if closed:
        shift[-1], angle[-1] = shift[0], angle[0]
    return _Knobs(knobs.base, knobs.normal, shift, angle, log, knobs.size)
