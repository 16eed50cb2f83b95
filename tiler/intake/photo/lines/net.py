"""The web as a graph that lines are taken out of, one kind after the other."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from tiler.intake.photo.model import Numbers, Points, Web

#: An arc walked from its start (True) or from its end (False).
Half = tuple[int, bool]

#: Points this near (millimetres) to a node are the node itself.
_SAME = 1e-3


@dataclass(frozen=True, eq=False)
class Arc:
    """A line from node to node.

    Args:
        points: With both nodes' own points; a ring's first point is repeated.
        start: Node.
        end: Node; the same as `start` for a ring.
        width: Of the marker, millimetres.
        colour: CIE L*, a*, b*.
        unsure: Standard uncertainty across the line, millimetres.
        bridged: Middle points of the gaps that were closed on it, (n, 2).
        ink: Which marker drew it (`inks.py`).
        tips: Of filled arrowheads at its ends, (n, 2).
        uneven: How much its darkness changes along it, as a part of it.
    """

    points: Points
    start: int
    end: int
    width: float
    colour: tuple[float, float, float]
    unsure: float
    bridged: Points = field(default_factory=lambda: np.empty((0, 2)))
    ink: int = 0
    tips: Points = field(default_factory=lambda: np.empty((0, 2)))
    uneven: float = 0.0

    @cached_property
    def length(self) -> float:
        """Millimetres along it."""
        return length_of(self.points)

    def walked(self, forward: bool) -> Points:
        """Its points, from start to end or back."""
        return self.points if forward else self.points[::-1]

    @property
    def middle(self) -> Numbers:
        """The point half way along it."""
        return point_along(self.points, self.length / 2)


@dataclass(frozen=True, eq=False)
class Net:
    """Nodes and the arcs between them.

    Args:
        nodes: (n, 2), millimetres; some may have no arc any more.
        arcs: By a number that an arc keeps while others are taken out.
    """

    nodes: Points
    arcs: Mapping[int, Arc]

    @cached_property
    def leaving(self) -> Mapping[int, tuple[Half, ...]]:
        """Node -> what leaves it; a ring leaves its node twice."""
        found: dict[int, list[Half]] = defaultdict(list)
        for key, arc in self.arcs.items():
            found[arc.start].append((key, True))
            found[arc.end].append((key, False))
        return {node: tuple(halves) for node, halves in found.items()}

    def points(self, half: Half) -> Points:
        """The points of a half, in the direction that it is walked."""
        return self.arcs[half[0]].walked(half[1])

    def origin(self, half: Half) -> int:
        """The node that a half leaves."""
        arc = self.arcs[half[0]]
        return arc.start if half[1] else arc.end

    def target(self, half: Half) -> int:
        """The node that a half comes to."""
        return self.origin((half[0], not half[1]))

    def without(self, keys: Iterable[int]) -> Net:
        """The same less some arcs; what meets at a node of two then is one arc."""
        gone = set(keys)
        return merged(Net(self.nodes, {k: a for k, a in self.arcs.items() if k not in gone}))

    def only(self, keys: Iterable[int]) -> Net:
        """Some of the arcs, as they are."""
        kept = set(keys)
        return Net(self.nodes, {k: a for k, a in self.arcs.items() if k in kept})


def net_of(web: Web) -> Net:
    """The web as a graph; a ring without a node gets one where it begins."""
    nodes = [np.asarray(node, dtype=np.float64) for node in web.nodes]
    arcs: dict[int, Arc] = {}
    for key, strand in enumerate(web.strands):
        points = np.asarray(strand.points, dtype=np.float64)
        if strand.start is None or strand.end is None:
            nodes.append(points[0])
            start = end = len(nodes) - 1
            points = _with_ends(points, points[0], points[0])
        else:
            start, end = strand.start, strand.end
            points = _with_ends(points, nodes[start], nodes[end])
        tips = points[[0, -1]][np.array(strand.heads)]
        arc = Arc(points, start, end, strand.width, strand.colour, strand.unsure, tips=tips)
        arc = replace(arc, uneven=strand.uneven)
        if strand.bridged:
            arc = replace(arc, bridged=point_along(points, arc.length / 2)[None, :])
        arcs[key] = arc
    table = np.array(nodes) if nodes else np.empty((0, 2))
    return Net(table, arcs)


def _with_ends(points: Points, first: Numbers, last: Numbers) -> Points:
    """The points between two nodes, which are on no account doubled."""
    inner = points
    while len(inner) and np.hypot(*(inner[0] - first)) < _SAME:
        inner = inner[1:]
    while len(inner) and np.hypot(*(inner[-1] - last)) < _SAME:
        inner = inner[:-1]
    return np.vstack([first[None, :], inner, last[None, :]])


def merged(net: Net) -> Net:
    """One arc for two that meet at a node of two, where one marker drew both.

    A bridged gap is of every colour.
    """
    arcs = dict(net.arcs)
    leaving: dict[int, list[Half]] = defaultdict(list)
    for node, there in net.leaving.items():
        leaving[node] = list(there)
    for node in list(leaving):
        halves = leaving[node]
        if len(halves) != 2 or halves[0][0] == halves[1][0]:
            continue
        (one, one_out), (other, other_out) = halves
        a, b = arcs[one], arcs[other]
        if a.ink != b.ink and not _only_bridge(a) and not _only_bridge(b):
            continue
        into, onward = a.walked(not one_out), b.walked(other_out)
        start = a.end if one_out else a.start
        end = b.end if other_out else b.start
        arcs[one] = _joined(a, b, np.vstack([into, onward[1:]]), start, end)
        del arcs[other]
        leaving[node] = []
        leaving[start] = [(one, True) if h == (one, not one_out) else h for h in leaving[start]]
        tail = (other, not other_out)
        leaving[end] = [(one, False) if h == tail else h for h in leaving[end]]
    return Net(net.nodes, arcs)


def _only_bridge(arc: Arc) -> bool:
    return len(arc.bridged) == 1 and arc.length <= 8.0


def _joined(a: Arc, b: Arc, points: Points, start: int, end: int) -> Arc:
    plain = [arc for arc in (a, b) if not _only_bridge(arc)] or [a, b]
    weights = [max(arc.length, 1e-6) for arc in plain]
    whole = sum(weights)

    def mean(values: list[float]) -> float:
        return sum(v * w for v, w in zip(values, weights, strict=True)) / whole

    colour = (
        mean([arc.colour[0] for arc in plain]),
        mean([arc.colour[1] for arc in plain]),
        mean([arc.colour[2] for arc in plain]),
    )
    return Arc(
        points,
        start,
        end,
        mean([arc.width for arc in plain]),
        colour,
        max(a.unsure, b.unsure),
        np.vstack([a.bridged, b.bridged]),
        plain[0].ink,
        np.vstack([a.tips, b.tips]),
        mean([arc.uneven for arc in plain]),
    )


def along(points: Points) -> Numbers:
    """Millimetres from the first point, (n,)."""
    steps = np.hypot(*np.diff(points, axis=0).T)
    return np.concatenate(([0.0], np.cumsum(steps)))


def length_of(points: Points) -> float:
    """Millimetres along points."""
    return float(np.hypot(*np.diff(points, axis=0).T).sum())


def point_along(points: Points, distance: float) -> Numbers:
    """The point some millimetres along a line."""
    s = along(points)
    return np.array([np.interp(distance, s, points[:, 0]), np.interp(distance, s, points[:, 1])])


def extent_of(points: Points) -> float:
    """Diagonal of the bounds, millimetres."""
    return float(np.hypot(*(points.max(axis=0) - points.min(axis=0))))


def evened(points: Points, pitch: float = 1.0) -> Points:
    """Points along the same chords, evenly apart, with both ends."""
    s = along(points)
    count = max(1, round(float(s[-1]) / pitch))
    at = np.linspace(0.0, s[-1], count + 1)
    return np.column_stack((np.interp(at, s, points[:, 0]), np.interp(at, s, points[:, 1])))
