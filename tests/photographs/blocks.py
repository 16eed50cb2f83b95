"""Outlines to draw, and what is drawn on them: from the demo pieces, or invented."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cache
from pathlib import Path

import cv2
import numpy as np
import shapely

from tests.photographs.ink import distances
from tests.photographs.scene import Array, Colour, MarkerLine
from tiler.intake.folder import read_pattern

_DEMOS = Path(__file__).parents[2] / "demo_pieces"
#: Millimetres between points of a drawn line.
_STEP = 1.0
BLACK: Colour = (0.03, 0.03, 0.035)
COLOURS: tuple[Colour, ...] = (
    BLACK,
    (0.55, 0.03, 0.03),
    (0.03, 0.06, 0.45),
    (0.02, 0.22, 0.06),
    (0.25, 0.03, 0.30),
)


@dataclass(frozen=True, eq=False)
class Block:
    """A closed outline: its edges from corner to corner, each (n, 2), clockwise or not."""

    edges: tuple[Array, ...] = field(repr=False)

    @property
    def points(self) -> Array:
        """All round, the first point not repeated."""
        return np.vstack([edge[:-1] for edge in self.edges])

    @property
    def corners(self) -> Array:
        """Where edges meet."""
        return np.array([edge[0] for edge in self.edges])

    def moved(self, matrix: Array, shift: Array) -> Block:
        """Each point times a matrix, plus a shift."""
        return Block(tuple(edge @ matrix.T + shift for edge in self.edges))


def evenly(points: Array, step: float = _STEP) -> Array:
    """Points of an open line, evenly, its ends kept."""
    along = distances(points)
    at = np.linspace(0, along[-1], max(2, int(np.ceil(along[-1] / step)) + 1))
    return np.c_[np.interp(at, along, points[:, 0]), np.interp(at, along, points[:, 1])]


def bezier(a: Array, b: Array, c: Array, d: Array) -> Array:
    """A cubic, by Bernstein's polynomials."""
    t = np.linspace(0, 1, 200)[:, None]
    return np.asarray(
        (1 - t) ** 3 * a + 3 * t * (1 - t) ** 2 * b + 3 * t * t * (1 - t) * c + t**3 * d
    )


@cache
def demo_blocks() -> tuple[Block, ...]:
    """The outlines of the demo pieces that are not narrow, at the size of the demo."""
    blocks = []
    for folder in ("apron", "hat", "smock", "trousers"):
        for piece in read_pattern(_DEMOS / folder).pieces:
            edges = []
            for edge in piece.outlines[0].edges:
                points = [
                    (spot.x, spot.y)
                    for part in edge.path.segments
                    for spot in (part.at(float(t)) for t in np.linspace(0, 1, 200))
                ]
                edges.append(evenly(np.array(points)))
            block = Block(tuple(edges))
            if np.ptp(block.points, axis=0).min() > 90:
                blocks.append(block)
    return tuple(blocks)


def invented(chance: np.random.Generator) -> Block:
    """A block that no demo has: four to eight corners, straight and bent edges between them."""
    while True:
        count = int(chance.integers(4, 9))
        angles = np.sort(chance.uniform(0, 2 * np.pi, count))
        gaps = np.diff(np.append(angles, angles[0] + 2 * np.pi))
        if gaps.min() < 0.45 or gaps.max() > 2.1:
            continue
        radii = chance.uniform(0.65, 1.1, count)
        corners = 200 * radii[:, None] * np.c_[np.cos(angles), 0.75 * np.sin(angles)]
        edges = []
        for a, b in zip(corners, np.roll(corners, -1, axis=0), strict=True):
            across = np.array([-(b - a)[1], (b - a)[0]])
            kind = chance.choice(["straight", "bow", "wave"], p=[0.4, 0.4, 0.2])
            one, two = {
                "straight": (0.0, 0.0),
                "bow": tuple(chance.uniform(-0.35, 0.35) * chance.uniform(0.6, 1.3, 2)),
                "wave": tuple(chance.uniform(0.08, 0.25) * np.array([1, -1])),
            }[str(kind)]
            edges.append(
                evenly(bezier(a, a + (b - a) / 3 + one * across, b - (b - a) / 3 + two * across, b))
            )
        block = Block(tuple(edges))
        ring = shapely.Polygon(block.points)
        # Room for the nib everywhere: no narrow neck.
        if ring.is_valid and isinstance(ring.buffer(-25), shapely.Polygon) and _corners_turn(block):
            return block


def _corners_turn(block: Block) -> bool:
    """Whether each corner is one that a person would call a corner, and none is a spike."""
    for before, after in zip(block.edges, np.roll(np.arange(len(block.edges)), -1), strict=True):
        arriving = before[-1] - before[-6]
        leaving = block.edges[after][5] - block.edges[after][0]
        turn = np.arctan2(
            arriving[0] * leaving[1] - arriving[1] * leaving[0], float(arriving @ leaving)
        )
        if not np.radians(12) < abs(turn) < np.radians(140):
            return False
    return True


def fitted(block: Block, size: tuple[float, float], chance: np.random.Generator) -> Block:
    """The block turned by some angle and made as large as goes into a rectangle about 0."""
    best = None
    for turn in chance.permutation(4):
        angle = np.radians(90 * turn + chance.normal(0, 5))
        c, s = np.cos(angle), np.sin(angle)
        matrix = np.array([[c, -s], [s, c]])
        extent = np.ptp(block.points @ matrix.T, axis=0)
        scale = float((np.array(size) / extent).min())
        if best is None or scale > best[0] * 1.05:
            best = scale, matrix
    assert best is not None
    scale, matrix = best
    moved = block.moved(scale * matrix, np.zeros(2))
    middle = (moved.points.min(axis=0) + moved.points.max(axis=0)) / 2
    return Block(tuple(evenly(edge - middle) for edge in moved.edges))


