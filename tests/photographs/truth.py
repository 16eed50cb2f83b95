"""How far captured lines are from those that were drawn."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from tests.photographs.scene import Array

#: Points of a line, and whether it is closed.
Lines = Sequence[tuple[Array, bool]]
_STEP = 0.5


@dataclass(frozen=True, eq=False)
class Deviations:
    """Distances after the captured lines were turned and shifted on to the true ones.

    Args:
        p95: Below this are 95 of 100 of the distances, the larger of both ways.
        worst: The largest, of both ways.
        rms: Root mean square from the captured to the true lines.
        worst_at: Where that is, on the true table.
        turn: Matrix that turns captured points, 2 x 2.
        shift: Added after turning.
        distances: All of them, of both ways, a millimetre of line each.
        scale: That would have fitted best, for diagnosis; it is not used.
    """

    p95: float
    worst: float
    rms: float
    worst_at: tuple[float, float]
    turn: Array = field(repr=False)
    shift: Array = field(repr=False)
    distances: Array = field(repr=False)
    scale: float = 1.0


def dense(lines: Lines, step: float = _STEP) -> list[Array]:
    """Points along lines, evenly and at most `step` apart, corners kept; closed ones return."""
    out = []
    for points, closed in lines:
        ring = np.vstack((points, points[:1])) if closed else np.asarray(points, float)
        parts = [ring[:1]]
        for a, b in pairwise(ring):
            count = max(1, int(np.ceil(np.hypot(*(b - a)) / step)))
            parts.append(a + np.linspace(0, 1, count + 1)[1:, None] * (b - a))
        out.append(np.vstack(parts))
    return out


class _Near:
    """The nearest points on some lines."""

    def __init__(self, lines: Lines) -> None:
        paths = dense(lines)
        self.points = np.vstack(paths)
        before, after, base = [], [], 0
        for path in paths:
            at = np.arange(len(path)) + base
            before.append(np.maximum(at - 1, base))
            after.append(np.minimum(at + 1, base + len(path) - 1))
            base += len(path)
        self.before, self.after = np.concatenate(before), np.concatenate(after)
        self.tree = cKDTree(self.points)

    def __call__(self, points: Array) -> Array:
        _, at = self.tree.query(points)
        best = self.points[at]
        least = ((points - best) ** 2).sum(axis=1)
        for other in (self.before[at], self.after[at]):
            a, along = self.points[at], self.points[other] - self.points[at]
            length = (along**2).sum(axis=1)
            share = ((points - a) * along).sum(axis=1) / np.where(length > 0, length, 1)
            foot = a + np.clip(share, 0, 1)[:, None] * along
            d2 = ((points - foot) ** 2).sum(axis=1)
            closer = d2 < least
            best, least = np.where(closer[:, None], foot, best), np.minimum(d2, least)
        return np.asarray(best)


def _even(lines: Lines, step: float) -> Array:
    out = []
    for path in dense(lines):
        along = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(path, axis=0).T))))
        at = np.linspace(0, along[-1], max(3, int(along[-1] / step)))
        out.append(np.c_[np.interp(at, along, path[:, 0]), np.interp(at, along, path[:, 1])])
    return np.vstack(out)


def rigid(moving: Array, fixed: Array) -> tuple[Array, Array]:
    """Turn and shift that lay paired points on others best (Kabsch, without mirroring)."""
    a, b = moving - moving.mean(axis=0), fixed - fixed.mean(axis=0)
    angle = np.arctan2((a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]).sum(), (a * b).sum())
    c, s = np.cos(angle), np.sin(angle)
    turn = np.array([[c, -s], [s, c]])
    return turn, fixed.mean(axis=0) - turn @ moving.mean(axis=0)


def _laid_on(
    points: Array, near: _Near, turn: Array, shift: Array, rounds: int
) -> tuple[Array, Array]:
    """Iterated closest points, each round by Gauss and Newton across the line."""
    for _ in range(rounds):
        here = points @ turn.T + shift
        off = here - near(here)
        away = np.hypot(*off.T)
        if rounds <= 12 or np.median(away) > 5:
            more, move = rigid(here, here - off)
        else:
            normal = off / np.maximum(away, 1e-12)[:, None]
            middle = here.mean(axis=0)
            arm = here - middle
            rows = np.c_[normal, arm[:, 0] * normal[:, 1] - arm[:, 1] * normal[:, 0]]
            (dx, dy, angle), *_ = np.linalg.lstsq(rows, -away, rcond=None)
            c, s = np.cos(angle), np.sin(angle)
            more = np.array([[c, -s], [s, c]])
            move = middle - more @ middle + (dx, dy)
        turn, shift = more @ turn, more @ shift + move
    return turn, shift


def deviation(captured: Lines, truth: Lines, *, near_start: bool = False) -> Deviations:
    """Compare lines with those that were drawn.

    Args:
        captured: Lines in any rigid frame, y up.
        truth: The drawn ones.
        near_start: Whether both are in one frame already, within some millimetres.
    """
    near = _Near(truth)
    points, true_points = _even(captured, 1.0), _even(truth, 1.0)
    coarse = points[:: max(1, len(points) // 300)]
    starts: NDArray[np.float64] = np.zeros(1) if near_start else np.arange(36) * np.pi / 18
    best: tuple[float, Array, Array] | None = None
    for angle in starts:
        c, s = np.cos(angle), np.sin(angle)
        turn = np.array([[c, -s], [s, c]])
        shift = np.zeros(2) if near_start else true_points.mean(axis=0) - turn @ points.mean(axis=0)
        turn, shift = _laid_on(coarse, near, turn, shift, 12)
        here = coarse @ turn.T + shift
        miss = float(((here - near(here)) ** 2).mean())
        if best is None or miss < best[0]:
            best = miss, turn, shift
    assert best is not None
    turn, shift = _laid_on(points, near, best[1], best[2], 30)
    here = points @ turn.T + shift
    feet = near(here)
    there = np.hypot(*(here - feet).T)
    back_feet = _Near([(part @ turn.T + shift, closed) for part, closed in captured])(true_points)
    back = np.hypot(*(true_points - back_feet).T)
    a, b = here - here.mean(axis=0), feet - feet.mean(axis=0)
    worst_there = here[there.argmax()] if there.max() >= back.max() else true_points[back.argmax()]
    return Deviations(
        p95=float(max(np.percentile(there, 95), np.percentile(back, 95))),
        worst=float(max(there.max(), back.max())),
        rms=float(np.sqrt((there**2).mean())),
        worst_at=(float(worst_there[0]), float(worst_there[1])),
        turn=turn,
        shift=shift,
        distances=np.concatenate((there, back)),
        scale=float((a * b).sum() / (a * a).sum()),
    )
