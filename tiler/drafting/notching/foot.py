"""From a place on the stitch line square out to the cut line."""

from __future__ import annotations

from functools import cached_property

from tiler.drafting.darts.parts import crossings, distance_to
from tiler.drafting.notching.shapes import WEDGE, Foot
from tiler.drafting.unfold.mirror import Axis
from tiler.intake.nearest import Seeker
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Outline, Role
from tiler.pattern.path import Path
from tiler.pattern.segment import direction

#: How far (millimetres) inside of the stitch line the way outwards begins, so that a cut line on
#: the stitch line is met.
_BEHIND = 0.01


class Rings:
    """The stitch line of a style and the line that its notches stand on.

    Args:
        stitch: The stitch line.
        outline: The cut line, or the stitch line again where there is none.
    """

    def __init__(self, stitch: Outline, outline: Outline) -> None:
        self.stitch = stitch
        self.outline = outline

    @property
    def style(self) -> str:
        """The style that both belong to, or empty."""
        return self.outline.style

    @cached_property
    def paper(self) -> Path:
        """The line that is cut along, as one ring."""
        return self.outline.path

    @cached_property
    def seam(self) -> Path:
        """The stitch line as one ring."""
        return self.stitch.path

    @cached_property
    def on_paper(self) -> Seeker:
        """Finds places on the line that is cut along."""
        return Seeker(self.paper)

    @cached_property
    def on_seam(self) -> Seeker:
        """Finds places on the stitch line."""
        return Seeker(self.seam)

    def foot(self, edge: Edge, along: float, where: str) -> Foot:
        """The foot of a notch that means a place on an edge of the stitch line.

        Args:
            edge: Of the stitch line.
            along: Millimetres from its start.
            where: For the message.

        Raises:
            PatternError: Square to the stitch line there is no cut line.
        """
        at, (x, y) = edge.path.point_at(along)
        return self.square_out(at, (-y, x), where)

    def square_out(self, at: Point, outward: tuple[float, float], where: str) -> Foot:
        """The foot of a notch from a place on the stitch line along a unit vector outwards.

        Raises:
            PatternError: There is no cut line that way.
        """
        x, y = outward
        begin = Point(at.x - x * _BEHIND, at.y - y * _BEHIND)
        ray = Axis(begin, Point(at.x + x, at.y + y))
        met = [
            (begin.to(self.paper.segments[index].at(t)), index, t)
            for index, t in crossings(self.paper, ray)
        ]
        if not met:
            raise PatternError(
                f"square to the stitch line at ({at.x:.1f}, {at.y:.1f}) mm there is no cut line",
                where=where,
                remedy="Put the notch further from the corner.",
            )
        _, index, t = min(met)
        return self.foot_at(index, t)

    def foot_at(self, index: int, t: float) -> Foot:
        """The foot at a parameter of a segment of the cut line.

        Args:
            index: Of the segment.
            t: Its parameter.
        """
        segment = self.paper.segments[index]
        at, (x, y) = segment.at(t), direction(segment, t)
        known = self.outline.role is Role.CUT
        along, whole = distance_to(self.paper, index, t), self.paper.length
        sides = [self.paper.point_at((along + by) % whole)[0] for by in (-WEDGE / 2, WEDGE / 2)]
        return Foot(
            at, (y, -x), self.on_seam.nearest(at).distance if known else None, (sides[0], sides[1])
        )
