"""Where the notches of a piece stand on a stitch line."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise

from tiler.intake.nearest import Seeker
from tiler.pattern.affine import Point
from tiler.pattern.path import Path
from tiler.pattern.segment import direction

#: A notch whose nearest place is an end of the line belongs to it only when it stands within so
#: many millimetres of square to it.
_SQUARE = 0.5
#: Notches that stand no further apart (millimetres) are one double or triple notch: the spacing
#: of a pair is 6 to 12 mm. Common practice, no source.
PAIR = 12.0


def notches_on(line: Path, places: Iterable[Point], reach: float) -> tuple[float, ...]:
    """Distances along a stitch line of the notches that belong to it, in order.

    A notch on the cut line stands square over its place on the stitch line.

    Args:
        line: The stitch line of one seam, open.
        places: Where the notches meet the outline.
        reach: How far (millimetres) the cut line may be away: the allowance and a little more.
    """
    seeker = Seeker(line)
    found: list[float] = []
    for place in places:
        near = seeker.nearest(place)
        segment = line.segments[near.segment]
        x, y = direction(segment, near.t)
        beside = abs((place.x - near.point.x) * x + (place.y - near.point.y) * y)
        if near.distance <= reach and beside <= _SQUARE:
            before = sum(each.length for each in line.segments[: near.segment])
            found.append(before + (segment.split(near.t)[0].length if near.t else 0.0))
    return tuple(sorted(found))


def middles(distances: Iterable[float]) -> tuple[float, ...]:
    """The places that single, double and triple notches mean: the middle of each, in order.

    The back often carries two notches where the front carries one, and they are partners.

    Args:
        distances: Millimetres along one line, in any order.
    """
    groups: list[list[float]] = []
    ordered = sorted(distances)
    for before, place in pairwise([float("-inf"), *ordered]):
        if place - before <= PAIR:
            groups[-1].append(place)
        else:
            groups.append([place])
    return tuple((group[0] + group[-1]) / 2 for group in groups)
