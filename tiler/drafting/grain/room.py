"""Where in a piece a straight line of a given direction fits best."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely
from shapely import LineString
from shapely.affinity import rotate
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from tiler.drafting.points import flattened
from tiler.drafting.rings import polygon_of
from tiler.pattern.affine import Point
from tiler.pattern.model import Piece, Role
from tiler.pattern.path import Path

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
        rings: The line round it, one for each style.
        drawn: Lines and marks in it.
    """

    rings: tuple[Path, ...]
    drawn: tuple[Path, ...]

    @classmethod
    def of(cls, piece: Piece) -> Room:
        """The room in a drafted piece: within the stitch lines where they are known."""
        drawn = [line.path for line in piece.lines if line.role is not Role.STITCH]
        drawn += [mark.path for mark in piece.marks]
        rings = piece.stitch or piece.outlines
        return cls(tuple(ring.path for ring in rings), tuple(drawn))

    def inside(self) -> BaseGeometry:
        """What all styles have in common."""
        whole: BaseGeometry = shapely.intersection_all([polygon_of(ring) for ring in self.rings])
        return whole

    def taken(self) -> BaseGeometry:
        """Where the line would cross something, or come near it."""
        lines = [LineString(flattened(path, _FLAT)) for path in self.drawn]
        return unary_union(lines).buffer(_CLEAR)


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
    inside, taken = room.inside(), room.taken()
    for margin in _MARGINS:
        within = inside.buffer(-margin, join_style="mitre")
        if within.is_empty:
            continue
        whole = _best(within, way)
        if whole is None:
            continue
        clear = _best(within.difference(taken), way)
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
    chords = _chords(region, way)
    if not len(chords):
        return None
    (x, y), centre = way, region.centroid
    middles = shapely.line_interpolate_point(chords, 0.5, normalized=True)
    off = np.abs((shapely.get_x(middles) - centre.x) * -y + (shapely.get_y(middles) - centre.y) * x)
    worth = shapely.length(chords) - _OFF_MIDDLE * off
    best: LineString = chords[int(worth.argmax())]
    return best


def _chords(region: BaseGeometry, way: tuple[float, float]) -> npt.NDArray[np.object_]:
    """The parts inside of the region of lines across it."""
    degrees = math.degrees(math.atan2(way[1], way[0]))
    level = rotate(region, -degrees, origin=(0, 0))
    left, low, right, high = level.bounds
    # The middle of the height is among them, and neither of its ends.
    at = low + (high - low) * (np.arange(_TRIES) + 0.5) / _TRIES
    ends = [np.stack([np.full(_TRIES, x), at], axis=1) for x in (left - 1, right + 1)]
    parts = shapely.get_parts(shapely.intersection(level, shapely.linestrings(np.stack(ends, 1))))
    is_line = shapely.get_type_id(parts) == shapely.GeometryType.LINESTRING
    parts = parts[is_line & (shapely.length(parts) > 0)]
    turned = rotate(shapely.multilinestrings(parts), degrees, origin=(0, 0))
    return np.asarray(shapely.get_parts(turned), dtype=np.object_)
