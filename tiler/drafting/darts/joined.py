"""Darts that were drawn leg by leg, as one line each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from tiler.drafting.darts.drawn import STANDS
from tiler.pattern.affine import Point
from tiler.pattern.model import Line, Role
from tiler.pattern.path import polyline
from tiler.pattern.segment import Straight


def joined_legs(lines: Sequence[Line]) -> tuple[Line, ...]:
    """The lines with straight legs that meet within 0.5 mm joined to darts.

    Two legs that meet at one end make an open V, four that meet all round a dart with two tips.
    Other legs stay as drawn.

    Args:
        lines: Of a piece.

    Returns:
        In order; a dart stands where its first leg stood.
    """
    legs = [index for index, line in enumerate(lines) if _is_leg(line)]
    loose = list(legs)
    made: dict[int, Line | None] = {}
    while loose:
        chain = [loose[0]]
        points = list(lines[loose[0]].path.nodes())
        for _ in range(2):
            points.reverse()
            chain.reverse()
            while (found := _next(lines, legs, chain, points[-1])) is not None:
                index, other = found
                chain.append(index)
                points.append(other)
        loose = [index for index in loose if index not in chain]
        closed = len(chain) == 4 and points[0].to(points[-1]) <= STANDS
        if (closed or len(chain) == 2) and made.keys().isdisjoint(chain):
            path = polyline(points[:4], closed=True) if closed else polyline(points)
            made |= dict.fromkeys(chain, None)
            made[min(chain)] = replace(lines[min(chain)], path=path)
    whole = [made.get(index, line) for index, line in enumerate(lines)]
    return tuple(line for line in whole if line is not None)


def _is_leg(line: Line) -> bool:
    segments = line.path.segments
    return line.role is Role.DART and len(segments) == 1 and isinstance(segments[0], Straight)


def _next(
    lines: Sequence[Line], legs: list[int], chain: list[int], end: Point
) -> tuple[int, Point] | None:
    """The one leg that goes on from an end, and its other end; None where it is not clear."""
    found = []
    for index in legs:
        if index in chain or lines[index].style != lines[chain[0]].style:
            continue
        start, stop = lines[index].path.start, lines[index].path.end
        if start.to(end) <= STANDS:
            found.append((index, stop))
        elif stop.to(end) <= STANDS:
            found.append((index, start))
    return found[0] if len(found) == 1 else None
