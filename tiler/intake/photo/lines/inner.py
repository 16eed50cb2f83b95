"""What lines inside an outline are, as far as their shape alone says so: darts, notches, brackets.

These are taken out of the net of areas before anybody asks which areas belong together.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from tiler.intake.photo.lines.faces import (
    Face,
    Loop,
    faces_of,
    polygon_of,
    ring_points,
)
from tiler.intake.photo.lines.net import Arc, Net, length_of
from tiler.intake.photo.lines.shapes import Bracket, Vee, bracket_of, vee_of
from tiler.intake.photo.lines.trees import is_straight
from tiler.intake.photo.model import Points
from tiler.intake.photo.problem import Doubts, TableSpot

#: Legs up to this (millimetres) make a notch, longer ones a dart.
NOTCH_LEG = 15.0
#: Areas narrower than this (millimetres, in the mean) are a line drawn twice.
_DOUBLE = 2.0
#: A ring inside that has less than this share of the area round it is a pocket or a mark.
SMALL_SHARE = 1 / 6


@dataclass
class Inner:
    """What was taken out.

    Args:
        darts: Open darts, and the colour and doubt of their lines.
        notches: V-shaped notches.
        brackets: Of folds, that touch the edge with both ends, and the line as drawn.
        rings: Closed lines inside, small beside what is round them.
        chords: Other lines that belong to such rings.
    """

    darts: list[tuple[Vee, Arc]] = field(default_factory=list)
    notches: list[tuple[Vee, Arc]] = field(default_factory=list)
    brackets: list[tuple[Bracket, Arc]] = field(default_factory=list)
    rings: list[tuple[Points, Arc]] = field(default_factory=list)
    chords: list[Arc] = field(default_factory=list)


def taken_out(core: Net, doubts: Doubts) -> tuple[Net, Inner]:
    """The net of areas less what its shape says is no outline."""
    found = Inner()
    core = _without_doubles(core, doubts)
    while True:
        gone = _one_more(core, found)
        if not gone:
            break
        core = core.without(gone)
    return _without_small_rings(core, found), found


def sides_of(faces: list[Face]) -> dict[tuple[int, bool], int]:
    """Half -> index of the face on its left."""
    return {half: n for n, face in enumerate(faces) for half in face.halves}


def _one_more(core: Net, found: Inner) -> set[int]:
    """The next line that is a notch, a dart or a bracket; the shortest first."""
    faces = faces_of(core)
    sides = sides_of(faces)
    for key in sorted(core.arcs, key=lambda k: (core.arcs[k].length, k)):
        arc = core.arcs[key]
        if arc.start == arc.end:
            continue
        left, right = sides.get((key, True)), sides.get((key, False))
        both = left is not None and right is not None
        vee = vee_of(arc.points)
        if vee is not None and (both or _stands_out(faces, left, right)):
            if vee.longest <= NOTCH_LEG:
                found.notches.append((vee, arc))
                return {key}
            if both and vee.longest >= 20.0:
                found.darts.append((vee, arc))
                return {key}
        if not both:
            continue
        bracket = bracket_of(arc.points)
        if bracket is not None and any(
            _along_straight_edge(core, faces[side], key)
            for side in (left, right)
            if side is not None
        ):
            found.brackets.append((bracket, arc))
            return {key}
    return set()


def _stands_out(faces: list[Face], left: int | None, right: int | None) -> bool:
    """Whether a line to the outside goes round nothing but the area of a notch."""
    side = left if left is not None else right
    return side is not None and faces[side].area < 150.0 and len(faces[side].halves) == 2


def _along_straight_edge(core: Net, face: Face, key: int) -> bool:
    """Whether an area lies between a line and one straight stretch of another."""
    others = [half for half in face.halves if half[0] != key]
    return len(face.loops) == 1 and len(others) == 1 and is_straight(core.points(others[0]), 1.5)


def _without_doubles(core: Net, doubts: Doubts) -> Net:
    """The net with one line where the marker went over a line again and came beside it."""
    while True:
        for face in faces_of(core):
            outline = ring_points(core, face.loops[0])
            around = length_of(np.vstack([outline, outline[:1]]))
            if len(face.halves) != 2 or face.area > _DOUBLE * around / 2:
                continue
            one, other = sorted(face.halves, key=lambda half: core.arcs[half[0]].length)
            if one[0] == other[0] or core.arcs[one[0]].ink != core.arcs[other[0]].ink:
                continue
            if vee_of(core.arcs[other[0]].points) and not vee_of(core.arcs[one[0]].points):
                continue
            doubts.add(
                "drawn-twice",
                f"A line is drawn twice over {around / 2:.0f} mm, and the shorter of the two was "
                "taken. If the other one is right, cover the wrong one and take the photo again.",
                table=(TableSpot(outline, True, "drawn twice"),),
            )
            core = core.without([other[0]])
            break
        else:
            return core


def _without_small_rings(core: Net, found: Inner) -> Net:
    """The net less rings that lie in a much larger area and touch nothing."""
    while True:
        gone: set[int] = set()
        for face in faces_of(core):
            for hole in face.loops[1:]:
                around = polygon_of(ring_points(core, face.loops[0]))
                ring = ring_points(core, _forward(hole))
                inside = polygon_of(ring)
                if inside.area < SMALL_SHARE * around.area:
                    gone = _part_of(core, hole)
                    edge = {key for key, _ in hole}
                    found.rings.append(
                        (ring, core.arcs[max(edge, key=lambda k: core.arcs[k].length)])
                    )
                    found.chords += [core.arcs[key] for key in sorted(gone - edge)]
                    break
            if gone:
                break
        if not gone:
            return core
        core = core.without(gone)


def _forward(hole: Loop) -> Loop:
    """The way round a hole, the other way about."""
    return tuple((key, not forward) for key, forward in reversed(hole))


def _part_of(core: Net, loop: Loop) -> set[int]:
    """All arcs that hang together with a loop."""
    found: set[int] = set()
    todo = [key for key, _ in loop]
    while todo:
        key = todo.pop()
        if key in found:
            continue
        found.add(key)
        arc = core.arcs[key]
        todo += [k for node in (arc.start, arc.end) for k, _ in core.leaving[node]]
    return found
