"""The sheet of paper that words are printed on: where pages begin, and which are printed."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.layout.plan import Plan
from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds

#: Words keep this far from a joint, millimetres.
JOINT = 1.5
#: A line that runs along a joint nearer than this is taken for it, millimetres.
ALONG = 3.0


@dataclass(frozen=True)
class Ground:
    """Sheet coordinates.

    Args:
        frames: The parts of the sheet that are on one page each, clear of the joints.
        whole: All of the sheet.
        upright: Where joints run up the sheet.
        level: Where joints run across the sheet.
    """

    frames: tuple[Bounds, ...]
    whole: Bounds
    upright: tuple[float, ...]
    level: tuple[float, ...]

    @classmethod
    def of(cls, plan: Plan) -> Ground:
        """The ground of a plan."""
        cores = [plan.grid.core(cell) for cell in plan.cells]
        return cls(
            tuple(core.grown(-JOINT) for core in cores),
            plan.grid.bounds,
            tuple(sorted({x for core in cores for x in (core.left, core.right)})),
            tuple(sorted({y for core in cores for y in (core.bottom, core.top)})),
        )

    def on_one_page(self, box: Bounds) -> bool:
        """Whether a page prints all of a box, clear of its joints."""
        return any(frame.holds(box) for frame in self.frames)

    def printed(self, box: Bounds) -> bool:
        """Whether every corner of a box that crosses joints is on a page that is printed."""
        return all(
            any(frame.grown(JOINT).holds(Bounds(x, y, x, y)) for frame in self.frames)
            for x, y in box.corners()
        )

    def along_joint(self, start: Point, end: Point) -> bool:
        """Whether a straight line could be taken for a joint."""
        if abs(start.x - end.x) < 1.0:
            return any(abs(start.x - x) < ALONG for x in self.upright)
        if abs(start.y - end.y) < 1.0:
            return any(abs(start.y - y) < ALONG for y in self.level)
        return False