def by_hand(block: Block, sigma: float, chance: np.random.Generator) -> Block:
    """The edges as a hand follows them, off by a smooth `sigma`; the corners stay."""
    edges = []
    for edge in block.edges:
        noise = chance.normal(0, 1, (2, len(edge)))
        soft = np.vstack([cv2.GaussianBlur(row[None], (0, 0), 20.0)[0] for row in noise])
        share = np.linspace(0, 1, len(edge))
        # White noise keeps 1 / sqrt(2 s sqrt(pi)) of its deviation under a Gaussian of s.
        soft *= np.sqrt(40 * np.sqrt(np.pi)) * np.sqrt(np.clip(4 * share * (1 - share), 0, 1))
        edges.append(edge + sigma * soft.T)
    return Block(tuple(edges))


def outline(block: Block, width: float, colour: Colour, style: str = "") -> MarkerLine:
    """The block's outline as a marker line."""
    return MarkerLine(block.points, True, width, colour, "outline", style)


def notches(
    block: Block, chance: np.random.Generator, width: float, colour: Colour
) -> list[MarkerLine]:
    """One to four ticks from the outline inwards, or across it, away from corners."""
    ring = shapely.Polygon(block.points)
    ticks: list[MarkerLine] = []
    for _ in range(int(chance.integers(1, 5))):
        edge = block.edges[int(chance.integers(len(block.edges)))]
        if len(edge) < 90:
            continue
        at = int(chance.integers(40, len(edge) - 40))
        along = edge[at + 2] - edge[at - 2]
        inwards = np.array([-along[1], along[0]]) / np.hypot(*along)
        if not ring.contains(shapely.Point(*(edge[at] + 3 * inwards))):
            inwards = -inwards
        start = edge[at] - inwards * (0 if chance.random() < 0.7 else 7)
        tick = evenly(np.array([start, edge[at] + inwards * chance.uniform(9, 13)]))
        if all(np.hypot(*(tick.points[0] - start)) > 40 for tick in ticks):
            ticks.append(MarkerLine(tick, False, width, colour, "notch"))
    return ticks


def grain(block: Block, width: float, colour: Colour) -> list[MarkerLine]:
    """An arrow with heads at both ends, in the middle of the block."""
    ring = shapely.Polygon(block.points)
    middle = np.array(shapely.maximum_inscribed_circle(ring, 2).coords[0])
    free = ring.buffer(-25)
    low = high = 0.0
    while free.contains(shapely.Point(middle[0], middle[1] + high + 2)) and high < 180:
        high += 2
    while free.contains(shapely.Point(middle[0], middle[1] - low - 2)) and low < 180:
        low += 2
    if low + high < 60:
        return []
    top, bottom = middle + np.array([0, high]), middle - np.array([0, low])
    lines = [MarkerLine(evenly(np.array([bottom, top])), False, width, colour, "grain")]
    for tip, way in ((top, -1), (bottom, 1)):
        head = tip + np.array([(-8, way * 14), (0, 0), (8, way * 14)])
        parts = np.vstack((evenly(head[:2])[:-1], evenly(head[1:])))
        lines.append(MarkerLine(parts, False, width, colour, "grain"))
    return lines


def inner_line(
    block: Block, chance: np.random.Generator, width: float, colour: Colour
) -> list[MarkerLine]:
    """A bent line inside that keeps away from the outline, or a dart from it."""
    ring = shapely.Polygon(block.points)
    if chance.random() < 0.5:
        edge = max(block.edges, key=len)
        at = len(edge) // 2
        along = edge[at + 2] - edge[at - 2]
        along = along / np.hypot(*along)
        inwards = np.array([-along[1], along[0]])
        if not ring.contains(shapely.Point(*(edge[at] + 3 * inwards))):
            inwards = -inwards
        apex = edge[at] + inwards * chance.uniform(50, 80)
        if not ring.buffer(-20).contains(shapely.Point(*apex)):
            return []
        half = int(chance.integers(9, 16))
        way = np.vstack(
            (
                evenly(np.array([edge[at - half], apex]))[:-1],
                evenly(np.array([apex, edge[at + half]])),
            )
        )
        return [MarkerLine(way, False, width, colour, "dart")]
    low, high = block.points.min(axis=0), block.points.max(axis=0)
    free = ring.buffer(-22)
    for _ in range(50):
        y = chance.uniform(low[1] + 0.2 * (high - low)[1], low[1] + 0.4 * (high - low)[1])
        across = free.intersection(shapely.LineString([(low[0], y), (high[0], y)]))
        if isinstance(across, shapely.LineString) and across.length > 80:
            (x0, _), (x1, _) = across.coords
            bow = np.array([0, chance.uniform(-12, 12)])
            a, b = np.array([x0, y]), np.array([x1, y])
            line = evenly(bezier(a, a + (b - a) / 3 + bow, b - (b - a) / 3 + bow, b))
            if free.buffer(6).contains(shapely.LineString(line)):
                return [MarkerLine(line, False, width, colour, "inside")]
    return []


def with_gaps(
    line: MarkerLine, lengths: tuple[float, ...], chance: np.random.Generator
) -> MarkerLine:
    """The line with stretches left out whose ink is missing over `lengths`, nib to nib."""
    total = float(distances(np.vstack((line.points, line.points[:1])))[-1])
    share = (np.arange(len(lengths)) + chance.uniform(0.3, 0.7, len(lengths))) / len(lengths)
    return replace(
        line,
        gaps=tuple(
            (float(s * total - g / 2 - line.width / 2), float(s * total + g / 2 + line.width / 2))
            for s, g in zip(share, lengths, strict=True)
        ),
    )
