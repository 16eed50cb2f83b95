"""Where in a piece a straight line of a given direction fits best."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import shapely
from shapely import LineString
from shapely.affinity import rotate
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from tiler.drafting.rings import polygon_of
from tiler.pattern.affine import Point
from tiler.pattern.model import Piece, Role

#: A grainline is this long (millimetres) at least, where the piece is. Source: the check list of
#: the trade, length of 100 mm or most of the piece; common practice.
SHORTEST = 100.0
#: Of the length that there is room for, the line takes this share.
SHARE = 0.7
#: How far (millimetres) the line stays from the outline and from what else is drawn; narrower
#: pieces get the next one.
_MARGINS = (15.0, 8.0, 4.0, 2.0, 0.5)
_CLEAR = 8.0
#: How many places across the piece are tried.
_TRIES = 81
#: What a millimetre off the middle of the piece costs, in millimetres of length.
_OFF_MIDDLE = 0.25
_FLAT = 0.1


@dataclass(frozen=True, slots=True)
class Room:
    """What there is of room in a piece.

    Args:
        inside: Of all styles together.
        taken: Where lines and marks are drawn.
    """

    inside: BaseGeometry
    taken: BaseGeometry

    @classmethod
    def of(cls, piece: Piece) -> Room:
        """The room in a drafted piece: within the stitch lines where they are known."""
        inside: BaseGeometry = shapely.intersection_all(
            [polygon_of(ring.path) for ring in (piece.stitch or piece.outlines)]
        )
        taken = [
            LineString(line.path.flattened(_FLAT))
            for line in piece.lines
            if line.role is not Role.STITCH
        ]
        taken += [LineString(mark.path.flattened(_FLAT)) for mark in piece.marks]
        return cls(inside, unary_union(taken))


def longest(room: Room, way: tuple[float, float]) -> list[Point] | None:
    """The two ends of the line that fits best, in its direction.

    Lines across the whole piece are compared at even distances. A longer one is better, and one
    nearer to the middle of the piece. Lines and marks are kept clear of as long as that leaves
    100 mm, or 60 % of what there would be otherwise.

    Args:
        room: Of the piece.
        way: Unit vector.

    Returns:
        None where there is no room at all.
    """
    for margin in _MARGINS:
        within = room.inside.buffer(-margin, join_style="mitre")
        if within.is_empty:
            continue
        whole = _best(within, way)
        if whole is None:
            continue
        clear = _best(within.difference(room.taken.buffer(_CLEAR)), way)
        enough = min(SHORTEST, 0.6 * whole.length)
        chosen = clear if clear is not None and clear.length >= enough else whole
        if chosen.length < SHORTEST and margin > 2.0 and chosen.length < 4 * margin:
            continue
        return _ends(chosen, way)
    return None


def _ends(chord: LineString, way: tuple[float, float]) -> list[Point]:
    """The middle part of a chord, long enough to measure from."""
    length = min(chord.length, max(SHORTEST, SHARE * chord.length))
    middle, (x, y) = chord.interpolate(0.5, normalized=True), way
    return [
        Point(middle.x + x * along, middle.y + y * along) for along in (-length / 2, length / 2)
    ]


def _best(region: BaseGeometry, way: tuple[float, float]) -> LineString | None:
    if region.is_empty:
        return None
    chords = list(_chords(region, way))
    if not chords:
        return None
    (x, y), centre = way, region.centroid

    def worth(chord: LineString) -> float:
        middle = chord.interpolate(0.5, normalized=True)
        off = abs((middle.x - centre.x) * -y + (middle.y - centre.y) * x)
        return float(chord.length - _OFF_MIDDLE * off)

    return max(chords, key=worth)


def _chords(region: BaseGeometry, way: tuple[float, float]) -> Iterator[LineString]:
    """The parts inside of the region of lines across it."""
    degrees = math.degrees(math.atan2(way[1], way[0]))
    level = rotate(region, -degrees, origin=(0, 0))
    left, low, right, high = level.bounds
    for number in range(_TRIES):
        # The middle of the height is among them, and neither of its ends.
        at = low + (high - low) * (number + 0.5) / _TRIES
        cut = level.intersection(LineString([(left - 1, at), (right + 1, at)]))
        for part in getattr(cut, "geoms", [cut]):
            if isinstance(part, LineString) and part.length > 0:
                yield rotate(part, degrees, origin=(0, 0))
