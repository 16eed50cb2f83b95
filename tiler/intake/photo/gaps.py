"""Gaps in drawn lines: short ones are closed, and long ones in an outline are refused."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import combinations, pairwise
from math import degrees

import numpy as np

from tiler.intake.photo.legs import Vector
from tiler.intake.photo.model import Points, Strand, Web
from tiler.intake.photo.problem import CaptureError, Doubts, TableSpot

#: The longest gap that is closed, millimetres of bare paper between the ink, and how exactly the
#: ends of ink are known.
CLOSED, _SLACK = 6.0, 0.5
#: The longest that is taken for a gap at all.
_LONGEST = 40.0
#: How far an end may point past what it is joined to, degrees: for a short gap, where the ends
#: almost touch, between short pieces (dashes), and for a long gap.
_AIM, _AIM_NEAR, _AIM_DASH, _AIM_LONG = 40.0, 60.0, 22.0, 20.0
_NEAR = 2.0
#: Drawings smaller than this are letters or dashes, millimetres.
_SMALL = 25.0
#: A line that something may end on belongs to a drawing at least this large, millimetres.
_LARGE = 40.0
#: Lines shorter than this are ticks, and nothing is missing at their ends, millimetres.
_TICK = 15.0
#: Dashes are no longer than this, and a dashed line has at least so many gaps.
_DASH, _DASHES = 20.0, 3


@dataclass(frozen=True, eq=False)
class _End:
    """A loose end: its strand, node, place of the nib, direction outwards, half the width."""

    strand: int
    node: int
    place: Vector
    ahead: Vector
    half: float
    length: float
    drawing: int


def without_gaps(web: Web, doubts: Doubts) -> Web:
    """Close gaps up to `CLOSED`; each closed one is told.

    Raises:
        CaptureError: An outline has a longer gap.
    """
    web = _ends_joined(web)
    web = _feet_set(web)
    web = _undashed(web)
    _tell(web, doubts)
    _refuse_long(web)
    return web


def _ends(web: Web) -> list[_End]:
    degree = np.zeros(len(web.nodes), int)
    for strand in web.strands:
        for node in (strand.start, strand.end):
            if node is not None:
                degree[node] += 1
    drawing = drawings_of(web)
    found = []
    for i, strand in enumerate(web.strands):
        length = _length(strand.points)
        for node, way in ((strand.start, strand.points[::-1]), (strand.end, strand.points)):
            if node is None or degree[node] != 1 or strand.bridged or len(way) < 2:
                continue
            away = np.hypot(*(way - way[-1]).T)
            far = np.flatnonzero(away >= min(6.0, 0.8 * away.max()))
            ahead = way[-1] - way[far[-1] if len(far) else 0]
            size = max(float(np.hypot(ahead[0], ahead[1])), 1e-9)
            found.append(_End(i, node, way[-1], ahead / size, strand.width / 2, length, drawing[i]))
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


def _length(points: Points) -> float:
    return float(np.hypot(*np.diff(points, axis=0).T).sum())


def _aims(one: _End, two: _End) -> tuple[float, float]:
    """How far each end points past the other, degrees."""
    apart = two.place - one.place
    apart = apart / max(float(np.hypot(apart[0], apart[1])), 1e-9)
    return (
        degrees(float(np.arccos(np.clip(one.ahead @ apart, -1, 1)))),
        degrees(float(np.arccos(np.clip(-two.ahead @ apart, -1, 1)))),
    )


def _clear(one: _End, two: _End) -> float:
    return float(np.hypot(*(one.place - two.place))) - one.half - two.half


def _corner(one: _End, two: _End) -> Vector | None:
    """Where two ends would meet if each was drawn on; None when that is not just ahead."""
    turn = np.column_stack((one.ahead, -two.ahead))
    if abs(float(np.linalg.det(turn))) < 0.4:
        return None
    t = np.linalg.solve(turn, two.place - one.place)
    limits = (one.half + CLOSED + _SLACK, two.half + CLOSED + _SLACK)
    if -one.half <= t[0] <= limits[0] and -two.half <= t[1] <= limits[1]:
        return np.asarray(one.place + t[0] * one.ahead, np.float64)
    return None


def _ends_joined(web: Web) -> Web:
    ends, sizes, parts = _ends(web), _sizes(web), drawings_of(web)
    simple = {g: parts.count(g) == 1 for g in set(parts)}
    choices = []
    for i, j in combinations(range(len(ends)), 2):
        one, two = ends[i], ends[j]
        clear = _clear(one, two)
        if clear > CLOSED + _SLACK:
            continue
        aims = _aims(one, two)
        small = [sizes[end.drawing] < _SMALL for end in (one, two)]
        if any(s and not simple[end.drawing] for s, end in zip(small, (one, two), strict=True)):
            continue
        limit = _AIM_DASH if any(small) else (_AIM_NEAR if clear < _NEAR else _AIM)
        via = None
        if max(aims) > limit:
            via = None if any(small) else _corner(one, two)
            if via is None:
                continue
        if one.strand == two.strand and one.length < 3 * max(clear, 1) + 10:
            continue
        choices.append((clear + 0.06 * sum(aims), i, j, via))
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


def _bridge(way: Points, end: _End, to: int, web: Web) -> Strand:
    like = web.strands[end.strand]
    parts = [way[:1]]
    for a, b in pairwise(way):
        count = max(1, round(float(np.hypot(*(b - a)))))
        parts.append(a + (np.arange(1, count + 1) / count)[:, None] * (b - a))
    return replace(
        like, points=np.concatenate(parts), start=end.node, end=to, bridged=True, unsure=0.3
    )


def _feet_set(web: Web) -> Web:
    """Ends that point at the side of a line nearby reach it."""
    sizes, parts = _sizes(web), drawings_of(web)
    simple = {g: parts.count(g) == 1 for g in set(parts)}
    for end in _ends(web):
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


def _hit(end: _End, strand: Strand, own: bool) -> tuple[float, int, Vector] | None:
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


def _set(web: Web, end: _End, target: int, segment: int, place: Vector) -> Web:
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


def _undashed(web: Web) -> Web:
    """Dashes and the gaps between them become one strand, of which nothing is missing."""
    strands: list[Strand] = list(web.strands)
    ends: dict[int, list[int]] = {}
    for i, strand in enumerate(strands):
        for node in (strand.start, strand.end):
            if node is not None:
                ends.setdefault(node, []).append(i)
    passing = {n for n, own in ends.items() if len(own) == 2 and own[0] != own[1]}
    done: set[int] = set()
    out: list[Strand] = []
    for i in range(len(strands)):
        if i in done:
            continue
        chain = _chain(i, strands, ends, passing)
        done |= {k for k, _ in chain}
        gaps = sum(strands[k].bridged for k, _ in chain)
        dashes = [k for k, _ in chain if not strands[k].bridged]
        usual = np.median([_length(strands[k].points) for k in dashes]) if dashes else 0
        if gaps < _DASHES or usual > _DASH:
            out.extend(strands[k] for k, _ in chain)
            continue
        ways = [strands[k].points if onward else strands[k].points[::-1] for k, onward in chain]
        way = np.concatenate([ways[0]] + [w[1:] for w in ways[1:]])
        (k0, on0), (k1, on1) = chain[0], chain[-1]
        start = strands[k0].start if on0 else strands[k0].end
        end = strands[k1].end if on1 else strands[k1].start
        like = strands[max(dashes, key=lambda k: len(strands[k].points))]
        unsure = max(strands[k].unsure for k in dashes)
        if start == end and start in passing:
            out.append(replace(like, points=way[:-1], start=None, end=None, unsure=unsure))
        else:
            out.append(replace(like, points=way, start=start, end=end, unsure=unsure))
    return renumbered(web.nodes, out)


def _chain(
    first: int, strands: list[Strand], ends: dict[int, list[int]], passing: set[int]
) -> list[tuple[int, bool]]:
    """Strands that follow one another without a crossing, and whether each is run forwards."""
    chain = [(first, True)]
    for forwards in (True, False):
        while True:
            k, onward = chain[-1] if forwards else chain[0]
            strand = strands[k]
            node = strand.end if onward == forwards else strand.start
            if node is None or node not in passing:
                break
            after = next(j for j in ends[node] if j != k)
            if any(after == j for j, _ in chain):
                return chain
            leads = strands[after].start == node
            chain.insert(len(chain) if forwards else 0, (after, leads == forwards))
    return chain


def renumbered(nodes: Points, strands: list[Strand]) -> Web:
    """A web without the nodes that no strand has."""
    used = sorted({n for s in strands for n in (s.start, s.end) if n is not None})
    new = {old: i for i, old in enumerate(used)}
    return Web(
        nodes[used] if used else np.empty((0, 2)),
        tuple(
            replace(
                s,
                start=None if s.start is None else new[s.start],
                end=None if s.end is None else new[s.end],
            )
            for s in strands
        ),
    )


def _tell(web: Web, doubts: Doubts) -> None:
    number = 0
    for strand in web.strands:
        if not strand.bridged:
            continue
        number += 1
        middle = strand.points[len(strand.points) // 2]
        bare = max(0.0, _length(strand.points) - strand.width)
        doubts.add(
            "gap-closed",
            f"a line had a gap of {bare:.1f} mm, which is closed with a straight stroke: "
            f"gap {number} in the picture, at {middle[0]:.0f}, {middle[1]:.0f} mm",
            table=(TableSpot(strand.points, label=f"gap {number}: {bare:.1f} mm"),),
        )


def _refuse_long(web: Web) -> None:
    ends = [end for end in _ends(web) if end.length >= _TICK]
    choices = []
    for i, j in combinations(range(len(ends)), 2):
        one, two = ends[i], ends[j]
        clear = _clear(one, two)
        if not CLOSED < clear <= _LONGEST or max(_aims(one, two)) > _AIM_LONG:
            continue
        if max(one.half, two.half) > 1.8 * min(one.half, two.half):
            continue
        if one.strand == two.strand and one.length < 2 * clear + 30:
            continue
        if _crossed(web, one, two):
            continue
        choices.append((clear, i, j))
    used: set[int] = set()
    taken = []
    for clear, i, j in sorted(choices):
        if i not in used and j not in used:
            used |= {i, j}
            taken.append((clear, ends[i], ends[j]))
    edges = [(s.start, s.end) for s in web.strands if s.start is not None and s.end is not None]
    edges += [(one.node, two.node) for _, one, two in taken]
    bad = []
    for k, (clear, one, two) in enumerate(taken):
        rest = [e for n, e in enumerate(edges) if n != len(edges) - len(taken) + k]
        if _connected(one.node, two.node, rest):
            bad.append((clear, one, two))
    if not bad:
        return
    lengths = " and ".join(f"{clear:.0f} mm" for clear, _, _ in bad)
    many = len(bad) > 1
    raise CaptureError(
        f"the line has {'gaps' if many else 'a gap'} of {lengths}, too long to be closed by itself",
        where="where the picture shows it, at "
        + " and ".join(
            f"{m[0]:.0f}, {m[1]:.0f} mm" for m in ((o.place + t.place) / 2 for _, o, t in bad)
        ),
        remedy=f"Draw the {'gaps' if many else 'gap'} closed with the marker and photograph again; "
        f"gaps up to {CLOSED:g} mm are closed by themselves.",
        table_spots=tuple(
            TableSpot(np.array([one.place, two.place]), label=f"gap of {clear:.0f} mm")
            for clear, one, two in bad
        ),
        code="gap",
    )


def _crossed(web: Web, one: _End, two: _End) -> bool:
    """Whether another line runs through a gap."""
    a, way = one.place + one.ahead * 1.5 * one.half, two.place - one.place
    b = two.place + two.ahead * 1.5 * two.half
    way = b - a
    for strand in web.strands:
        points = strand.points
        if strand.ring:
            points = np.concatenate((points, points[:1]))
        side = way[0] * (points[:, 1] - a[1]) - way[1] * (points[:, 0] - a[0])
        step = np.diff(points, axis=0)
        of_a = step[:, 0] * (a[1] - points[:-1, 1]) - step[:, 1] * (a[0] - points[:-1, 0])
        of_b = step[:, 0] * (b[1] - points[:-1, 1]) - step[:, 1] * (b[0] - points[:-1, 0])
        if ((side[:-1] * side[1:] < 0) & (of_a * of_b < 0)).any():
            return True
    return False


def _connected(one: int, two: int, edges: list[tuple[int, int]]) -> bool:
    near: dict[int, list[int]] = {}
    for a, b in edges:
        near.setdefault(a, []).append(b)
        near.setdefault(b, []).append(a)
    seen, todo = {one}, [one]
    while todo:
        for node in near.get(todo.pop(), []):
            if node == two:
                return True
            if node not in seen:
                seen.add(node)
                todo.append(node)
    return False
