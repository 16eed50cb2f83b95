"""Which drawn segment is which segment of the pattern."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tiler.pattern.errors import NotProvenError
from tiler.proof.geometry import Bools, Floats, Ints, sizes

#: A drawn segment farther than this from every segment of the pattern is another line, in mm.
REACH = 3.0
_CLOSE = 0.1
_CHUNK = 400_000
_MOST_PAIRS = 40_000_000
#: A direction in which the middles of different segments hardly ever agree by chance.
_ACROSS = np.array([0.8365163037378079, 0.5479491038145129])


@dataclass(frozen=True, slots=True)
class Match:
    """Drawn segments against expected ones.

    Args:
        of: For each expected segment, the index of the drawn one; -1 for none within reach.
        flipped: For each expected segment, whether that one is drawn the other way round.
        distance: For each expected segment, the largest distance of its control points, mm.
        chosen: For each drawn segment, whether an expected one has chosen it.
        nearest: For each drawn segment, its distance from the nearest expected one, mm;
            infinite out of reach.
    """

    of: Ints
    flipped: Bools
    distance: Floats
    chosen: Bools
    nearest: Floats

    @property
    def cost(self) -> tuple[int, float]:
        """Smaller is better: segments without a close partner, then the sum of distances."""
        loose = int((self.distance > _CLOSE).sum() + (self.nearest > _CLOSE).sum())
        return loose, float(np.minimum(self.distance, REACH).sum())


def match(drawn: Floats, expected: Floats) -> Match:
    """Find for every segment its nearest one on the other side, whichever way it is drawn.

    Args:
        drawn: Control points (d, 4, 2), sheet mm.
        expected: Control points (e, 4, 2), sheet mm.

    Raises:
        NotProvenError: So many lines lie on top of one another that they cannot be told apart.
    """
    pairing = _Pairing(drawn, expected)
    pairing.within(_CLOSE, np.arange(len(expected)), np.arange(len(drawn)))
    # Most are found by now. The rest look farther, each side among all of the other.
    lost = np.flatnonzero(pairing.of < 0)
    pairing.within(REACH, lost, np.arange(len(drawn)))
    alone = np.flatnonzero(~np.isfinite(pairing.nearest))
    pairing.within(REACH, np.arange(len(expected)), alone)
    chosen = np.zeros(len(drawn), dtype=bool)
    chosen[pairing.of[pairing.of >= 0]] = True
    return Match(pairing.of, pairing.flipped, pairing.distance, chosen, pairing.nearest)


class _Pairing:
    def __init__(self, drawn: Floats, expected: Floats) -> None:
        self.drawn, self.expected = drawn, expected
        # The mean of the control points is the same whichever way a segment is drawn, and moves
        # no farther than the farthest of them.
        self.drawn_mean, self.expected_mean = drawn.mean(axis=1), expected.mean(axis=1)
        self.of = np.full(len(expected), -1, dtype=np.int64)
        self.flipped = np.zeros(len(expected), dtype=bool)
        self.distance = np.full(len(expected), np.inf)
        self.nearest = np.full(len(drawn), np.inf)
        self.pairs = 0

    def within(self, reach: float, expected: Ints, drawn: Ints) -> None:
        """Improve by all pairs of some expected and some drawn segments within a distance."""
        if not len(expected) or not len(drawn):
            return
        along = self.drawn_mean[drawn] @ _ACROSS
        order = np.argsort(along, kind="stable")
        drawn, along = drawn[order], along[order]
        middle = self.expected_mean[expected] @ _ACROSS
        first = np.searchsorted(along, middle - reach, side="left")
        counts = np.searchsorted(along, middle + reach, side="right") - first
        total = np.cumsum(counts)
        self.pairs += int(total[-1])
        if self.pairs > _MOST_PAIRS:
            raise NotProvenError(
                "too many lines lie on top of one another to be told apart",
                remedy="Take out lines that are drawn several times.",
            )
        start = 0
        while start < len(expected):
            done = total[start - 1] if start else 0
            stop = max(start + 1, int(np.searchsorted(total, done + _CHUNK, side="right")))
            some = counts[start:stop]
            e = np.repeat(expected[start:stop], some)
            step = np.arange(len(e)) - np.repeat(np.cumsum(some) - some, some)
            d = drawn[np.repeat(first[start:stop], some) + step]
            self._improve(e, d, reach)
            start = stop

    def _improve(self, e: Ints, d: Ints, reach: float) -> None:
        near = np.abs(self.expected_mean[e] - self.drawn_mean[d]).max(axis=1, initial=0) <= reach
        e, d = e[near], d[near]
        want, have = self.expected[e], self.drawn[d]
        straight = sizes(have - want).max(axis=1, initial=0)
        turned = sizes(have[:, ::-1] - want).max(axis=1, initial=0)
        off = np.minimum(straight, turned)
        ok = off <= reach
        e, d, off, flip = e[ok], d[ok], off[ok], (turned < straight)[ok]
        np.minimum.at(self.nearest, d, off)
        order = np.lexsort((off, e))
        e, d, off, flip = e[order], d[order], off[order], flip[order]
        best = np.ones(len(e), dtype=bool)
        best[1:] = e[1:] != e[:-1]
        better = best.copy()
        better[best] = off[best] < self.distance[e[best]]
        e, d, off, flip = e[better], d[better], off[better], flip[better]
        self.of[e], self.distance[e], self.flipped[e] = d, off, flip
