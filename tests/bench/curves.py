"""Edges and rings of straight lines and cubics, clockwise (y up), to build stitch lines from."""

from __future__ import annotations

import math
from itertools import pairwise

from tiler.pattern.affine import Affine, Point
from tiler.pattern.segment import Cubic, Segment, Straight, moved

#: A closed ring: its edges, each a tuple of segments.
Edges = tuple[tuple[Segment, ...], ...]


def line(*points: tuple[float, float]) -> tuple[Segment, ...]:
    """Straight lines through points, as one edge."""
    at = [Point(*point) for point in points]
    return tuple(Straight(a, b) for a, b in pairwise(at))


def bent(*points: tuple[float, float]) -> tuple[Segment, ...]:
    """A cubic: start, two handles, end; three points more for each cubic that follows."""
    at = [Point(*point) for point in points]
    return tuple(Cubic(*at[i : i + 4]) for i in range(0, len(at) - 1, 3))


def arc(radius: float, start: float, end: float) -> tuple[Segment, ...]:
    """A circular arc round the origin, degrees; a cubic for every 45 degrees or part of it."""
    steps = max(1, math.ceil(abs(end - start) / 45))
    turn = (end - start) / steps
    reach = 4 / 3 * math.tan(math.radians(turn) / 4)
    one = Cubic(
        Point(radius, 0),
        Point(radius, radius * reach),
        Point(
            radius * (math.cos(math.radians(turn)) + reach * math.sin(math.radians(turn))),
            radius * (math.sin(math.radians(turn)) - reach * math.cos(math.radians(turn))),
        ),
        Point(radius * math.cos(math.radians(turn)), radius * math.sin(math.radians(turn))),
    )
    return tuple(moved(one, Affine.turn(start + turn * step)) for step in range(steps))


def sector(inner: float, outer: float, angle: float) -> Edges:
    """A part of a ring, upright about its middle."""
    low, high = 90 - angle / 2, 90 + angle / 2
    inside, outside = arc(inner, low, high), arc(outer, high, low)
    sides = Straight(inside[-1].end, outside[0].start), Straight(outside[-1].end, inside[0].start)
    return (inside, (sides[0],), outside, (sides[1],))


def opened(half: Edges) -> Edges:
    """The whole piece of a half one whose first edge is the fold, on x = 0, drawn upwards."""
    flip = Affine.scale(-1, 1)
    sides = half[1:]
    other = tuple(
        tuple(type(s)(*moved(s, flip)[::-1]) for s in reversed(edge)) for edge in reversed(sides)
    )
    middle_top, middle_low = other[-1] + sides[0], sides[-1] + other[0]
    return (middle_top, *sides[1:-1], middle_low, *other[1:-1])
