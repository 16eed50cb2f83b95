"""The areas that lines go round, found by walking along each line with the area on the left."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from shapely import Polygon

from tiler.intake.photo.lines.net import Half, Net, along, evened
from tiler.intake.photo.model import Numbers, Points

#: Where (millimetres from the node) the directions of lines are told apart.
_LOOK = 4.0

Loop = tuple[Half, ...]


@dataclass(frozen=True, eq=False)
class Face:
    """An area without lines in it.

    Args:
        loops: Halves with the face on their left: round it, then round each hole.
        polygon: The area.
        letter: What the user calls it.
    """

    loops: tuple[Loop, ...]
    polygon: Polygon
    letter: str = ""

    @cached_property
    def halves(self) -> frozenset[Half]:
        """All halves that have it on their left."""
        return frozenset(half for loop in self.loops for half in loop)

    @property
    def area(self) -> float:
        """Square millimetres."""
        return float(self.polygon.area)


def loops_of(net: Net) -> list[Loop]:
    """The ways round all areas, the endless one outside included; each half is in one."""
    onward: dict[Half, Half] = {}
    for halves in net.leaving.values():
        turned = sorted(halves, key=lambda half: (_angle(net.points(half)), half))
        for place, half in enumerate(turned):
            # Coming in against `half`, the next way with the area on the left is clockwise of it.
            onward[(half[0], not half[1])] = turned[place - 1]
    loops: list[Loop] = []
    left = dict.fromkeys(onward)
    while left:
        first = next(iter(left))
        loop: list[Half] = []
        half = first
        while half in left:
            del left[half]
            loop.append(half)
            half = onward[half]
        loops.append(tuple(loop))
    return loops


def _angle(points: Points) -> float:
    s = along(points)
    reach = min(_LOOK, float(s[-1]) / 2)
    at = [np.interp(reach, s, points[:, n]) - points[0, n] for n in (0, 1)]
    return math.atan2(at[1], at[0])


def bridges(net: Net) -> set[int]:
    """The arcs that have the same area on both sides: loose ends, and links between rings."""
    found: set[int] = set()
    for loop in loops_of(net):
        keys = {key for key, _ in loop}
        found |= {key for key in keys if (key, True) in loop and (key, False) in loop}
    return found


def ring_points(net: Net, loop: Iterable[Half]) -> Points:
    """The points along halves that follow one another, the first not repeated."""
    return np.vstack([net.points(half)[:-1] for half in loop])


def signed_area(points: Points) -> float:
    """Positive anticlockwise, square millimetres."""
    x, y = points.T
    return float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y) / 2)


def faces_of(net: Net) -> list[Face]:
    """The faces of a net without bridges, each with the holes that other rings cut into it."""
    inner: list[tuple[Loop, Polygon]] = []
    outer: list[tuple[Loop, Polygon]] = []
    for loop in loops_of(net):
        points = ring_points(net, loop)
        if len(points) < 3:
            continue
        polygon = polygon_of(points)
        (inner if signed_area(points) > 0 else outer).append((loop, polygon))
    holes: dict[int, list[tuple[Loop, Polygon]]] = {}
    for loop, polygon in outer:
        keys = {key for key, _ in loop}
        own = _component(net, keys)
        around = [
            n
            for n, (ring, area) in enumerate(inner)
            if ring[0][0] not in own
            and area.area > polygon.area
            and area.contains(polygon.representative_point())
        ]
        if around:
            smallest = min(around, key=lambda n: float(inner[n][1].area))
            holes.setdefault(smallest, []).append((loop, polygon))
    faces: list[Face] = []
    for n, (loop, polygon) in enumerate(inner):
        area = polygon
        for _, hole in holes.get(n, []):
            area = largest(area.difference(hole))
        faces.append(Face((loop, *(ring for ring, _ in holes.get(n, []))), area))
    return faces


def polygon_of(points: Points) -> Polygon:
    """The area that points go round; of one that crosses itself, the largest part."""
    polygon = Polygon(points)
    return polygon if polygon.is_valid else largest(polygon.buffer(0))


def largest(area: object) -> Polygon:
    """The largest polygon of what an operation on areas leaves."""
    parts = [part for part in getattr(area, "geoms", [area]) if isinstance(part, Polygon)]
    return max(parts, key=lambda part: float(part.area), default=Polygon())


def _component(net: Net, keys: Collection[int]) -> set[int]:
    found: set[int] = set()
    todo = list(keys)
    while todo:
        key = todo.pop()
        if key in found:
            continue
        found.add(key)
        arc = net.arcs[key]
        for node in (arc.start, arc.end):
            todo += [k for k, _ in net.leaving[node] if k not in found]
    return found


def components(net: Net, cut: Collection[int] = ()) -> list[set[int]]:
    """Arcs that hang together; nodes in `cut` hold nothing together."""
    found: list[set[int]] = []
    seen: set[int] = set()
    for key in net.arcs:
        if key in seen:
            continue
        part: set[int] = set()
        todo = [key]
        while todo:
            each = todo.pop()
            if each in part:
                continue
            part.add(each)
            arc = net.arcs[each]
            for node in (arc.start, arc.end):
                if node not in cut:
                    todo += [k for k, _ in net.leaving[node] if k not in part]
        seen |= part
        found.append(part)
    return found


def groups_of(faces: Sequence[Face], crossings: Iterable[Sequence[Half]] = ()) -> list[list[Face]]:
    """Faces that share an edge or lie in one another, together.

    Args:
        faces: All faces.
        crossings: Halves that leave a place where lines cross; faces that meet there are
            together, too.
    """
    parents = list(range(len(faces)))

    def root(n: int) -> int:
        while parents[n] != n:
            n = parents[n]
        return n

    sides: dict[int, int] = {}
    for n, face in enumerate(faces):
        for key, _ in face.halves:
            if key in sides:
                parents[root(n)] = root(sides[key])
            sides[key] = n
    for halves in crossings:
        for key, _ in halves[1:]:
            parents[root(sides[key])] = root(sides[halves[0][0]])
    found: dict[int, list[Face]] = {}
    for n, face in enumerate(faces):
        found.setdefault(root(n), []).append(face)
    return list(found.values())


def outline_loops(net: Net, faces: Iterable[Face]) -> list[Loop]:
    """The ways round a union of faces, the area on the left; one without holes has one."""
    inside = {half for face in faces for half in face.halves}
    edge = {half for half in inside if (half[0], not half[1]) not in inside}
    loops: list[Loop] = []
    while edge:
        half = min(edge)
        loop: list[Half] = []
        while half in edge:
            edge.discard(half)
            loop.append(half)
            out = [h for h in net.leaving[net.target(half)] if h in edge]
            if not out:
                break
            half = out[0] if len(out) == 1 else _staying(net, half, out)
        loops.append(tuple(loop))
    return loops


def _staying(net: Net, half: Half, out: list[Half]) -> Half:
    """Where areas touch at a point, the way that stays with the same area."""
    back = _angle(net.points((half[0], not half[1])))
    return min(out, key=lambda h: (back - _angle(net.points(h))) % (2 * math.pi))


LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"


def reading_order(centres: Sequence[Numbers]) -> list[int]:
    """Indices in rows from the top, each from the left; rows are 40 mm or a tenth of all high."""
    if not centres:
        return []
    ys = [float(centre[1]) for centre in centres]
    high = max(40.0, 0.1 * (max(ys) - min(ys)))
    order: list[int] = []
    left = sorted(range(len(centres)), key=lambda n: (-ys[n], centres[n][0]))
    while left:
        row = [n for n in left if ys[left[0]] - ys[n] <= high]
        order += sorted(row, key=lambda n: (round(float(centres[n][0])), -ys[n]))
        left = [n for n in left if n not in row]
    return order


def lettered(faces: Sequence[Face]) -> list[Face]:
    """The faces in reading order, with letters for the first 52."""
    centres = [np.array(face.polygon.representative_point().coords[0]) for face in faces]
    centroids = [np.array(face.polygon.centroid.coords[0]) for face in faces]
    order = reading_order(
        [c if len(f.loops) == 1 else p for c, p, f in zip(centroids, centres, faces, strict=True)]
    )
    return [
        replace(faces[n], letter=LETTERS[place] if place < len(LETTERS) else "")
        for place, n in enumerate(order)
    ]


def spot_points(face: Face) -> Points:
    """The edge of a face for a picture; a hole in it is gone round on the way, from a slit."""
    points = evened(np.array(face.polygon.exterior.coords), 4.0)
    for hole in face.polygon.interiors:
        ring = evened(np.array(hole.coords), 4.0)
        gaps = np.hypot(*(points[:, None, :] - ring[None, :, :]).transpose(2, 0, 1))
        here, there = np.unravel_index(int(np.argmin(gaps)), gaps.shape)
        around = np.vstack([ring[there:-1], ring[: there + 1]])
        points = np.vstack([points[: here + 1], around, points[here:]])
    return points
