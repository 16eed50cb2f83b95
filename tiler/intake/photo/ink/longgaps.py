"""Gaps that are too long to be closed: an outline with one is refused."""

from __future__ import annotations

from itertools import combinations

import numpy as np

from tiler.intake.photo.ink.ends import End, aims, clear_between, corner_ahead, loose_ends
from tiler.intake.photo.model import Web
from tiler.intake.photo.problem import CaptureError, TableSpot

#: The longest that is taken for a gap at all.
_LONGEST = 40.0
#: The longest beside a corner, where only one of the ends points at the other.
_LONGEST_CORNER = 20.0
#: How far an end may point past what it is joined to, degrees.
_AIM_LONG = 20.0
#: Lines shorter than this are ticks, and nothing is missing at their ends, millimetres.
_TICK = 15.0


def refuse_long(web: Web, closed: float) -> None:
    """Look for ends that plainly continue one another, in a line that would go round.

    Args:
        web: All strands, with the short gaps closed.
        closed: The longest gap that is closed by itself, millimetres.

    Raises:
        CaptureError: There are such ends.
    """
    ends = [end for end in loose_ends(web) if end.length >= _TICK]
    choices = []
    for i, j in combinations(range(len(ends)), 2):
        one, two = ends[i], ends[j]
        clear = clear_between(one, two)
        if not closed < clear <= _LONGEST or not _faces(one, two, clear):
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
        remedy=f"Draw the {'gaps' if many else 'gap'} closed with the marker and photograph again; "
        f"gaps up to {closed:g} mm are closed by themselves.",
        table_spots=tuple(
            TableSpot(np.array([one.place, two.place]), label=f"gap of {clear:.0f} mm")
            for clear, one, two in bad
        ),
        code="gap",
    )


def _faces(one: End, two: End, clear: float) -> bool:
    """Whether two ends plainly continue one another, straight on or round a corner."""
    past = aims(one, two)
    if max(past) <= _AIM_LONG:
        return True
    near = min(past) <= _AIM_LONG and clear <= _LONGEST_CORNER
    return near and corner_ahead(one, two, _LONGEST_CORNER) is not None


def _crossed(web: Web, one: End, two: End) -> bool:
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
