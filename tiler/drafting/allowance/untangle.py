"""Loops removed from a raw ring: where it crosses itself, and which parts are the cut line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

import numpy as np
import shapely
from shapely import LineString, MultiPolygon, Polygon
from shapely.geometry.base import BaseGeometry
from shapely.ops import polygonize

from tiler.drafting.allowance.crossing import crossing
from tiler.drafting.allowance.curves import Bit
from tiler.drafting.allowance.ring import Side
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError

#: Chords stay about this near (millimetres) to the curves while crossings are looked for; the
#: crossings themselves are then solved on the curves.
SAGITTA = 0.005
#: Marks nearer to each other (millimetres) are one.
SAME = 1e-7
#: Islands and holes below this (square millimetres) are not worth a knife.
NO_PIECE = 1.0


@dataclass(frozen=True, slots=True)
class Kept:
    """A part of the raw ring that is on the cut line.

    Args:
        number: Of the bit in the ring.
        low: Where on the bit it begins, 0 to 1.
        high: Where on the bit it ends.
        start: The point there.
        end: The point there.
        owner: Number of the edge that it becomes a part of.
    """

    number: int
    low: float
    high: float
    start: Point
    end: Point
    owner: int


class _Chord(NamedTuple):
    number: int
    low: float
    high: float
    start: Point
    end: Point

    def share(self, point: Point) -> float:
        """How far along the bit a point of the chord is."""
        length = self.start.to(self.end)
        return self.low + (self.high - self.low) * min(1.0, self.start.to(point) / length)


def untangled(ring: Sequence[Bit], turning: int, sides: Sequence[Side]) -> list[Kept]:
    """Follow the boundary of what the ring winds round.

    Args:
        ring: Touching bits, closed.
        turning: -1 for a clockwise ring, 1 for an anticlockwise one.
        sides: The edges that it was made from.

    Returns:
        The parts kept, in order; each begins where the one before it ends.

    Raises:
        PatternError: Nothing is left, or the ring falls apart, or it closes round a hole.
    """
    chords = _chords(ring)
    polygon = Polygon(np.array([chord.start for chord in chords]))
    if polygon.is_valid and polygon.exterior.is_ccw == (turning > 0):
        return [_whole(number, bit) for number, bit in enumerate(ring)]
    boundary = _boundary(chords, turning, ring, sides)
    return _parts(ring, chords, _followed(chords, boundary))


def _whole(number: int, bit: Bit) -> Kept:
    return Kept(number, 0.0, 1.0, bit.at(0.0), bit.at(1.0), bit.owner)


def _chords(ring: Sequence[Bit]) -> list[_Chord]:
    marks: list[tuple[int, float, Point]] = []
    for number, bit in enumerate(ring):
        for share, point in _along(bit):
            # Of two marks at one place the later one says what follows.
            if marks and marks[-1][2].to(point) < SAME:
                marks.pop()
            marks.append((number, share, point))
    if len(marks) > 1 and marks[-1][2].to(marks[0][2]) < SAME:
        marks.pop()
    chords = []
    for (number, low, start), (following, high, end) in zip(
        marks, [*marks[1:], marks[0]], strict=True
    ):
        chords.append(
            _Chord(number, low, high if following == number and high > low else 1.0, start, end)
        )
    return chords


@lru_cache(maxsize=512)
def _along(bit: Bit) -> tuple[tuple[float, Point], ...]:
    """Where the chords of a bit begin, and how far along it."""
    # Most edges of a piece's styles are the same, and so they are after most changes.
    steps = bit.steps(SAGITTA)
    points, _ = bit.sampled(np.arange(steps) / steps)
    return tuple((step / steps, Point(x, y)) for step, (x, y) in enumerate(points.tolist()))


def _boundary(
    chords: Sequence[_Chord], turning: int, ring: Sequence[Bit], sides: Sequence[Side]
) -> list[Point]:
    points = [chord.start for chord in chords]
    faces = list(polygonize(shapely.union_all([LineString([*points, points[0]])])))
    windings = _windings(points, faces)
    inside = [face for face, winding in zip(faces, windings, strict=True) if turning * winding >= 1]
    whole = shapely.union_all(inside)
    islands = list(whole.geoms) if isinstance(whole, MultiPolygon) else [whole]
    islands = [
        island for island in islands if isinstance(island, Polygon) and island.area > NO_PIECE
    ]
    if not islands:
        raise PatternError(
            "nothing is left inside the allowances",
            remedy="Take narrower allowances, or check that the drawing is at true size.",
        )
    main, *others = sorted(islands, key=lambda island: -island.area)
    for island in others:
        # Where an edge is swallowed, what was between its corners may stand by itself.
        owners = _owners(island.boundary, ring)
        if island.area > max(sides[owner].width for owner in owners) ** 2:
            raise _overlap(island.boundary, owners, sides)
    for hole in main.interiors:
        if turning < 0 and Polygon(hole).area > NO_PIECE and _is_bare(Polygon(hole), sides):
            raise _overlap(hole, _owners(hole, ring), sides)
    outer = shapely.geometry.polygon.orient(main, turning).exterior
    return [Point(x, y) for x, y in outer.coords]


def _is_bare(hole: Polygon, sides: Sequence[Side]) -> bool:
    """Whether a hole lies beyond all allowances, and is not a loop turned inside out."""
    place = hole.representative_point()
    return all(
        LineString(side.path.flattened(0.05)).distance(place) > side.width - 0.05 for side in sides
    )


def _windings(points: Sequence[Point], faces: Sequence[Polygon]) -> list[int]:
    """How often the ring goes round each face, anticlockwise (crossings of a ray to the right)."""
    start = np.array(points)
    end = np.roll(start, -1, axis=0)
    (x, y), (dx, dy) = start.T, (end - start).T
    found = []
    for face in faces:
        inner = face.representative_point()
        low, high = y <= inner.y, end[:, 1] <= inner.y
        side = dx * (inner.y - y) - (inner.x - x) * dy
        up = np.count_nonzero(low & ~high & (side > 0))
        found.append(int(up - np.count_nonzero(~low & high & (side < 0))))
    return found


def _owners(line: BaseGeometry, ring: Sequence[Bit]) -> list[int]:
    """Numbers of the edges whose bits run along a boundary, or past it."""
    return list(
        dict.fromkeys(
            bit.owner
            for bit in ring
            if LineString([bit.at(0.0), bit.at(0.5), bit.at(1.0)]).distance(line) < 1.0
        )
    )


def _overlap(line: BaseGeometry, owners: Sequence[int], sides: Sequence[Side]) -> PatternError:
    place = line.representative_point()
    return PatternError(
        f"the allowances overlap near ({place.x:.1f}, {place.y:.1f}) mm",
        where=", ".join(sides[owner].name for owner in owners),
        remedy="Take narrower allowances there, or part the edges further.",
    )


def _followed(
    chords: Sequence[_Chord], boundary: Sequence[Point]
) -> list[tuple[int, Point, Point]]:
    """Which chord every stretch of the boundary lies on."""
    ends = np.array([(chord.start, chord.end) for chord in chords])
    tree = shapely.STRtree(np.asarray(shapely.linestrings(ends)))
    ways = [step for step in pairwise(boundary) if step[0].to(step[1]) >= SAME / 100]
    middles = shapely.points(np.array(ways).mean(axis=1))
    near: list[list[int]] = [[] for _ in ways]
    for way, number in tree.query(middles, predicate="dwithin", distance=1e-6).T.tolist():
        if _agrees(chords[number], *ways[way]):
            near[way].append(number)
    steps: list[tuple[int, Point, Point]] = []
    for (start, end), found, middle in zip(ways, near, middles, strict=True):
        numbers = found or [int(tree.nearest(middle))]
        last = steps[-1][0] if steps else -1
        following = (last + 1) % len(chords)
        number = next((n for n in (last, following) if n in numbers), numbers[0])
        steps.append((number, start, end))
    return steps


def _agrees(chord: _Chord, start: Point, end: Point) -> bool:
    return (chord.end.x - chord.start.x) * (end.x - start.x) + (chord.end.y - chord.start.y) * (
        end.y - start.y
    ) > 0


def _parts(
    ring: Sequence[Bit], chords: Sequence[_Chord], steps: list[tuple[int, Point, Point]]
) -> list[Kept]:
    jumps = [
        place
        for place in range(len(steps))
        if steps[place][0] not in (steps[place - 1][0], (steps[place - 1][0] + 1) % len(chords))
    ]
    if not jumps:
        return [_whole(number, bit) for number, bit in enumerate(ring)]
    runs = [
        steps[low:high] if low < high else steps[low:] + steps[:high]
        for low, high in zip(jumps, [*jumps[1:], jumps[0]], strict=True)
    ]
    if len(jumps) == 1:
        runs = [steps[jumps[0] :] + steps[: jumps[0]]]
    met = []
    for before, after in zip([runs[-1], *runs[:-1]], runs, strict=True):
        old, new = chords[before[-1][0]], chords[after[0][0]]
        point = after[0][1]
        met.append(
            crossing(ring[old.number], old.share(point), ring[new.number], new.share(point), point)
        )
    kept: list[Kept] = []
    for run, entry, leave in zip(runs, met, [*met[1:], met[0]], strict=True):
        kept += _run(ring, chords[run[0][0]].number, chords[run[-1][0]].number, entry, leave)
    return kept


def _run(
    ring: Sequence[Bit],
    first: int,
    last: int,
    entry: tuple[float, float, Point],
    leave: tuple[float, float, Point],
) -> list[Kept]:
    """The bits of one run, cut where it is entered and left."""
    _, low, start = entry
    high, _, end = leave
    if first == last and low < high:
        return [Kept(first, low, high, start, end, ring[first].owner)]
    parts = [Kept(first, low, 1.0, start, ring[first].at(1.0), ring[first].owner)]
    number = (first + 1) % len(ring)
    while number != last:
        parts.append(_whole(number, ring[number]))
        number = (number + 1) % len(ring)
    parts.append(Kept(last, 0.0, high, ring[last].at(0.0), end, ring[last].owner))
    return parts
