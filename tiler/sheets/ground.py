"""The sheets of paper that words are printed on: where pages end, and which are printed."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tiler.layout.plan import Plan
from tiler.layout.tiles import Cell
from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds

#: Words keep this far from a joint, millimetres.
JOINT = 1.5
#: A line that runs along a joint nearer than this is taken for it, millimetres.
ALONG = 3.0
#: A line that leans from a joint by more than this is told from it, as a slope.
LEANS = 0.02

_Line = tuple[Point, Point]


@dataclass(frozen=True)
class Ground:
    """Sheet coordinates.

    Args:
        frames: The parts of the sheets that are on one page each, clear of the joints.
        whole: All of the sheets.
        joints: Both ends of each line along which two printed pages meet.
    """

    frames: tuple[Bounds, ...]
    whole: Bounds
    joints: tuple[_Line, ...]

    @classmethod
    def of(cls, plan: Plan) -> Ground:
        """The ground of a plan."""
        cores = [plan.grid.core(cell) for cell in plan.cells]
        return cls(
            tuple(core.grown(-JOINT) for core in cores),
            plan.grid.bounds,
            tuple(_line(plan, under, over) for under, over in plan.joints),
        )

    def near(self, bounds: Bounds) -> Ground:
        """The part of the ground that a piece lies on."""
        around = bounds.grown(ALONG + JOINT)
        return Ground(
            tuple(frame for frame in self.frames if frame.grown(JOINT).meets(around)),
            self.whole,
            tuple(line for line in self.joints if _reaches(line, around)),
        )

    def on_one_page(self, box: Bounds) -> bool:
        """Whether a page prints all of a box, clear of its joints."""
        return any(frame.holds(box) for frame in self.frames)

    def on_paper(self, point: Point) -> bool:
        """Whether a point is on a page that is printed."""
        spot = Bounds(*point, *point)
        return any(frame.grown(JOINT).holds(spot) for frame in self.frames)

    def along_joint(self, start: Point, end: Point) -> bool:
        """Whether a straight line could be taken for a joint."""
        return any(_like(start, end, joint) for joint in self.joints)


def _line(plan: Plan, under: Cell, over: Cell) -> _Line:
    core = plan.grid.core(under)
    if under.row == over.row:
        return Point(core.right, core.bottom), Point(core.right, core.top)
    return Point(core.left, core.bottom), Point(core.right, core.bottom)


def _reaches(line: _Line, around: Bounds) -> bool:
    (left, bottom), (right, top) = line
    return (
        left <= around.right
        and around.left <= right
        and bottom <= around.top
        and around.bottom <= top
    )


def _like(start: Point, end: Point, joint: _Line) -> bool:
    """Whether a line runs beside a joint, as good as parallel to it."""
    (x, y), (x2, y2) = joint
    length = math.hypot(x2 - x, y2 - y)
    dx, dy = (x2 - x) / length, (y2 - y) / length
    beside = [(p.y - y) * dx - (p.x - x) * dy for p in (start, end)]
    along = sorted((p.x - x) * dx + (p.y - y) * dy for p in (start, end))
    if abs(beside[1] - beside[0]) > LEANS * start.to(end):
        return False
    return abs(sum(beside) / 2) < ALONG and along[0] < length and along[1] > 0
