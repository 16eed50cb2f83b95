"""Where two paths run together."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import numpy.typing as npt
import shapely

from tiler.drafting.points import Floats, flattened
from tiler.drafting.styles.places import (
    Place,
    further,
    length_between,
    part,
    place_of,
    point_of,
    points_of,
)
from tiler.pattern.affine import Point
from tiler.pattern.path import Path

#: Paths that stay this near (millimetres) are one: offsets of the same edge are fitted anew where
#: it is trimmed, each within 0.02 mm. With what ends are moved to meet, that stays under 0.05 mm.
TOGETHER = 0.04
#: What would be shorter (millimetres) is not cut off, but where a corner itself lies that near.
SLIVER = 0.1
#: Paths that are together over less than this (millimetres) only cross or touch.
SHORTEST = 1.0
#: Where they part is told from how near they are to each other elsewhere, plus this.
_PART = 0.002
#: Paths as near as this (millimetres) are the same line, also over less than that.
_SAME = 0.03
#: A node this near (millimetres) to where two paths part is where they were drawn to part.
_NODE = 0.2
_FLAT = 0.0005
_STEP = 1.0


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of one path that runs along a part of another, the same way.

    Args:
        start: Place on the one.
        end: Place on the one.
        first: Place on the other.
        last: Place on the other.
    """

    start: Place
    end: Place
    first: Place
    last: Place


def together(one: Path, other: Path) -> list[Stretch]:
    """The stretches over which two open paths run within 0.04 mm of each other, the same way.

    Args:
        one: The path that is walked; stretches are in its order.
        other: The path beside it.

    Returns:
        Stretches of at least 1 mm, or of a whole path. They reach to where the paths part, found
        by bisection, and to a path's end where less than 0.1 mm would be left of it.
    """
    if one.segments == other.segments:
        return [Stretch(0.0, len(one.segments), 0.0, len(other.segments))]
    if not one.bounds.grown(TOGETHER).meets(other.bounds):
        return []
    return list(_found(one, other))


@lru_cache(maxsize=512)
def _found(one: Path, other: Path) -> tuple[Stretch, ...]:
    # After most changes, most edges of a piece are as they were.
    return tuple(_stretches(one, other))


def _stretches(one: Path, other: Path) -> Iterator[Stretch]:
    chords = flattened(other, _FLAT)
    places = _places(one, other)
    off, along = _off_and_along(points_of(one, np.array(places)), chords)
    # Between two samples both paths go on the same way.
    forward = np.diff(along) > 0
    near = off <= TOGETHER
    linked = near[:-1] & near[1:] & forward
    if not linked.any():
        return
    line = shapely.LineString(chords)
    for first, last in _rows(linked):
        reach = min(TOGETHER, float(np.percentile(off[first : last + 1], 90)) + _PART)
        walk = _Walk(one, other, line, places, off, reach)
        found = _fitted(walk, walk.limit(first, -1), walk.limit(last, 1))
        if found is not None:
            yield found


def _off_and_along(points: Floats, chords: Floats) -> tuple[Floats, Floats]:
    """How far points are from a line, and how far along it they lie.

    Args:
        points: Where to look from, pairs of millimetres.
        chords: The nodes of the line's chords.

    Returns:
        Millimetres from it, infinite beyond `TOGETHER`, and along it, 0 there.
    """
    off, along = np.full(len(points), np.inf), np.zeros(len(points))
    steps = np.diff(chords, axis=0)
    lengths = np.hypot(*steps.T)
    before = np.concatenate([[0.0], np.cumsum(lengths)])
    ends = np.stack([chords[:-1], chords[1:]], axis=1)
    tree = shapely.STRtree(np.asarray(shapely.linestrings(ends)))
    found, distances = tree.query_nearest(
        shapely.points(points), max_distance=TOGETHER, return_distance=True
    )
    # Of lines as near as each other the first one counts.
    order = np.lexsort(found[::-1])
    numbers, first = np.unique(found[0][order], return_index=True)
    lines = found[1][order][first]
    off[numbers] = distances[order][first]
    squares = np.where(lengths > 0, lengths, 1.0) ** 2
    ahead = ((points[numbers] - chords[lines]) * steps[lines]).sum(1) / squares[lines]
    along[numbers] = before[lines] + np.clip(ahead, 0.0, 1.0) * lengths[lines]
    return off, along


