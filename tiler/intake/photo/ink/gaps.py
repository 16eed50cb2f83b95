"""Gaps in drawn lines: short ones are closed, and long ones in an outline are refused."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations, pairwise

import numpy as np

from tiler.intake.photo.ink.dashes import undashed
from tiler.intake.photo.ink.ends import (
    End,
    aims,
    clear_between,
    corner_ahead,
    drawings_of,
    length_of,
    loose_ends,
)
from tiler.intake.photo.ink.legs import Vector
from tiler.intake.photo.ink.longgaps import refuse_long
from tiler.intake.photo.model import Points, Strand, Web
from tiler.intake.photo.problem import Doubts, TableSpot

#: The longest gap that is closed, millimetres of bare paper between the ink, and how exactly the
#: ends of ink are known.
CLOSED, _SLACK = 6.0, 0.5
#: How far an end may point past what it is joined to, degrees: for a short gap, where the ends
#: almost touch, and between short pieces (dashes).
_AIM, _AIM_NEAR, _AIM_DASH = 40.0, 60.0, 22.0
_NEAR = 2.0
#: Drawings smaller than this are letters or dashes, millimetres.
_SMALL = 25.0
#: A line that something may end on belongs to a drawing at least this large, millimetres.
_LARGE = 40.0


def without_gaps(web: Web, doubts: Doubts) -> Web:
    """Close gaps up to `CLOSED`; each closed one is told.

    Raises:
        CaptureError: An outline has a longer gap.
    """
    web = _ends_joined(web)
    web = _feet_set(web)
    web = undashed(web)
    _tell(web, doubts)
    refuse_long(web, CLOSED)
    return web


def _sizes(web: Web) -> dict[int, float]:
    """Diagonal of the box round each drawing."""
    group = drawings_of(web)
    sizes = {}
    for g in set(group):
        every = np.concatenate(
            [s.points for s, own in zip(web.strands, group, strict=True) if own == g]
        )
        sizes[g] = float(np.hypot(*(every.max(axis=0) - every.min(axis=0))))
    return sizes


def _ends_joined(web: Web) -> Web:
    ends, sizes, parts = loose_ends(web), _sizes(web), drawings_of(web)
    simple = {g: parts.count(g) == 1 for g in set(parts)}
    choices = []
    for i, j in combinations(range(len(ends)), 2):
        one, two = ends[i], ends[j]
        clear = clear_between(one, two)
        if clear > CLOSED + _SLACK:
            continue
        past = aims(one, two)
        small = [sizes[end.drawing] < _SMALL for end in (one, two)]
        if any(s and not simple[end.drawing] for s, end in zip(small, (one, two), strict=True)):
            continue
        limit = _AIM_DASH if any(small) else (_AIM_NEAR if clear < _NEAR else _AIM)
        via = None
        if max(past) > limit:
            via = None if any(small) else corner_ahead(one, two, CLOSED + _SLACK)
            if via is None:
                continue
        if one.strand == two.strand and one.length < 3 * max(clear, 1) + 10:
            continue
        choices.append((clear + 0.06 * sum(past), i, j, via))
    used: set[int] = set()
    strands = list(web.strands)
    for _, i, j, via in sorted(choices, key=lambda choice: choice[0]):
        if i in used or j in used:
            continue
        used |= {i, j}
        way = [ends[i].place, ends[j].place]
        if via is not None:
            way.insert(1, via)
        strands.append(_bridge(np.array(way), ends[i], ends[j].node, web))
    return Web(web.nodes, tuple(strands))


def _bridge(way: Points, end: End, to: int, web: Web) -> Strand:
    like = web.strands[end.strand]
    parts = [way[:1]]
    for a, b in pairwise(way):
        count = max(1, round(float(np.hypot(*(b - a)))))
        parts.append(a + (np.arange(1, count + 1) / count)[:, None] * (b - a))
    return replace(
        like,
        points=np.concatenate(parts),
        start=end.node,
        end=to,
        bridged=True,
        unsure=0.3,
        heads=(False, False),
        uneven=0.0,
    )


def _feet_set(web: Web) -> Web:
    """Ends that point at the side of a line nearby reach it."""
    sizes, parts = _sizes(web), drawings_of(web)
    simple = {g: parts.count(g) == 1 for g in set(parts)}
    for end in loose_ends(web):
        if end.length < 8 and not simple[end.drawing]:
            continue
        best: tuple[float, int, int, Vector] | None = None
        group = drawings_of(web)
        for k, strand in enumerate(web.strands):
            if sizes.get(group[k], _LARGE) < _LARGE or strand.bridged:
                continue
            hit = _hit(end, strand, k == end.strand)
            if hit is not None and (best is None or hit[0] < best[0]):
                best = (hit[0], k, hit[1], hit[2])
        if best is not None:
            web = _set(web, end, best[1], best[2], best[3])
    return web


def _hit(end: End, strand: Strand, own: bool) -> tuple[float, int, Vector] | None:
    """Distance, index of the segment and place where an end meets a strand's side."""
    way = strand.points
    if strand.ring:
        way = np.concatenate((way, way[:1]))
    reach = end.half + CLOSED + _SLACK + strand.width / 2
    a, step = way[:-1], np.diff(way, axis=0)
    cross = step[:, 0] * -end.ahead[1] + step[:, 1] * end.ahead[0]
    off = a - end.place
    safe = np.where(np.abs(cross) < 1e-9, 1e-9, cross)
    # place + t * ahead = a + s * step
    t = (step[:, 0] * -off[:, 1] + step[:, 1] * off[:, 0]) / safe
    s = (end.ahead[0] * -off[:, 1] + end.ahead[1] * off[:, 0]) / safe
    steep = np.abs(cross) / np.maximum(np.hypot(step[:, 0], step[:, 1]), 1e-9) > 0.5
    good = (s >= 0) & (s <= 1) & (t > 0) & (t <= reach) & steep
    if own:
        along = np.concatenate(([0.0], np.cumsum(np.hypot(step[:, 0], step[:, 1]))))
        from_end = along[:-1] if strand.start == end.node else along[-1] - along[1:]
        good &= from_end > 20
    if not good.any():
        return None
    k = int(np.flatnonzero(good)[np.argmin(t[good])])
    return float(t[k]), k, end.place + float(t[k]) * end.ahead


def _set(web: Web, end: End, target: int, segment: int, place: Vector) -> Web:
    """A node on the target, and a bridge from the end to it."""
    nodes = np.concatenate((web.nodes, place[None]))
    new = len(nodes) - 1
    strands = list(web.strands)
    old = strands[target]
    if old.ring:
        way = np.concatenate((place[None], np.roll(old.points, -segment - 1, axis=0), place[None]))
        strands[target] = replace(old, points=way, start=new, end=new)
    else:
        strands[target] = replace(
            old, points=np.concatenate((old.points[: segment + 1], place[None])), end=new
        )
        strands.append(
            replace(old, points=np.concatenate((place[None], old.points[segment + 1 :])), start=new)
        )
    web = Web(nodes, tuple(strands))
    bridge = _bridge(np.array([end.place, place]), end, new, web)
    return Web(nodes, (*strands, bridge))


def _tell(web: Web, doubts: Doubts) -> None:
    number = 0
    for strand in web.strands:
        if not strand.bridged:
            continue
        number += 1
        bare = max(0.0, length_of(strand.points) - strand.width)
        doubts.add(
            "gap-closed",
            f"A line had a gap of {bare:.1f} mm, which is closed with a straight stroke: gap "
            f"{number} in the picture.",
            table=(TableSpot(strand.points, label=f"gap {number}: {bare:.1f} mm"),),
        )
