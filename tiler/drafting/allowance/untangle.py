"""Loops removed from a raw ring: where it crosses itself, and which parts are the cut line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from shapely import LineString, MultiPolygon, Polygon
from shapely.ops import polygonize

from tiler.drafting.allowance.crossing import crossing
from tiler.drafting.allowance.curves import Bit
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
    """A part of the raw ring that is on the cut line: bit number, and from where to where on it."""

    number: int
    low: float
    high: float
    start: Point
    end: Point


@dataclass(frozen=True, slots=True)
class _Chord:
    number: int
    low: float
    high: float
    start: Point
    end: Point

    def share(self, point: Point) -> float:
        """How far along the bit a point of the chord is."""
        length = self.start.to(self.end)
        return self.low + (self.high - self.low) * min(1.0, self.start.to(point) / length)


def untangled(ring: Sequence[Bit], turning: int, names: Sequence[str]) -> list[Kept]:
    """Follow the boundary of what the ring winds round.

    Args:
        ring: Touching bits, closed.
        turning: -1 for a clockwise ring, 1 for an anticlockwise one.
        names: The edges' names, for messages.

    Returns:
        The parts kept, in order; each begins where the one before it ends.

    Raises:
        PatternError: Nothing is left, or the ring falls apart, or it closes round a hole.
    """
    chords = _chords(ring)
    polygon = Polygon([chord.start for chord in chords])
    if polygon.is_valid and polygon.exterior.is_ccw == (turning > 0):
        return [_whole(number, bit) for number, bit in enumerate(ring)]
    boundary = _boundary(chords, turning, ring, names)
    return _parts(ring, chords, _followed(chords, boundary))


def _whole(number: int, bit: Bit) -> Kept:
    return Kept(number, 0.0, 1.0, bit.at(0.0), bit.at(1.0))


def _chords(ring: Sequence[Bit]) -> list[_Chord]:
    marks: list[tuple[int, float, Point]] = []
    for number, bit in enumerate(ring):
        steps = bit.steps(SAGITTA)
        for step in range(steps):
            point = bit.at(step / steps)
            # Of two marks at one place the later one says what follows.
            if marks and marks[-1][2].to(point) < SAME:
                marks.pop()
            marks.append((number, step / steps, point))
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


def _boundary(
    chords: Sequence[_Chord], turning: int, ring: Sequence[Bit], names: Sequence[str]
) -> list[Point]:
    points = [chord.start for chord in chords]
    faces = list(polygonize(shapely.union_all([LineString([*points, points[0]])])))
    inside = [face for face in faces if turning * _winding(points, face) >= 1]
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
    if len(islands) > 1:
        raise _overlap(min(islands, key=lambda island: island.area).boundary, ring, names)
    for hole in islands[0].interiors:
        if Polygon(hole).area > NO_PIECE:
            raise _overlap(hole, ring, names)
    outer = shapely.geometry.polygon.orient(islands[0], turning).exterior
    return [Point(x, y) for x, y in outer.coords]


def _winding(points: Sequence[Point], face: Polygon) -> int:
    """How often the ring goes round a face, anticlockwise (crossings of a ray to the right)."""
    inner = face.representative_point()
    start = np.asarray(points)
    end = np.roll(start, -1, axis=0)
    up = (start[:, 1] <= inner.y) & (end[:, 1] > inner.y)
    down = (start[:, 1] > inner.y) & (end[:, 1] <= inner.y)
    side = (end[:, 0] - start[:, 0]) * (inner.y - start[:, 1]) - (inner.x - start[:, 0]) * (
        end[:, 1] - start[:, 1]
    )
    return int(np.sum(up & (side > 0))) - int(np.sum(down & (side < 0)))


def _overlap(
    line: shapely.geometry.base.BaseGeometry, ring: Sequence[Bit], names: Sequence[str]
) -> PatternError:
    owners = [
        bit.owner
        for bit in ring
        if LineString([bit.at(0.0), bit.at(0.5), bit.at(1.0)]).distance(line) < 1.0
    ]
    place = line.representative_point()
    return PatternError(
        f"the allowances overlap near ({place.x:.1f}, {place.y:.1f}) mm",
        where=", ".join(names[owner] for owner in dict.fromkeys(owners)),
        remedy="Take narrower allowances there, or part the edges further.",
    )


def _followed(
    chords: Sequence[_Chord], boundary: Sequence[Point]
) -> list[tuple[int, Point, Point]]:
    """Which chord every stretch of the boundary lies on."""
    tree = shapely.STRtree([LineString([chord.start, chord.end]) for chord in chords])
    steps: list[tuple[int, Point, Point]] = []
    for start, end in pairwise(boundary):
        if start.to(end) < SAME / 100:
            continue
        middle = shapely.Point((start.x + end.x) / 2, (start.y + end.y) / 2)
        found = [
            int(number)
            for number in tree.query(middle, predicate="dwithin", distance=1e-6)
            if _agrees(chords[int(number)], start, end)
        ]
        if not found:
            found = [int(tree.nearest(middle))]
        last = steps[-1][0] if steps else -1
        following = (last + 1) % len(chords)
        number = next((n for n in (last, following) if n in found), found[0])
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
        return [Kept(first, low, high, start, end)]
    parts = [Kept(first, low, 1.0, start, ring[first].at(1.0))]
    number = (first + 1) % len(ring)
    while number != last:
        parts.append(_whole(number, ring[number]))
        number = (number + 1) % len(ring)
    parts.append(Kept(last, 0.0, high, ring[last].at(0.0), end))
    return parts
