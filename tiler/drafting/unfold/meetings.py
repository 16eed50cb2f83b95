"""How squarely lines meet the fold, and what comes of it when the piece is opened."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from tiler.drafting.unfold.half import refuse_not_numbers
from tiler.drafting.unfold.mirror import Axis, angle_between
from tiler.intake.ring import MEETS
from tiler.pattern.affine import Point
from tiler.pattern.model import Lies, Outline, Piece, Role
from tiler.pattern.path import Path
from tiler.pattern.segment import direction

#: A line that meets the fold within so many degrees of a right angle runs on smoothly. Opened,
#: the angle is twice that, so this is 2 degrees on the whole line. Common practice, no source.
FOLD_SQUARE = 1.0
#: Half the chord (millimetres) over which a beak or a dip is measured: 20 mm across.
HALF_CHORD = 10.0

_ENDING = (Role.CUT, Role.STITCH, Role.FOLD)


@dataclass(frozen=True, slots=True)
class FoldMeeting:
    """One line at one end of a fold.

    Args:
        role: CUT or STITCH, or FOLD for the fold of a hem.
        fold: Letter of the edge on the fold.
        letter: Letter of the edge that meets it; empty when it is a line inside.
        name: The maker's word for that edge, or empty.
        style: The style that the line belongs to, or empty.
        at: Where they meet.
        angle: Degrees inside of the piece, between the fold and the line.
    """

    role: Role
    fold: str
    letter: str
    name: str
    style: str
    at: Point
    angle: float

    @property
    def off(self) -> float:
        """Degrees away from a right angle; negative where the opened piece has a beak."""
        return self.angle - 90.0

    @property
    def rise(self) -> float:
        """Millimetres by which the opened line stands out (beak) or, negative, falls in (dip).

        The two tangents at the fold make a triangle over a chord of 20 mm; its height is
        10 mm x cot(angle). The bend of the line itself, which is smooth, is not counted.
        """
        radians = math.radians(self.angle)
        return HALF_CHORD * math.cos(radians) / max(math.sin(radians), 1e-9)

    @property
    def square(self) -> bool:
        """Whether the opened line runs on smoothly, within 1 degree on each side."""
        return abs(self.off) <= FOLD_SQUARE


def fold_angles(piece: Piece) -> tuple[FoldMeeting, ...]:
    """The angles at both ends of each fold edge, of its neighbours and of the lines inside.

    Lines inside count when they are cut, stitch or fold lines with an end on the fold edge
    (within 0.05 mm) that do not lie along it.

    Args:
        piece: With or without folds; without, nothing is found.

    Raises:
        PatternError: A coordinate is not a number.
    """
    refuse_not_numbers(piece, piece.place)
    return tuple(meeting for outline in piece.outlines for meeting in _of_outline(piece, outline))


def _of_outline(piece: Piece, outline: Outline) -> Iterator[FoldMeeting]:
    edges = outline.edges
    for index, edge in enumerate(edges):
        if edge.lies is not Lies.FOLD or edge.path.start == edge.path.end:
            continue
        fold = Axis(edge.path.start, edge.path.end)
        before, after = edges[index - 1], edges[(index + 1) % len(edges)]
        for other, backward in ((before, True), (after, False)):
            if other.lies is Lies.FOLD:
                continue
            path = other.path.reversed() if backward else other.path
            yield FoldMeeting(
                outline.role,
                edge.letter,
                other.letter,
                other.name,
                outline.style,
                path.start,
                _angle(fold, path, at_end=not backward),
            )
        yield from _of_lines(piece, outline, edge.letter, fold)


def _of_lines(piece: Piece, outline: Outline, letter: str, fold: Axis) -> Iterator[FoldMeeting]:
    first = outline is piece.outlines[0]
    for line in piece.lines:
        # A shared line meets the fold of every style's outline; it is told once.
        if line.role not in _ENDING or line.path.closed or not (first or line.style):
            continue
        if line.style and outline.style and line.style != outline.style:
            continue
        if fold.bulge(line.path) <= MEETS:
            continue
        for path in (line.path, line.path.reversed()):
            if _on(fold, path.start):
                # The nearer end of the fold is the one that the line belongs to.
                at_end = path.start.to(fold.end) < path.start.to(fold.start)
                yield FoldMeeting(
                    line.role, letter, "", "", line.style, path.start, _angle(fold, path, at_end)
                )


def _on(fold: Axis, point: Point) -> bool:
    foot = fold.foot(point)
    between = fold.start.to(foot) + foot.to(fold.end) <= fold.length + 2 * MEETS
    return between and foot.to(point) <= MEETS


def _angle(fold: Axis, path: Path, at_end: bool) -> float:
    """Degrees inside of the piece, between the fold and a path that starts at one of its ends."""
    x, y = fold.direction
    inward = (-x, -y) if at_end else (x, y)
    leaving = direction(path.segments[0], 0.0)
    return angle_between(inward, leaving)
