"""Lines without an area: their longest way, and the short branches that stand on it."""

from __future__ import annotations

import math
from collections.abc import Collection
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.lines.crossings import angle_between, heading, unit
from tiler.intake.photo.lines.net import Half, Net, extent_of, length_of
from tiler.intake.photo.model import Numbers, Points

#: Branches of an arrowhead are no longer than this, millimetres and share of the longest way.
_BARB, _BARB_SHARE = 25.0, 0.3
#: A branch that goes on as the line came (degrees) is its tip.
_GOES_ON = 25.0


@dataclass(frozen=True, eq=False)
class Branch:
    """A short line that stands on a longer one.

    Args:
        at: Where it stands.
        way: The unit direction in which it leaves.
        points: Along it, from there.
    """

    at: Numbers
    way: Numbers
    points: Points


@dataclass(frozen=True, eq=False)
class Tree:
    """Lines that hang together and go round nothing.

    Args:
        keys: Arcs.
        spine: The longest way, branches of arrowheads left out.
        ends: The nodes at its two ends.
        barbs: Those branches.
        rest: Longer branches, from where they stand.
        feet: Nodes of the outlines that it stands on.
    """

    keys: frozenset[int]
    spine: Points
    ends: tuple[int, int]
    barbs: tuple[Branch, ...]
    rest: tuple[Points, ...]
    feet: tuple[int, ...] = ()

    @property
    def all_points(self) -> Points:
        """Every point of it."""
        parts = [self.spine, *(b.points for b in self.barbs), *self.rest]
        return np.vstack(parts)


def tree_of(net: Net, keys: Collection[int], feet: Collection[int] = ()) -> Tree:
    """The lines of some arcs as a tree; of what goes round something small, one arc is left out.

    Args:
        net: Where the arcs are.
        keys: Arcs that hang together.
        feet: Nodes that hold nothing together; each branch ends there.
    """
    kept, branches = _spanning(net, keys)
    part = net.only(kept)
    degree = {node: len(halves) for node, halves in part.leaving.items()}
    whole = _longest(part, frozenset(kept))
    length = sum(part.arcs[k].length for k, _ in whole)
    most = min(_BARB, _BARB_SHARE * length)
    short = {
        key
        for key in kept
        if part.arcs[key].length <= most
        and any(
            degree[a] == 1 and degree[b] >= 3 and a not in feet
            for a, b in (
                (part.arcs[key].start, part.arcs[key].end),
                (part.arcs[key].end, part.arcs[key].start),
            )
        )
    }
    if len(short) == len(kept):
        short = set()
    way = _longest(part, frozenset(kept - short))
    on_way = {k for k, _ in way}
    points = _points(part, way)
    ends = (part.origin(way[0]), part.target(way[-1]))
    branches += [_branch(part, k, degree) for k in sorted(short)]
    tips: list[Branch] = []
    for end in (0, -1):
        out = heading(points[::-1]) * 1.0 if end == -1 else heading(points)
        here = [
            b
            for b in branches
            if np.hypot(*(b.at - points[end])) < 1e-6 and angle_between(b.way, -out) < _GOES_ON
        ]
        if here:
            tip = min(here, key=lambda b: angle_between(b.way, -out))
            tips.append(tip)
            points = (
                np.vstack([points, tip.points[1:]])
                if end == -1
                else np.vstack([tip.points[::-1], points[1:]])
            )
    barbs = tuple(b for b in branches if b not in tips)
    rest = tuple(part.arcs[k].points for k in sorted(kept - short - on_way))
    standing = tuple(sorted({n for n in part.leaving if n in set(feet)}))
    return Tree(frozenset(keys), points, ends, barbs, rest, standing)


