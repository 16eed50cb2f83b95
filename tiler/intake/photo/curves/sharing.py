"""Traced lines cut where they turn and where others join or leave them.

What several outlines share has the same points in each of them. It is cut out once, always in the
same direction, so that it is fitted once and comes out the same for all.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from tiler.intake.photo.model import Points, Traced

Key = tuple[float, float]


@dataclass(frozen=True, eq=False)
class Run:
    """A part of one or more lines, without a corner inside.

    Args:
        points: In the direction in which it is fitted; a ring does not repeat its first.
        ring: Whether it comes back to its beginning, without a corner anywhere.
        lines: Indices of the lines that it is a part of.
        smooth: Whether it goes on smoothly at its beginning and at its end, in some line.
        unsure: As in `Traced`.
    """

    points: Points
    ring: bool
    lines: set[int] = field(default_factory=set)
    smooth: list[bool] = field(default_factory=lambda: [False, False])
    unsure: float = 0.05


@dataclass(frozen=True, eq=False)
class Part:
    """One run on the way along a line."""

    run: Run
    backwards: bool


def keys_of(points: Points) -> list[Key]:
    """Names of places, the same for places that are the same (to a millionth of a millimetre)."""
    return [(x, y) for x, y in (np.round(points, 6) + 0.0).tolist()]


def parts_of(lines: Sequence[Traced]) -> list[list[Part]]:
    """Cut lines into runs; those that several share are one and the same `Run`.

    Returns:
        For each line its parts in order, from its first cut on where it is closed.
    """
    keys = [keys_of(line.points) for line in lines]
    users: dict[frozenset[Key], set[int]] = defaultdict(set)
    corners = {keys[n][i] for n, line in enumerate(lines) for i in line.corners}
    for number, line in enumerate(lines):
        for pair in _pairs(keys[number], line.closed):
            users[pair].add(number)
    runs: dict[tuple[Key, ...], Run] = {}
    return [
        _parts(line, keys[number], users, corners, runs, number)
        for number, line in enumerate(lines)
    ]


def _pairs(keys: Sequence[Key], closed: bool) -> list[frozenset[Key]]:
    after = [*keys[1:], keys[0]] if closed else keys[1:]
    return [frozenset(pair) for pair in zip(keys, after, strict=False)]


def _parts(
    line: Traced,
    keys: Sequence[Key],
    users: dict[frozenset[Key], set[int]],
    corners: set[Key],
    runs: dict[tuple[Key, ...], Run],
    number: int,
) -> list[Part]:
    along = [users[pair] for pair in _pairs(keys, line.closed)]
    count = len(keys)
    own = set(line.corners)
    cuts = [
        i
        for i in range(count)
        if (keys[i] in corners or (along[i - 1] != along[i] if i < len(along) else False))
        and (line.closed or 0 < i < count - 1)
    ]
    if line.closed and not cuts:
        return [_ring(line, keys, runs, number)]
    stops = [*cuts, cuts[0] + count] if line.closed else [0, *cuts, count - 1]
    parts: list[Part] = []
    for start, stop in pairwise(stops):
        index = [i % count for i in range(start, stop + 1)]
        open_end = {0, count - 1} if not line.closed else set()
        smooth = [i not in own and i not in open_end for i in (index[0], index[-1])]
        parts.append(_part(line, keys, index, smooth, runs, number))
    return parts


def _part(
    line: Traced,
    keys: Sequence[Key],
    index: list[int],
    smooth: list[bool],
    runs: dict[tuple[Key, ...], Run],
    number: int,
) -> Part:
    name = tuple(keys[i] for i in index)
    backwards = name[::-1] < name
    if backwards:
        index, name, smooth = index[::-1], name[::-1], smooth[::-1]
    run = runs.setdefault(name, Run(line.points[index], False, unsure=line.unsure))
    run.lines.add(number)
    run.smooth[:] = [one or other for one, other in zip(run.smooth, smooth, strict=True)]
    return Part(run, backwards)


def _ring(line: Traced, keys: Sequence[Key], runs: dict[tuple[Key, ...], Run], number: int) -> Part:
    first = keys.index(min(keys))
    count = len(keys)
    index = [(first + i) % count for i in range(count)]
    backwards = keys[index[-1]] < keys[index[1]]
    if backwards:
        index = [index[0], *index[:0:-1]]
    name = tuple(keys[i] for i in index)
    if name not in runs:
        runs[name] = Run(line.points[index], True, unsure=line.unsure)
    runs[name].lines.add(number)
    return Part(runs[name], backwards)