def _places(path: Path, other: Path) -> list[Place]:
    """Where to look, no more than 1 mm apart; more closely where the other one lies."""
    places = {float(len(path.segments))}
    for index, segment in enumerate(path.segments):
        parts = max(8, int(np.ceil(segment.length / _STEP)))
        places.update(index + step / parts for step in range(parts))
    low, high = sorted((place_of(path, other.start), place_of(path, other.end)))
    if high > low and length_between(path, low, high) < 4 * _STEP:
        places.update(low + (high - low) * step / 8 for step in range(9))
    return sorted(places)


def _rows(linked: npt.NDArray[np.bool_]) -> Iterator[tuple[int, int]]:
    """First and last sample of every row of links."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], linked, [False]]).astype(np.int8)))
    yield from zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True)


@dataclass(frozen=True, slots=True)
class _Walk:
    """A walk along one path beside another.

    Args:
        one: The path that is walked.
        other: The path beside it.
        line: The same as chords.
        places: Where on the one has been looked.
        off: How far each of them is from the other, millimetres.
        reach: How far the two are from each other where they run together.
    """

    one: Path
    other: Path
    line: shapely.LineString
    places: list[Place]
    off: Floats
    reach: float

    def limit(self, sample: int, way: int) -> Place:
        """How far they run together from a sample on (way 1) or back (-1): until one ends or
        they part.
        """
        beyond = sample + way
        if not 0 <= beyond < len(self.places):
            return self.places[sample]
        tip = self.other.end if way > 0 else self.other.start
        place = place_of(self.one, tip)
        low, high = sorted((self.places[sample - way], self.places[beyond]))
        if low <= place <= high and point_of(self.one, place).to(tip) <= TOGETHER:
            return place
        while self.off[sample] > self.reach:
            sample -= way
        return self._parting(self.places[sample], self.places[sample + way])

    def _parting(self, near: Place, far: Place) -> Place:
        if _off(self.one, self.line, far) <= self.reach:
            return near
        for _ in range(40):
            middle = (near + far) / 2
            if _off(self.one, self.line, middle) <= self.reach:
                near = middle
            else:
                far = middle
        return near


def _off(path: Path, line: shapely.LineString, place: Place) -> float:
    return float(shapely.distance(shapely.Point(point_of(path, place)), line))


def _fitted(walk: _Walk, start: Place, end: Place) -> Stretch | None:
    """The stretch from node to node where they are near, without slivers beside it."""
    one, other, line = walk.one, walk.other, walk.line
    if length_between(one, start, end) > 4 * _NODE:
        start, end = _at_node(one, start, line), _at_node(one, end, line)
    start, end = to_ends(one, start, end)
    first, last = _beside(other, point_of(one, start)), _beside(other, point_of(one, end))
    # Where the other path ends, the one does not go on with it for as far as they are near.
    if first == 0.0:
        start = to_ends(one, place_of(one, other.start), end)[0]
    if last == len(other.segments):
        end = to_ends(one, start, place_of(one, other.end))[1]
    if last > first:
        first, last = to_ends(other, first, last)
    if last <= first or end <= start:
        return None
    length = length_between(one, start, end)
    ends = start == 0.0, end == len(one.segments), first == 0.0, last == len(other.segments)
    whole = (ends[0] and ends[1]) or (ends[2] and ends[3])
    if not whole and length < (SLIVER if any(ends) and walk.reach <= _SAME else SHORTEST):
        return None
    return Stretch(start, end, first, last)


def _at_node(path: Path, place: Place, line: shapely.LineString) -> Place:
    """The node of a path next to a place where it parts from a line, if it may be meant."""
    node = float(round(place))
    if node == place:
        return place
    between = length_between(path, min(node, place), max(node, place))
    return node if between <= _NODE and _off(path, line, node) <= TOGETHER else place


def _beside(path: Path, point: Point) -> Place:
    """The place on a path next to a point: a node if that is as good."""
    place = place_of(path, point)
    node = float(round(place))
    return node if point_of(path, node).to(point) <= TOGETHER else place


def to_ends(path: Path, start: Place, end: Place) -> tuple[Place, Place]:
    """Places moved to the path's ends where a sliver would be left, or off them a little."""
    whole = float(len(path.segments))
    start = _off_sliver(path, start)
    back = path.reversed()
    return start, whole - _off_sliver(back, whole - end)


def _off_sliver(path: Path, place: Place) -> Place:
    before = part(path, 0.0, place) if place > 0 else None
    if before is None:
        return 0.0
    if before.length >= SLIVER:
        return place
    if path.start.to(before.end) <= TOGETHER:
        return 0.0
    return min(further(path, 0.0, SLIVER), float(len(path.segments)))