def _spanning(net: Net, keys: Collection[int]) -> tuple[set[int], list[Branch]]:
    """Arcs that close no ring, the longest first, and what would have closed one."""
    parent: dict[int, int] = {}

    def root(n: int) -> int:
        while parent.setdefault(n, n) != n:
            n = parent[n]
        return n

    kept: set[int] = set()
    closing: list[Branch] = []
    for key in sorted(keys, key=lambda k: (-net.arcs[k].length, k)):
        arc = net.arcs[key]
        a, b = root(arc.start), root(arc.end)
        if a == b and kept:
            middle = arc.points[: max(2, len(arc.points) // 2)]
            closing.append(Branch(arc.points[0], heading(middle), arc.points))
            continue
        parent[a] = b
        kept.add(key)
    return kept, closing


def _branch(net: Net, key: int, degree: dict[int, int]) -> Branch:
    arc = net.arcs[key]
    points = arc.points if degree[arc.end] == 1 else arc.points[::-1]
    return Branch(points[0], unit(points[-1] - points[0]), points)


def _longest(net: Net, keys: frozenset[int]) -> list[Half]:
    """The longest way along arcs that go round nothing."""

    def farthest(start: int) -> tuple[float, list[Half]]:
        best: tuple[float, list[Half]] = (0.0, [])
        todo: list[tuple[int, float, list[Half], int]] = [(start, 0.0, [], -1)]
        while todo:
            node, far, way, came = todo.pop()
            if far > best[0]:
                best = (far, way)
            for half in net.leaving[node]:
                key = half[0]
                arc = net.arcs[key]
                if key in keys and key != came and arc.start != arc.end:
                    todo.append((net.target(half), far + arc.length, [*way, half], key))
        return best

    starts = sorted({net.arcs[k].start for k in keys})
    overall: tuple[float, list[Half]] = (0.0, [])
    seen: set[int] = set()
    for start in starts:
        if start in seen:
            continue
        _, way = farthest(start)
        if not way:
            continue
        end = net.target(way[-1])
        found = farthest(end)
        seen |= {net.origin(h) for h in found[1]} | {start}
        if found[0] > overall[0]:
            overall = found
    if not overall[1]:
        return [(min(keys), True)]
    return overall[1]


def _points(net: Net, way: list[Half]) -> Points:
    return np.vstack([net.points(way[0])[:1], *(net.points(half)[1:] for half in way)])


def straightness(points: Points) -> float:
    """The farthest (millimetres) that points are from the line between the ends."""
    way = unit(points[-1] - points[0])
    off = points - points[0]
    return float(np.abs(way[0] * off[:, 1] - way[1] * off[:, 0]).max())


def is_straight(points: Points, most: float = 1.0, share: float = 0.008) -> bool:
    """Whether a hand drew it for straight."""
    return straightness(points) <= max(most, share * length_of(points))


def arrowhead(tree: Tree, end: int) -> bool:
    """Whether two branches lean back from an end (0 or -1) of the spine, one on each side."""
    tip = tree.spine[end]
    back = heading(tree.spine if end == 0 else tree.spine[::-1])
    sides: set[bool] = set()
    for barb in tree.barbs:
        if np.hypot(*(barb.at - tip)) > 11.0 or len(barb.points) < 2:
            continue
        way = unit(barb.points[-1] - barb.points[0])
        if length_of(barb.points) > 0 and 12.0 <= angle_between(way, back) <= 72.0:
            sides.add(bool(back[0] * way[1] - back[1] * way[0] > 0))
    return len(sides) == 2


def wildness(points: Points) -> float:
    """Degrees by which a line turns in all, to either side, read every 4 mm."""
    from tiler.intake.photo.lines.net import evened

    steps = np.diff(evened(points, 4.0), axis=0)
    if len(steps) < 2:
        return 0.0
    angles: NDArray[np.float64] = np.arctan2(steps[:, 1], steps[:, 0])
    turns = (np.diff(angles) + math.pi) % (2 * math.pi) - math.pi
    return math.degrees(float(np.abs(turns).sum()))


def size(tree: Tree) -> float:
    """Diagonal of its bounds, millimetres."""
    return extent_of(tree.all_points)
