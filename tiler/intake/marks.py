"""Notches and drill points: the point that a drawn mark means."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from tiler.intake.drawn import DrawnPath
from tiler.intake.nearest import Seeker, evenly
from tiler.pattern.affine import Point
from tiler.pattern.model import Mark, Role
from tiler.pattern.path import Path
from tiler.pattern.segment import Straight

#: How far (millimetres) a notch may end from the line that it stands on.
SNAP = 0.5


def notch_from(drawn: DrawnPath, lines: Sequence[Seeker]) -> tuple[Mark, float]:
    """A notch, and how far (millimetres) it was from the nearest cut line.

    The point meant is where the notch meets the line. A notch drawn as a V or a loop meets it
    with several nodes; the middle of them is meant. One that touches nothing keeps the point
    that is nearest to a line.

    Args:
        drawn: The notch.
        lines: Outlines (and style lines) that it may stand on, at least one.
    """
    nodes = list(dict.fromkeys(drawn.path.nodes()))
    distance, line = min(
        ((min(line.nearest(node).distance for node in nodes), line) for line in lines),
        key=lambda pair: pair[0],
    )
    if distance <= SNAP:
        touching = [node for node in nodes if line.nearest(node).distance <= SNAP]
        at = line.nearest(_mean(touching)).point
        return Mark(Role.NOTCH, at, drawn.path, drawn.style), distance
    # A notch may also cross the line with both ends off it.
    step = max(SNAP / 2, drawn.path.length / 200)
    places = [(line.nearest(p), p) for line in lines for p in evenly(drawn.path, step)]
    near, point = min(places, key=lambda pair: pair[0].distance)
    at = near.point if near.distance <= SNAP else point
    return Mark(Role.NOTCH, at, drawn.path, drawn.style), near.distance


def drills_from(drawn: Sequence[DrawnPath], role: Role = Role.DRILL) -> tuple[Mark, ...]:
    """Drill points or buttons, each at the centre of what is drawn; two strokes can be one."""
    marks: list[Mark] = []
    strokes: dict[tuple[str, str], list[Path]] = {}
    for each in drawn:
        middle = each.path.bounds.centre
        if not _straight(each.path):
            marks.append(Mark(role, middle, each.path, each.style))
            continue
        partners = strokes.setdefault((each.style, each.element), [])
        partner = next((p for p in partners if p.bounds.centre.to(middle) <= SNAP), None)
        if partner is None:
            partners.append(each.path)
            continue
        partners.remove(partner)
        marks.append(Mark(role, middle, _cross(partner, each.path, middle), each.style))
    for (style, _), left in strokes.items():
        marks += [Mark(role, path.bounds.centre, path, style) for path in left]
    return tuple(marks)


def drill_cross(middle: Point, half: float) -> Path:
    """A drill mark of two strokes, drawn in one go, each reaching so far (millimetres) out."""
    level = Path((Straight(Point(middle.x - half, middle.y), Point(middle.x + half, middle.y)),))
    upright = Path((Straight(Point(middle.x, middle.y - half), Point(middle.x, middle.y + half)),))
    return _cross(level, upright, middle)


def _straight(path: Path) -> bool:
    return len(path.segments) == 1 and isinstance(path.segments[0], Straight)


def _cross(one: Path, other: Path, middle: Point) -> Path:
    """Two strokes as one line, which goes back to the middle over what it has drawn."""
    points = (one.start, one.end, middle, other.start, other.end)
    return Path(tuple(Straight(a, b) for a, b in pairwise(points)))


def _mean(points: Sequence[Point]) -> Point:
    return Point(sum(p.x for p in points) / len(points), sum(p.y for p in points) / len(points))
