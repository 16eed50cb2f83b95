"""Loose ends of drawn lines, and how they lie to one another."""

from __future__ import annotations

from dataclasses import dataclass
from math import degrees

import numpy as np

from tiler.intake.photo.ink.legs import Vector
from tiler.intake.photo.model import Points, Web


@dataclass(frozen=True, eq=False)
class End:
    """A loose end: its strand, node, place of the nib, direction outwards, half the width."""

    strand: int
    node: int
    place: Vector
    ahead: Vector
    half: float
    length: float
    drawing: int


def loose_ends(web: Web) -> list[End]:
    """All loose ends."""
    degree = np.zeros(len(web.nodes), int)
    for strand in web.strands:
        for node in (strand.start, strand.end):
            if node is not None:
                degree[node] += 1
    drawing = drawings_of(web)
    found = []
    for i, strand in enumerate(web.strands):
        length = length_of(strand.points)
        for node, way in ((strand.start, strand.points[::-1]), (strand.end, strand.points)):
            if node is None or degree[node] != 1 or strand.bridged or len(way) < 2:
                continue
            away = np.hypot(*(way - way[-1]).T)
            far = np.flatnonzero(away >= min(6.0, 0.8 * away.max()))
            ahead = way[-1] - way[far[-1] if len(far) else 0]
            size = max(float(np.hypot(ahead[0], ahead[1])), 1e-9)
            found.append(End(i, node, way[-1], ahead / size, strand.width / 2, length, drawing[i]))
    return found


def drawings_of(web: Web) -> list[int]:
    """For each strand, the number of the drawing that it hangs together with."""
    group = list(range(len(web.strands)))
    first: dict[int, int] = {}
    for i, strand in enumerate(web.strands):
        for node in (strand.start, strand.end):
            if node is None:
                continue
            j = first.setdefault(node, i)
            if group[i] != group[j]:
                old, new = group[i], group[j]
                group = [new if g == old else g for g in group]
    return group


def length_of(points: Points) -> float:
    """Along points, millimetres."""
    return float(np.hypot(*np.diff(points, axis=0).T).sum())


def aims(one: End, two: End) -> tuple[float, float]:
    """How far each end points past the other, degrees."""
    apart = two.place - one.place
    apart = apart / max(float(np.hypot(apart[0], apart[1])), 1e-9)
    return (
        degrees(float(np.arccos(np.clip(one.ahead @ apart, -1, 1)))),
        degrees(float(np.arccos(np.clip(-two.ahead @ apart, -1, 1)))),
    )


def clear_between(one: End, two: End) -> float:
    """Bare paper between the ink of two ends, millimetres."""
    return float(np.hypot(*(one.place - two.place))) - one.half - two.half


def corner_ahead(one: End, two: End, longest: float) -> Vector | None:
    """Where two ends would meet if each was drawn on; None when that is not ahead and near."""
    turn = np.column_stack((one.ahead, -two.ahead))
    if abs(float(np.linalg.det(turn))) < 0.4:
        return None
    t = np.linalg.solve(turn, two.place - one.place)
    limit = one.half + two.half + longest
    if -one.half <= t[0] <= limit and -two.half <= t[1] <= limit:
        return np.asarray(one.place + t[0] * one.ahead, np.float64)
    return None
