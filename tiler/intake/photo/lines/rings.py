"""Outlines from the edges of areas, with corners, and point for point alike where styles share."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely

from tiler.intake.photo.lines.faces import Face, Loop, outline_loops, ring_points
from tiler.intake.photo.lines.net import Net, extent_of
from tiler.intake.photo.lines.turns import with_corners
from tiler.intake.photo.model import Kind, Points, Traced
from tiler.intake.photo.problem import CaptureError, TableSpot

#: Smaller outlines (millimetres across) are marks or writing.
SMALLEST = 30.0
#: A loop up to this (millimetres round) is noise where lines meet at a sharp angle.
_KNOT = 8.0


@dataclass
class Shared:
    """Arcs whose corners have been looked for.

    Args:
        points: Key of an arc -> its points from node to node.
        corners: Key of an arc -> indices of corners among them.
    """

    points: dict[int, Points] = field(default_factory=dict)
    corners: dict[int, tuple[int, ...]] = field(default_factory=dict)


def outline_of(
    net: Net, faces: Sequence[Face], style: str, shared: Shared, what: str
) -> tuple[Traced, frozenset[int]]:
    """The outline round some areas, and the arcs that it consists of.

    Args:
        net: With the areas' arcs.
        faces: The areas.
        style: Name of the style; empty for none.
        shared: What other styles of the piece have settled; added to.
        what: Piece or style, for messages.

    Raises:
        CaptureError: The areas do not hang together, have a hole, are too small, or the line
            crosses itself.
    """
    loops = outline_loops(net, faces)
    if len(loops) != 1:
        letters = "".join(face.letter for face in faces)
        raise CaptureError(
            f"the areas {letters}{what} do not make one outline: they lie apart, meet at a point "
            "only, or go round a hole",
            remedy="Name areas that share an edge, and the ones between them too.",
            table_spots=tuple(TableSpot(ring_points(net, loop), True) for loop in loops),
            code="areas-apart",
        )
    loop = loops[0]
    points, corners = _with_shared(net, loop, shared)
    if len(points) > 3:
        points, corners = _without_knots(points, corners)
    if extent_of(points) < SMALLEST or len(points) < 4:
        raise CaptureError(
            f"the outline{what} is only {extent_of(points):.0f} mm across",
            remedy="Only outlines of 30 mm and more are read. Check the scale of the cards, or "
            "draw such a piece by itself in the folder.",
            table_spots=(TableSpot(points, True, "too small"),),
            code="outline-small",
        )
    arcs = [net.arcs[key] for key, _ in loop]
    bridged = np.vstack([arc.bridged for arc in arcs])
    unsure = max(arc.unsure for arc in arcs)
    keys = frozenset(key for key, _ in loop)
    return Traced(Kind.OUTLINE, points, True, corners, style, bridged, unsure), keys


def _with_shared(net: Net, loop: Loop, shared: Shared) -> tuple[Points, tuple[int, ...]]:
    parts: list[Points] = []
    starts: list[int] = []
    settled: set[int] = set()
    known: set[int] = set()
    count = 0
    for key, forward in loop:
        arc = shared.points.get(key, net.arcs[key].points)
        points = (arc if forward else arc[::-1])[:-1]
        starts.append(count)
        if key in shared.points:
            settled |= set(range(count + 1, count + len(points)))
            last = len(arc) - 1
            known |= {count + (c if forward else last - c) for c in shared.corners[key]}
        parts.append(points)
        count += len(points)
    raw = np.vstack(parts)
    # Where one arc goes all the way round, its node is where it happens to begin.
    kept = starts if len(loop) > 1 else []
    made, corners, back = with_corners(raw, True, kept, settled)
    old = {was: now for now, was in back.items()}
    flags = {c for c in corners if back[c] not in settled} | {old[k] for k in known}
    if len(loop) > 1:
        ends = [*(old[start] for start in starts), len(made)]
        around = np.vstack([made, made[:1]])
        for n, (key, forward) in enumerate(loop):
            if key in shared.points:
                continue
            part = around[ends[n] : ends[n + 1] + 1]
            inner = [c - ends[n] for c in flags if ends[n] < c < ends[n + 1]]
            last = len(part) - 1
            shared.points[key] = part if forward else part[::-1]
            shared.corners[key] = tuple(sorted(c if forward else last - c for c in inner))
    return made, tuple(sorted(flags))


def _without_knots(points: Points, corners: tuple[int, ...]) -> tuple[Points, tuple[int, ...]]:
    """The ring less tiny loops where noisy legs of a sharp corner cross.

    Raises:
        CaptureError: It crosses itself in earnest.
    """
    while len(points) > 3:
        ring = shapely.LinearRing(points)
        if ring.is_simple:
            return points, corners
        place = _crossing(points)
        if place is None:
            return points, corners
        first, second = place
        inside = (
            list(range(first + 1, second + 1))
            if (second - first) <= len(points) / 2
            else [*range(second + 1, len(points)), *range(first + 1)]
        )
        loop = points[inside]
        around = float(np.hypot(*np.diff(loop, axis=0).T).sum()) if len(loop) > 1 else 0.0
        if around > _KNOT:
            raise CaptureError(
                "the outline crosses itself",
                remedy="Draw the outline as one line that does not cross itself, and take the "
                "photo again.",
                table_spots=(
                    TableSpot(points[first][None, :], False, "crosses itself"),
                    TableSpot(points, True),
                ),
                code="outline-crosses",
            )
        marks = [i for i in inside if i in corners]
        keep = marks[len(marks) // 2] if marks else inside[len(inside) // 2]
        gone = set(inside) - {keep}
        left = [i for i in range(len(points)) if i not in gone]
        corners = tuple(n for n, i in enumerate(left) if i in corners)
        points = points[left]
    return points, corners


def _crossing(points: Points) -> tuple[int, int] | None:
    """Two chords of a ring that cross, by the index of their first points."""
    after = np.roll(points, -1, axis=0)
    chords = [shapely.LineString(pair) for pair in np.stack([points, after], axis=1)]
    one, other = shapely.STRtree(chords).query(chords, predicate="intersects")
    size = len(points)
    for a, b in sorted(zip(one.tolist(), other.tolist(), strict=True)):
        if b > a + 1 and not (a == 0 and b == size - 1):
            return int(a), int(b)
    return None


def edges_between(outline: Traced) -> list[Points]:
    """The stretches of an outline from corner to corner; the whole of it without corners."""
    points, marks = outline.points, list(outline.corners)
    if not marks:
        return [np.vstack([points, points[:1]])]
    found = []
    for n, start in enumerate(marks):
        end = marks[(n + 1) % len(marks)]
        stretch = (
            points[start : end + 1]
            if end > start
            else np.vstack([points[start:], points[: end + 1]])
        )
        found.append(stretch)
    return found
