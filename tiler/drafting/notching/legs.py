"""Notches where the legs of darts, carried on, meet the cut line."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tiler.drafting.darts.dart import Dart
from tiler.drafting.darts.drawn import dart_of
from tiler.drafting.darts.folded import fold_leg
from tiler.drafting.darts.notches import leg_notch, leg_notches
from tiler.drafting.darts.parts import distance_to
from tiler.drafting.notching.foot import Rings
from tiler.drafting.notching.shapes import WEDGE, Foot, notch
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Line, Mark, Role, styles_in
from tiler.pattern.wishes import NotchShape

#: A notch this near (millimetres) to the place of a leg's notch is that notch.
_THERE = 1.0
#: A leg that ends this near (millimetres) to a line ends on it.
_STANDS = 0.5
#: How far (millimetres) beside a leg the way of the line is looked at.
_ASIDE = 0.05


def leg_marks(
    lines: Sequence[Line], marks: Sequence[Mark], rings: Rings, shape: NotchShape, where: str
) -> Iterator[Mark]:
    """A notch for each leg of each dart that opens in a stitch line.

    It stands where the leg, carried on straight from the tip, meets the cut line, and is drawn
    square to the seam beside the dart: the cap has a corner there.

    Args:
        lines: Of the piece; those of role DART count.
        marks: Of the piece: where a notch stands already, none is added.
        rings: Of one style.
        shape: How notches are drawn.
        where: File and piece.

    Raises:
        PatternError: A leg does not meet the cut line.
    """
    for line in lines:
        named = styles_in(line.style)
        if line.role is not Role.DART or (named and rings.style and rings.style not in named):
            continue
        try:
            feet = list(_feet(line, rings))
        except PatternError as told:
            raise told.within(where) from None
        for at, beside in feet:
            if not any(m.role is Role.NOTCH and m.at.to(at) <= _THERE for m in marks):
                yield notch(_foot(rings, at, beside), shape, rings.style)


def _feet(line: Line, rings: Rings) -> Iterator[tuple[Point, float]]:
    """Where the legs of a dart meet the cut line, and on which side of it the seam goes on."""
    half = fold_leg(line, rings.stitch)
    if half is not None:
        leg, tip, whole = half
        yield leg_notch(rings.outline, tip, leg, "drawn").at, -1.0 if leg == whole.left else 1.0
        return
    dart = dart_of(line)
    if dart is not None and _opens(dart, rings):
        left, right = leg_notches(rings.outline, dart)
        yield from ((left.at, -1.0), (right.at, 1.0))


def _opens(dart: Dart, rings: Rings) -> bool:
    """Whether both legs end on the stitch line or on the cut line."""
    return all(
        any(
            seeker.nearest(end, _STANDS).distance <= _STANDS
            for seeker in (rings.on_seam, rings.on_paper)
        )
        for end in (dart.left, dart.right)
    )


def _foot(rings: Rings, at: Point, beside: float) -> Foot:
    """The foot at a leg, with the direction that the line has just beside the dart."""
    near = rings.on_paper.nearest(at)
    foot = rings.foot_at(near.segment, near.t)
    along = distance_to(rings.paper, near.segment, near.t)
    _, (x, y) = rings.paper.point_at((along + beside * _ASIDE) % rings.paper.length)
    sides = tuple(Point(at.x + x * by, at.y + y * by) for by in (-WEDGE / 2, WEDGE / 2))
    return Foot(at, (y, -x), foot.width, (sides[0], sides[1]))
