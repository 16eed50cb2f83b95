"""Webs of ink lines from geometry: lines are noded with shapely, and a hand's noise is added."""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from tiler.intake.photo.model import Strand, Web

Place = tuple[float, float]
Lab = tuple[float, float, float]
Floats = NDArray[np.float64]

# CIE L*a*b* of marker inks, from sRGB colours by the formula of CIE 15 (from memory).
BLACK: Lab = (22.0, 1.0, 1.0)
RED: Lab = (45.0, 62.0, 42.0)
BLUE: Lab = (32.0, 18.0, -52.0)
GREEN: Lab = (46.0, -42.0, 32.0)
BROWN: Lab = (36.0, 18.0, 24.0)
VIOLET: Lab = (35.0, 45.0, -40.0)


@dataclass(frozen=True)
class Drawn:
    """A line as it was drawn; a closed one repeats its first place."""

    places: tuple[Place, ...]
    colour: Lab = BLACK


def line(*places: Place, colour: Lab = BLACK) -> Drawn:
    return Drawn(tuple(places), colour)


def closed(*places: Place, colour: Lab = BLACK) -> Drawn:
    return Drawn((*places, places[0]), colour)


def arc(centre: Place, radius: float, first: float, last: float, steps: int = 60) -> list[Place]:
    """Places on a circle, by degrees."""
    return [
        (
            centre[0] + radius * math.cos(math.radians(a)),
            centre[1] + radius * math.sin(math.radians(a)),
        )
        for a in np.linspace(first, last, steps)
    ]


def tick(foot: Place, way: Place, inwards: float = 10.0, outwards: float = 0.0) -> Drawn:
    """A tick through `foot` along `way`."""
    size = math.hypot(*way)
    x, y = way[0] / size, way[1] / size
    return line(
        (foot[0] - x * (outwards or 0.1), foot[1] - y * (outwards or 0.1)),
        (foot[0] + x * inwards, foot[1] + y * inwards),
    )


def arrow(
    start: Place, end: Place, heads: Sequence[int] = (0, 1), barb: float = 12.0
) -> list[Drawn]:
    """A line with arrowheads at its start (0) and end (1)."""
    lines = [line(start, end)]
    for head in heads:
        tip, other = (end, start) if head else (start, end)
        back = math.atan2(other[1] - tip[1], other[0] - tip[0])
        for lean in (-0.6, 0.6):
            lines.append(
                line(
                    tip,
                    (
                        tip[0] + barb * math.cos(back + lean),
                        tip[1] + barb * math.sin(back + lean),
                    ),
                )
            )
    return lines


def cross(centre: Place, size: float = 8.0, turn: float = 45.0) -> list[Drawn]:
    """A drill mark."""
    made = []
    for angle in (turn, turn + 90):
        x, y = size / 2 * math.cos(math.radians(angle)), size / 2 * math.sin(math.radians(angle))
        made.append(line((centre[0] - x, centre[1] - y), (centre[0] + x, centre[1] + y)))
    return made


def web_of(drawn: Sequence[Drawn], noise: float = 0.08, seed: int = 1, wobble: float = 0.0) -> Web:
    """Strands and nodes of drawn lines.

    Args:
        drawn: Lines.
        noise: Standard deviation of points, millimetres.
        seed: Of the noise.
        wobble: Amplitude of a hand's slow waves, millimetres.
    """
    hand = np.random.default_rng(seed)
    lines = [shapely.LineString(each.places) for each in drawn]
    noded = shapely.unary_union(lines)
    parts = [part for part in shapely.get_parts(noded) if part.length > 0.15]
    pieces = [np.array(part.coords) for part in parts]
    keys = [
        [(round(float(p[end][0]), 2), round(float(p[end][1]), 2)) for end in (0, -1)]
        for p in pieces
    ]
    colours = [_colour(part, lines, drawn) for part in parts]
    pieces, keys, colours = _joined(pieces, keys, colours)
    degree = Counter(key for pair in keys for key in pair)
    index: dict[Place, int] = {}
    nodes: list[Floats] = []
    strands = []
    for points, (first, last), colour in zip(pieces, keys, colours, strict=True):
        moved = _by_hand(points, noise, wobble, hand)
        if first == last and degree[first] == 2:
            strands.append(Strand(moved[:-1], None, None, 4.0, colour))
            continue
        for key, place in ((first, points[0]), (last, points[-1])):
            if key not in index:
                index[key] = len(nodes)
                nodes.append(place + hand.normal(0, noise, 2))
        moved[0], moved[-1] = nodes[index[first]], nodes[index[last]]
        strands.append(Strand(moved, index[first], index[last], 4.0, colour))
    return Web(np.array(nodes).reshape(-1, 2), tuple(strands))


def _colour(
    part: shapely.LineString, lines: list[shapely.LineString], drawn: Sequence[Drawn]
) -> Lab:
    middle = part.interpolate(0.5, normalized=True)
    return drawn[min(range(len(lines)), key=lambda n: lines[n].distance(middle))].colour


def _joined(
    pieces: list[Floats], keys: list[list[Place]], colours: list[Lab]
) -> tuple[list[Floats], list[list[Place]], list[Lab]]:
    """Pieces with those joined that meet at no real node."""
    pieces, keys, colours = list(pieces), list(keys), list(colours)
    again = True
    while again:
        again = False
        ends: dict[Place, list[tuple[int, int]]] = {}
        for n, pair in enumerate(keys):
            for end, key in enumerate(pair):
                ends.setdefault(key, []).append((n, end))
        for here in ends.values():
            if len(here) != 2 or here[0][0] == here[1][0]:
                continue
            (a, a_end), (b, b_end) = here
            if colours[a] != colours[b]:
                continue
            one = pieces[a] if a_end == 1 else pieces[a][::-1]
            other = pieces[b] if b_end == 0 else pieces[b][::-1]
            pieces[a] = np.vstack([one, other[1:]])
            keys[a] = [keys[a][1 - a_end], keys[b][1 - b_end]]
            for every in (pieces, keys, colours):
                del every[b]
            again = True
            break
    return pieces, keys, colours


def _by_hand(points: Floats, noise: float, wobble: float, hand: np.random.Generator) -> Floats:
    steps = np.hypot(*np.diff(points, axis=0).T)
    s = np.concatenate(([0.0], np.cumsum(steps)))
    count = max(2, round(float(s[-1])))
    at = np.linspace(0, s[-1], count + 1)
    even = np.column_stack((np.interp(at, s, points[:, 0]), np.interp(at, s, points[:, 1])))
    moved = even + hand.normal(0, noise, even.shape)
    if wobble:
        fade = np.clip(np.minimum(at, s[-1] - at) / 8, 0, 1)
        for length in (40.0, 90.0):
            a, b = hand.uniform(0, 2 * np.pi, 2)
            moved += (
                (wobble * fade)[:, None]
                * np.column_stack(
                    (np.sin(2 * np.pi * at / length + a), np.cos(2 * np.pi * at / length + b))
                )
                / 2
            )
    return moved
