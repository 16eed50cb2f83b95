"""Where along a seam its edges bend: a weak sign of which ends go together."""

from __future__ import annotations

import math
from functools import lru_cache
from itertools import pairwise

from tiler.drafting.walking.side import SewnEdge
from tiler.pattern.path import Path

#: An edge that turns by less in all (radians) is as good as straight and tells nothing. Our choice.
STRAIGHT = 0.3
_PLACES = 8
_FLAT = 0.1


def unlike_bends(one: SewnEdge, other: SewnEdge) -> float:
    """How differently two edges bend on the way from the seam's start: 0 for alike, 1 at most.

    The shares of their whole turn are compared, taken up to the same shares of their lengths.
    Left and right turns count alike, since a hollow edge is often sewn to a round one, and a
    piece may be drawn mirrored.

    Args:
        one: An edge, in the direction of the seam.
        other: The edge that it is sewn to.
    """
    first, second = _shares(one), _shares(other)
    if first is None or second is None:
        return 0.0
    return max(abs(a - b) for a, b in zip(first, second, strict=True))


def _shares(edge: SewnEdge) -> tuple[float, ...] | None:
    shares = _along(edge.edge.path)
    if shares is None or not edge.backwards:
        return shares
    return tuple(1 - share for share in reversed(shares))


@lru_cache(maxsize=256)
def _along(path: Path) -> tuple[float, ...] | None:
    """The share of its whole turn that a path has made at even distances, ends left out."""
    steps = [(a.to(b), b.x - a.x, b.y - a.y) for a, b in pairwise(path.flattened(_FLAT)) if a != b]
    turns, run = [], 0.0
    for (length, x, y), (_, u, v) in pairwise(steps):
        run += length
        turns.append((run, abs(math.atan2(x * v - y * u, x * u + y * v))))
    whole = sum(turn for _, turn in turns)
    if whole < STRAIGHT:
        return None
    total = run + steps[-1][0]
    return tuple(
        sum(turn for at, turn in turns if at <= total * number / _PLACES) / whole
        for number in range(1, _PLACES)
    )
