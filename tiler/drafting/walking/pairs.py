"""Which notches of the two sides of a seam are partners."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.drafting.walking.side import SewnSide

#: Two notches further apart than twice this (millimetres, and this share of the longer side, for
#: ease) are no partners: each is told as a notch without one. Our choice.
_NEAR, _SHARE = 25.0, 0.02
#: A notch may stand for the place where edges follow one another (a shoulder seam), or for an end,
#: when it comes this near (millimetres) to it.
_JOINT = 15.0
#: What an unlike number of notches, and a joint in place of a notch, cost beside a distance.
_COUNT = 0.25
_NO_NOTCH = 0.15


@dataclass(frozen=True, slots=True)
class Pair:
    """Two places that meet when the seam is sewn, in millimetres from each side's start.

    Args:
        first: On the first side.
        second: On the second side.
        real: Whether there is a notch on the first and on the second side; where there is none,
            a joint or an end stands for it.
        counts: How many notches there are, 0 for a joint or an end.
    """

    first: float
    second: float
    real: tuple[bool, bool]
    counts: tuple[int, int]


@dataclass(frozen=True, slots=True)
class Pairing:
    """The notches of a seam.

    Args:
        pairs: Partners, in order.
        lone: Notches without a partner on the first and on the second side, in millimetres; those
            that mark where a pocket lies are left out.
        cost: How little they fit; 0 for a perfect fit, about 1 for each lone notch.
    """

    pairs: tuple[Pair, ...]
    lone: tuple[tuple[float, ...], tuple[float, ...]]
    cost: float


@dataclass(frozen=True, slots=True)
class _Place:
    at: float
    count: int
    places: bool = False

    @property
    def missed(self) -> float:
        """What it costs to leave it without a partner."""
        return 1.0 if self.count and not self.places else 0.0


def paired(first: SewnSide, second: SewnSide) -> Pairing:
    """Partner notches, in the order of the seam, so that they lie as near as they can.

    Distances are compared in proportion to the lengths of the sides, so that ease does not
    part partners. The cheapest pairing in order is found by dynamic programming, as for the
    alignment of two sequences (Needleman and Wunsch, 1970).

    Args:
        first: One side.
        second: The other, walked the same way.
    """
    ends = first.total, second.total
    one, other = _places(first), _places(second)
    scale = ends[1] / ends[0] if ends[0] else 1.0
    reach = _reach(*ends)

    def match(a: _Place, b: _Place) -> float:
        off = abs(a.at * scale - b.at)
        if not (a.count or b.count):
            return float("inf")
        if a.count and b.count:
            return off / reach + (_COUNT if a.count != b.count else 0.0)
        return off / reach + _NO_NOTCH if off <= _JOINT else float("inf")

    costs = [[0.0] * (len(other) + 1) for _ in range(len(one) + 1)]
    for i in range(len(one) + 1):
        for j in range(len(other) + 1):
            ways = []
            if i:
                ways.append(costs[i - 1][j] + one[i - 1].missed)
            if j:
                ways.append(costs[i][j - 1] + other[j - 1].missed)
            if i and j:
                ways.append(costs[i - 1][j - 1] + match(one[i - 1], other[j - 1]))
            costs[i][j] = min(ways, default=0.0)
    pairs: list[Pair] = []
    lone: tuple[list[float], list[float]] = ([], [])
    i, j = len(one), len(other)
    while i or j:
        here = costs[i][j]
        if i and j and here == costs[i - 1][j - 1] + match(one[i - 1], other[j - 1]):
            i, j = i - 1, j - 1
            a, b = one[i], other[j]
            pairs.append(Pair(a.at, b.at, (a.count > 0, b.count > 0), (a.count, b.count)))
        elif i and here == costs[i - 1][j] + one[i - 1].missed:
            i -= 1
            if one[i].missed:
                lone[0].append(one[i].at)
        else:
            j -= 1
            if other[j].missed:
                lone[1].append(other[j].at)
    return Pairing(
        tuple(reversed(pairs)),
        (tuple(reversed(lone[0])), tuple(reversed(lone[1]))),
        costs[-1][-1],
    )


def unlikeness(first: SewnSide, second: SewnSide) -> float:
    """How little the notches and joints of two sides fit: 0 for a perfect fit.

    Joints count too, but only where both sides have as many of them.
    """
    cost = paired(first, second).cost
    if len(first.joints) == len(second.joints) and first.joints:
        longest = max(first.total, second.total)
        cost += sum(
            abs(a / first.total - b / second.total) * longest / _reach(longest)
            for a, b in zip(first.joints, second.joints, strict=True)
        )
    return cost


def _reach(*lengths: float) -> float:
    return _NEAR + _SHARE * max(lengths)


def _places(side: SewnSide) -> list[_Place]:
    places = [_Place(mark.at, mark.count, mark.places) for mark in side.marks]
    places += [_Place(at, 0) for at in (0.0, *side.joints, side.total)]
    return sorted(places, key=lambda place: (place.at, -place.count))
