"""Rings for the allowance tests."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from tiler.pattern.affine import Affine, Point
from tiler.pattern.model import Edge, Lies, Outline, Role
from tiler.pattern.path import Path, polyline
from tiler.pattern.segment import Cubic, Segment, Straight

LETTERS = "ABCDEFGHIJKLMNOP"


def ring(
    *places: tuple[float, float], lies: Mapping[str, Lies] | None = None, role: Role = Role.STITCH
) -> Outline:
    """Straight edges between corners given clockwise."""
    points = [Point(*place) for place in places]
    ends = [*points[1:], points[0]]
    return ring_of([polyline([a, b]) for a, b in zip(points, ends, strict=True)], lies, role)


def ring_of(
    paths: Sequence[Path], lies: Mapping[str, Lies] | None = None, role: Role = Role.STITCH
) -> Outline:
    """Edges of any shape."""
    said = lies or {}
    return Outline(
        role,
        tuple(
            Edge(letter, path, said.get(letter, Lies.SEWN), f"name of {letter}")
            for letter, path in zip(LETTERS, paths, strict=False)
        ),
        "long",
    )


def square(side: float = 100.0) -> Outline:
    """Lower left corner at the origin; A left, B top, C right, D bottom."""
    return ring((0, 0), (0, side), (side, side), (side, 0))


def arc(centre: Point, radius: float, start: float, end: float, pieces: int = 8) -> Path:
    """A circular arc between two bearings in degrees, far nearer to the circle than 0.001 mm."""
    step = math.radians(end - start) / pieces
    k = 4 / 3 * math.tan(step / 4)
    first = Cubic(
        Point(1, 0),
        Point(1, k),
        Point(math.cos(step) + k * math.sin(step), math.sin(step) - k * math.cos(step)),
        Point(math.cos(step), math.sin(step)),
    )
    segments: list[Segment] = []
    for number in range(pieces):
        turn = Affine.turn(start + math.degrees(step) * number)
        by = turn.then(Affine(radius, 0, 0, radius, centre.x, centre.y))
        segments.append(Cubic(*(by(point) for point in first)))
    if abs(end - start) == 360:
        *rest, last = segments
        segments = [*rest, Cubic(*last[:3], rest[0].start)]
    return Path(tuple(segments))


def line(*places: tuple[float, float]) -> Path:
    return polyline([Point(*place) for place in places])


def all_of(outline: Outline, width: float) -> dict[str, float]:
    return {edge.letter: width for edge in outline.edges}


def as_role(outline: Outline, role: Role) -> Outline:
    return replace(outline, role=role)


def corners(outline: Outline) -> list[Point]:
    """Where the edges begin."""
    return [edge.path.start for edge in outline.edges]


def straight(path: Path) -> bool:
    return all(isinstance(segment, Straight) for segment in path.segments)


def near(found: Sequence[Point], expected: Sequence[tuple[float, float]], by: float) -> bool:
    """Whether points are where they are expected, each within `by` millimetres."""
    return len(found) == len(expected) and all(
        point.to(Point(*place)) <= by for point, place in zip(found, expected, strict=True)
    )
