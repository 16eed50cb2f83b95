"""Corners, and the lettered edges between them."""

from __future__ import annotations

from collections.abc import Sequence

from tiler.intake.nearest import Seeker, nearest
from tiler.pattern.affine import Point
from tiler.pattern.model import Edge
from tiler.pattern.path import Path
from tiler.pattern.segment import Segment, turn_between

#: A node where the way turns by more than this (degrees) is a corner.
CORNER_TURN = 30.0
#: How far (millimetres) a corner mark may lie from what it marks.
MARK_REACH = 1.0
#: Corners whose distances from the lower left differ by less (millimetres) are equally near.
_SAME = 1e-6


def letter_of(index: int) -> str:
    """A, B … Z, AA, AB … for 0, 1 … 25, 26, 27 …"""
    letters = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


def edges_of(ring: Path, marks: Sequence[Point] = ()) -> tuple[Edge, ...]:
    """Split a ring at its corners and letter the edges.

    A corner is a node where the way turns by more than 30 degrees, or what a corner mark
    within 1 mm means: the nearest node, or else the nearest place on a segment, which is split
    there without changing its shape. Edge A starts at the corner nearest the lower left of the
    bounding box (the lower one of two that are as near); a ring without corners is one edge
    that starts at the node nearest the lower left.

    Args:
        ring: Closed and clockwise.
        marks: Places of corner marks; those further than 1 mm away change nothing.

    Returns:
        Edges clockwise, in the order of their letters.
    """
    ring, marked = _with_nodes(ring, marks)
    segments = ring.segments
    corners = [
        index
        for index, segment in enumerate(segments)
        if index in marked or abs(turn_between(segments[index - 1], segment)) > CORNER_TURN
    ]
    first = nearest_lower_left(ring, corners or range(len(segments)))
    if not corners:
        return (Edge("A", Path(segments[first:] + segments[:first])),)
    place = corners.index(first)
    starts = corners[place:] + corners[:place]
    return tuple(
        Edge(letter_of(number), Path(_between(segments, start, starts[(number + 1) % len(starts)])))
        for number, start in enumerate(starts)
    )


def reached(rings: Sequence[Path], marks: Sequence[Point]) -> list[bool]:
    """For each corner mark, whether it is near enough to one of the rings to mean something."""
    seekers = [Seeker(ring) for ring in rings]
    return [any(s.nearest(mark).distance <= MARK_REACH for s in seekers) for mark in marks]


def _with_nodes(ring: Path, marks: Sequence[Point]) -> tuple[Path, set[int]]:
    """The ring with a node for every corner mark, and the indexes of those nodes."""
    nodes: set[Point] = set()
    for mark in marks:
        node = min((segment.start for segment in ring.segments), key=mark.to)
        if node.to(mark) > MARK_REACH:
            near = nearest(ring, mark)
            if near.distance > MARK_REACH:
                continue
            parts = ring.segments[near.segment].split(near.t)
            segments = ring.segments[: near.segment] + parts + ring.segments[near.segment + 1 :]
            ring, node = Path(segments, closed=True), parts[1].start
        nodes.add(node)
    starts = enumerate(segment.start for segment in ring.segments)
    return ring, {index for index, start in starts if start in nodes}


def nearest_lower_left(ring: Path, indexes: Sequence[int]) -> int:
    """Which of the segments with these numbers starts nearest the lower left of the ring's box."""
    bounds = ring.bounds
    corner = Point(bounds.left, bounds.bottom)
    starts = {index: ring.segments[index].start for index in indexes}
    least = min(corner.to(start) for start in starts.values())
    near = [index for index, start in starts.items() if corner.to(start) <= least + _SAME]
    lowest = min(starts[index].y for index in near)
    low = [index for index in near if starts[index].y <= lowest + _SAME]
    return min(low, key=lambda index: starts[index].x)


def _between(segments: tuple[Segment, ...], start: int, stop: int) -> tuple[Segment, ...]:
    if start < stop:
        return segments[start:stop]
    return segments[start:] + segments[:stop]
