"""The edge that a fold bracket points at."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from tiler.intake.photo.lines.crossings import angle_between, unit
from tiler.intake.photo.lines.net import length_of
from tiler.intake.photo.lines.rings import edges_between
from tiler.intake.photo.lines.shapes import Bracket
from tiler.intake.photo.lines.trees import is_straight
from tiler.intake.photo.model import Kind, Points, Traced

#: The bracket's line runs along the edge within this, degrees.
_ALONG = 8.0
#: It lies inside the edge by this much at least and at most (common practice, no source), mm.
_NEAREST, _FURTHEST = 2.0, 60.0
#: Its arms point to the edge within this, degrees.
_TOWARDS = 25.0
#: It may reach past the edge's ends by this, millimetres.
_PAST = 10.0
#: The shortest edge on the fold, millimetres.
_SHORTEST = 30.0


def fold_lines(bracket: Bracket, outlines: Sequence[Traced]) -> list[Traced]:
    """Lines on the edges that a bracket points at: one for all styles, or one for each.

    Empty where it points at no straight edge.
    """
    found: list[Traced] = []
    for outline in outlines:
        edges = [edge for edge in edges_between(outline) if _meant(bracket, edge)]
        if edges:
            edge = min(edges, key=lambda each: _gap(bracket, each))
            found.append(Traced(Kind.FOLD, edge, False, style=outline.style, unsure=outline.unsure))
    if not found or len(found) < len(outlines):
        return found
    first = found[0].points
    if all(_same(line.points, first) for line in found):
        return [replace(found[0], style="")]
    return found


def _same(one: Points, other: Points) -> bool:
    return one.shape == other.shape and bool(np.allclose(one, other))


def _gap(bracket: Bracket, edge: Points) -> float:
    way = unit(edge[-1] - edge[0])
    middle = (bracket.one + bracket.other) / 2
    off = middle - edge[0]
    return abs(float(way[0] * off[1] - way[1] * off[0]))


def _meant(bracket: Bracket, edge: Points) -> bool:
    if length_of(edge) < _SHORTEST or not is_straight(edge, 1.2, 0.006):
        return False
    way = unit(edge[-1] - edge[0])
    lean = angle_between(way, unit(bracket.other - bracket.one))
    if min(lean, 180 - lean) > _ALONG:
        return False
    if not _NEAREST <= _gap(bracket, edge) <= min(_FURTHEST, bracket.arm + 25.0):
        return False
    reach = float(np.hypot(*(edge[-1] - edge[0])))
    for end in (bracket.one, bracket.other):
        at = float((end - edge[0]) @ way)
        if not -_PAST <= at <= reach + _PAST:
            return False
    foot = edge[0] + way * float((bracket.one - edge[0]) @ way)
    return angle_between(unit(foot - bracket.one), bracket.towards) <= _TOWARDS
