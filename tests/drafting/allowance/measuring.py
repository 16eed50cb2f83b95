"""What a cut line must have and may have, measured at sampled points by shapely.

A point of the stitch line, moved out square to it by its allowance, must lie in the cloth that is
cut. A point of the cut line must be no further from some edge than that edge's allowance, but for
mitres. Where allowances of different widths meet, one cuts the other off: no point there counts.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise

import numpy as np
import shapely

from tiler.drafting.allowance import MITRE_LIMIT
from tiler.pattern.model import Edge, Outline
from tiler.pattern.segment import Straight, direction, turn_between

#: The fit (0.02 mm), and chords.
NEAR = 0.025
_FLAT = 0.002
#: Millimetres between samples.
_STEP = 4.0
#: A blunted end is a little wider than the limit's circle.
_REACH = 1.05 * MITRE_LIMIT


def lacking(stitch: Outline, cut: Outline, widths: Mapping[str, float]) -> float:
    """Millimetres by which the allowance falls short at the worst sampled point."""
    cloth = shapely.Polygon(cut.path.flattened(_FLAT))
    shapely.prepare(cloth)
    places = [
        (at.x - dy * widths[edge.letter], at.y + dx * widths[edge.letter])
        for edge in stitch.edges
        for at, (dx, dy) in _samples(edge)
    ]
    points = _outside(places, _steps(stitch, widths))
    short = points[~shapely.covers(cloth, points)]
    return float(max(shapely.distance(short, cloth), default=0.0))


def standing_out(stitch: Outline, cut: Outline, widths: Mapping[str, float]) -> float:
    """Millimetres from the stitch line to the worst point outside of all allowances, or 0."""
    line = shapely.LinearRing(cut.path.flattened(_FLAT)).segmentize(_STEP)
    points = _outside(list(line.coords), [*_steps(stitch, widths), *_mitres(stitch, widths)])
    for edge in stitch.edges:
        beside = shapely.LineString(edge.path.flattened(_FLAT))
        shapely.prepare(beside)
        points = points[~shapely.dwithin(points, beside, widths[edge.letter] + NEAR)]
    everything = shapely.LinearRing(stitch.path.flattened(_FLAT))
    return float(max(shapely.distance(points, everything), default=0.0))


def needles(outline: Outline) -> float:
    """Millimetres of line that go there and back, as spikes or slits without a width."""
    ring = shapely.Polygon(outline.path.flattened(_FLAT))
    smooth: shapely.geometry.base.BaseGeometry = ring
    for by in (0.01, -0.02, 0.01):
        smooth = smooth.buffer(by, join_style="mitre", mitre_limit=20)
    return float(abs(ring.length - smooth.length))


def _samples(edge: Edge) -> list[tuple[shapely.Point, tuple[float, float]]]:
    found = []
    for segment in edge.path.segments:
        count = max(4, round(segment.length / _STEP))
        shares = (
            [0.5] if isinstance(segment, Straight) else [(n + 0.5) / count for n in range(count)]
        )
        found += [(segment.at(t), direction(segment, t)) for t in shares]
    return found


def _outside(
    places: list[tuple[float, float]], discs: list[tuple[tuple[float, float], float]]
) -> np.ndarray:
    points = np.array(places)
    kept = np.ones(len(points), dtype=bool)
    for centre, radius in discs:
        kept &= np.hypot(*(points - centre).T) > radius
    return shapely.points(points[kept])


def _steps(stitch: Outline, widths: Mapping[str, float]) -> list[tuple[tuple[float, float], float]]:
    return [
        (edge.path.end, _REACH * max(widths[edge.letter], widths[after.letter]))
        for edge, after in _corners(stitch)
        if widths[edge.letter] != widths[after.letter]
    ]


def _mitres(
    stitch: Outline, widths: Mapping[str, float]
) -> list[tuple[tuple[float, float], float]]:
    found = []
    for edge, after in _corners(stitch):
        width = max(widths[edge.letter], widths[after.letter])
        inner = [(a, b, widths[edge.letter]) for a, b in pairwise(edge.path.segments)]
        for one, two, wide in [*inner, (edge.path.segments[-1], after.path.segments[0], width)]:
            if turn_between(one, two) < -0.1:
                found.append((one.end, _REACH * wide))
    return found


def _corners(stitch: Outline) -> list[tuple[Edge, Edge]]:
    return list(zip(stitch.edges, (*stitch.edges[1:], stitch.edges[0]), strict=True))
