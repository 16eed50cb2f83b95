"""One stretch of line without corners: a straight line, or as few cubics as will do."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from tiler.intake.photo.curves.bezier import cubics
from tiler.intake.photo.curves.chainfit import Chain, Held, fit_chain
from tiler.intake.photo.curves.smoothing import Line, noise_of, smoothed
from tiler.intake.photo.model import Numbers, Points
from tiler.pattern.affine import Point
from tiler.pattern.segment import Segment, Straight

#: A line is straight when the points are within this of it (root mean square, millimetres),
STRAIGHT_RMS = 0.15
#: and when it does not bend away from it by more than this.
STRAIGHT_BOW = 0.2
#: An edge that is said to lie on the fold is made straight up to this bow.
FOLD_BOW = 2.0
#: How near the cubics stay to the smoothed points, millimetres: no nearer than the one, whatever
#: the points say, and always within the other.
_NEAREST, _FARTHEST = 0.06, 0.15
#: Points are smoothed with a Gaussian of this standard deviation to be held against the cubics.
_WIDTH = 7.0
#: No cubic that turns further (degrees), and none that is shorter (millimetres), if it can be.
_TURN = 100.0
_SHORTEST = 14.0
#: Cubics are looked for on points about this far apart.
_STEP = 3.0
#: How far joints are moved on trial, as shares of the way to their neighbours.
_SHARES = (0.15, 0.35)
#: Two directions at a joint are one within this (radians).
_SAME_WAY = math.radians(1.0)


@dataclass(frozen=True, slots=True)
class Stretch:
    """What a stretch became.

    Args:
        segments: One after the other, from the first point to the last.
        first: Direction at the beginning, radians.
        last: Direction at the end, radians.
    """

    segments: tuple[Segment, ...]
    first: float
    last: float


def fit_stretch(
    points: Points,
    *,
    closed: bool = False,
    unsure: float = 0.05,
    held: Held | None = None,
    on_fold: bool = False,
) -> Stretch:
    """Turn a stretch into segments.

    Args:
        points: (n, 2), n at least 2; a closed line does not repeat its first. The first and the
            last point of an open one are kept exactly.
        closed: Whether it is a ring without a corner.
        unsure: Standard uncertainty of the line across itself, millimetres.
        held: Directions that the ends must have.
        on_fold: Whether it is known to lie on the fold, which is straight.
    """
    held = held or Held()
    points = _distinct(points, closed)
    line = Line(points, closed, max(noise_of(points), unsure, 0.02))
    if not closed and (len(points) < 3 or _is_straight(line, held, on_fold)):
        return _straight(points)
    chain = _chosen(line, held)
    way = chain.control[0, 1] - chain.control[0, 0], chain.control[-1, 3] - chain.control[-1, 2]
    if closed:
        chain.control[-1, 3] = chain.control[0, 0]
    angles = tuple(math.atan2(float(y), float(x)) for x, y in way)
    return Stretch(cubics(chain.control), angles[0], angles[1])


def _straight(points: Points) -> Stretch:
    (ax, ay), (bx, by) = points[0].tolist(), points[-1].tolist()
    angle = math.atan2(by - ay, bx - ax)
    return Stretch((Straight(Point(ax, ay), Point(bx, by)),), angle, angle)


def _distinct(points: Points, closed: bool) -> Points:
    """Without points that stand on the one before; closed lines come back to the first."""
    points = np.concatenate((points, points[:1])) if closed else points
    kept = np.concatenate(([True], np.hypot(*np.diff(points, axis=0).T) > 1e-6))
    kept[-1] = True
    if len(points) > 2 and np.hypot(*(points[-1] - points[kept][-2])) <= 1e-6:
        kept[np.flatnonzero(kept)[-2]] = False
    return points[kept]


def _is_straight(line: Line, held: Held, on_fold: bool) -> bool:
    chord = line.points[-1] - line.points[0]
    length = float(np.hypot(*chord))
    if length < 1e-6 or length < 0.9 * line.length - 6 * line.noise:
        return False
    angle = math.atan2(chord[1], chord[0])
    for asked in (held.first, held.last):
        if asked is not None and abs(math.remainder(asked - angle, math.tau)) > _SAME_WAY:
            return False
    way = chord / length
    from_start = line.points - line.points[0]
    off = from_start @ np.array((-way[1], way[0]))
    u = np.clip(from_start @ way / length, 0, 1)
    waves = np.sin(np.pi * u[:, None] * np.arange(1, min(4, max(2, len(u) // 4))))
    bow = waves @ np.linalg.lstsq(waves, off, rcond=None)[0]
    if on_fold:
        return bool(np.abs(bow).max() <= FOLD_BOW)
    rms = math.sqrt(float(np.mean(off * off)))
    return rms <= max(STRAIGHT_RMS, 1.2 * line.noise) and bool(np.abs(bow).max() <= STRAIGHT_BOW)


def _limit(line: Line, chain: Chain) -> float:
    """How far the smoothed points may be from the curve: what noise alone makes likely.

    Noise is what is left between the points and their smoothed selves; neighbours that err
    together (by their correlations up to 4 points apart) are averaged less well.
    """
    noise = chain.off - smoothed(chain.off, line.along, line.closed, _WIDTH)
    power = float(noise @ noise) + 1e-12
    lags = [float(noise[k:] @ noise[:-k]) / power for k in range(1, min(5, len(noise) - 1))]
    reach = line.spacing * max(1.0, 1 + 2 * sum(max(lag, 0.0) for lag in lags))
    told = math.sqrt(power / len(noise) * reach / (2 * math.sqrt(math.pi) * _WIDTH))
    return float(np.clip(0.02 + 4 * told, _NEAREST, _FARTHEST))


def _chosen(line: Line, held: Held) -> Chain:
    """The chain with the fewest cubics, found on fewer points and laid through all."""
    few, index = line.thinned(_STEP)
    search = _Search(few, held)
    chain = search.fewer(search.split(search.fit(search.first())))
    breaks = tuple(round(float(index[each])) for each in chain.breaks)
    return fit_chain(line, breaks, held)


@dataclass(frozen=True, eq=False)
class _Search:
    line: Line
    held: Held

    def fit(self, breaks: tuple[int, ...]) -> Chain:
        return fit_chain(self.line, breaks, self.held)

    def worst(self, chain: Chain) -> Numbers:
        """For each cubic how far the smoothed points get from it, as a share of the limit."""
        line = self.line
        off = np.abs(smoothed(chain.off, line.along, line.closed, _WIDTH))
        most = np.maximum.reduceat(off, chain.breaks[:-1])
        return np.asarray(most / _limit(line, chain))

    def good(self, chain: Chain) -> bool:
        return float(self.worst(chain).max()) <= 1.0

    def split(self, chain: Chain) -> Chain:
        """More cubics, until the points are near enough."""
        while True:
            worst = self.worst(chain)
            bad = [int(p) for p in np.flatnonzero(worst > max(1.0, 0.5 * worst.max()))]
            joints = sorted({j for p in bad for j in (p, p + 1)})
            if bad and chain.pieces > 1:
                chain = self.shifted(chain, joints)
                worst = self.worst(chain)
                bad = [int(p) for p in np.flatnonzero(worst > max(1.0, 0.5 * worst.max()))]
            bad = [p for p in bad if self._can(chain, p)]
            if not bad:
                return chain
            halves = ((chain.breaks[p] + chain.breaks[p + 1]) // 2 for p in bad)
            chain = self.fit(tuple(sorted({*chain.breaks, *halves})))

    def fewer(self, chain: Chain) -> Chain:
        """Joints taken away as long as the points stay near enough."""
        while chain.pieces > self._least():
            costs = [(self._locally(chain, j, None), j) for j in range(1, chain.pieces)]
            for _, joint in sorted(costs)[:2]:
                tried = self.fit(self._without(chain, joint))
                if not self.good(tried) and tried.pieces > 1:
                    tried = self.shifted(tried, [joint - 1, joint])
                if self.good(tried):
                    chain = tried
                    break
            else:
                return self.shifted(chain, range(1, chain.pieces))
        return chain

    def shifted(self, chain: Chain, joints: Iterable[int]) -> Chain:
        """Joints moved along the line to where the points are met better."""
        breaks = list(chain.breaks)
        for joint in joints:
            if not 0 < joint < chain.pieces or breaks[joint - 1] != chain.breaks[joint - 1]:
                continue
            here = breaks[joint]
            low, high = breaks[joint - 1], breaks[joint + 1]
            tried = {here, *(round(here + s * (low - here)) for s in _SHARES)}
            tried |= {round(here + s * (high - here)) for s in _SHARES}
            able = [each for each in tried if self._wide((low, each, high))]
            if able:
                costs = {each: self._locally(chain, joint, each) for each in able}
                best = min(able, key=lambda each: (costs[each], each))
                if here not in costs or costs[best] < 0.95 * costs[here]:
                    breaks[joint] = best
        if tuple(breaks) == chain.breaks:
            return chain
        after = self.fit(_rising(tuple(breaks)))
        return after if after.cost < chain.cost else chain

    def _locally(self, chain: Chain, joint: int, place: int | None) -> float:
        """What it costs when a joint is moved or (None) taken away and its neighbours are held."""
        low, high = chain.breaks[joint - 1], chain.breaks[joint + 1]
        points = self.line.points[low : high + 1].copy()
        before, after = chain.control[joint - 1], chain.control[joint]
        points[0], points[-1] = before[0], after[3]
        ways = before[1] - before[0], after[3] - after[2]
        held = Held(*(math.atan2(float(y), float(x)) for x, y in ways))
        breaks = (0, high - low) if place is None else (0, place - low, high - low)
        line = Line(points, False, self.line.noise)
        return fit_chain(line, breaks, held, rounds=4).cost

    def first(self) -> tuple[int, ...]:
        turn = _turning(self.line)
        count = max(self._least(), math.ceil(turn / _TURN))
        count = min(count, max(self._least(), int(self.line.length // _SHORTEST)))
        places = np.linspace(0.0, self.line.length, count + 1)
        breaks = np.searchsorted(self.line.along, places[1:-1])
        return _rising((0, *breaks.tolist(), len(self.line.points) - 1))

    def _least(self) -> int:
        return 2 if self.line.closed else 1

    def _can(self, chain: Chain, piece: int) -> bool:
        low, high = chain.breaks[piece], chain.breaks[piece + 1]
        long = self.line.along[high] - self.line.along[low] >= 2 * _SHORTEST
        return bool(long) and high - low >= 8

    def _wide(self, breaks: tuple[int, ...]) -> bool:
        apart = np.diff(np.asarray(breaks))
        long = np.diff(self.line.along[np.asarray(breaks)])
        return bool(apart.min() >= 4 and long.min() >= _SHORTEST / 2)

    def _without(self, chain: Chain, joint: int) -> tuple[int, ...]:
        return tuple(b for number, b in enumerate(chain.breaks) if number != joint)


def _rising(breaks: tuple[int, ...]) -> tuple[int, ...]:
    kept = [breaks[0]]
    for each in breaks[1:-1]:
        if each > kept[-1] and each < breaks[-1]:
            kept.append(each)
    return (*kept, breaks[-1])


def _turning(line: Line) -> float:
    """Degrees that the line turns in all, to either side."""
    step = min(max(8.0, 20 * line.noise), line.length / 4)
    places = np.minimum(np.arange(0.0, line.length + step / 2, step), line.length)
    ways = np.array([line.near(int(each))[1] for each in np.searchsorted(line.along, places)])
    turns = np.remainder(np.diff(ways) + math.pi, math.tau) - math.pi
    return math.degrees(float(np.abs(turns).sum()))
