"""What a maker's wish for a dart with one tip means on a stitch line."""

from __future__ import annotations

import math

from tiler.drafting.darts.cap import Pressed
from tiler.drafting.darts.check import CheckIntake, intake_from_check
from tiler.drafting.darts.dart import Dart
from tiler.drafting.darts.forms import refuse_not_positive
from tiler.drafting.darts.mouth import Mouth
from tiler.drafting.darts.opening import DartOrder
from tiler.drafting.marking.places import edge_named
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Outline
from tiler.pattern.units import format_mm
from tiler.pattern.wishes import CheckCloth, DartWish, Place

#: Millimetres by which a drill mark stays short of the tip, so that the sewn dart covers the hole.
#: Common practice, no source.
DRILL_SHORT = 10.0
#: In a short dart it is this share of the dart's length.
_SHARE = 0.2
#: A leg may lie so far (millimetres) beyond the end of its edge and still mean the end.
_BEYOND = 0.05


def intake_of_wish(wish: DartWish) -> CheckIntake:
    """The intake in millimetres; without uncertainty where the maker has said it.

    Both spacings of a check cloth count as read over the same number of repeats, each reading to
    0.5 mm.

    Raises:
        PatternError: An intake that is not positive.
    """
    if isinstance(wish.intake, CheckCloth):
        cloth = wish.intake
        over = cloth.repeats
        return intake_from_check(cloth.flat, cloth.sewn, over, flat_over=over, sewn_over=over)
    refuse_not_positive(intake=wish.intake)
    return CheckIntake(wish.intake, 0.0)


def drill_short(dart: Dart) -> float:
    """How far a drill mark stays short of the tip, in millimetres."""
    depth = min(dart.legs) * math.cos(math.radians(dart.angle) / 2)
    return min(DRILL_SHORT, depth * _SHARE)


def inward_at(
    ring: Outline, letter: str, along: float, slant: float
) -> tuple[Point, tuple[float, float]]:
    """A place on the stitch line, and the unit vector of a dart that leans there.

    Args:
        ring: Clockwise.
        letter: The edge.
        along: Millimetres from its start.
        slant: Degrees from square to the edge, anticlockwise.

    Raises:
        PatternError: The dart would not point into the piece.
    """
    if not -90 < slant < 90:
        raise PatternError(
            f"a dart cannot lean by {slant:g} degrees",
            remedy="Give between -90 and 90 degrees from square to the edge.",
        )
    point, (x, y) = edge_named(ring, letter, "").path.point_at(along)
    inward = Affine.turn(slant)(Point(y, -x))
    return point, (inward.x, inward.y)


def order_of(
    wish: DartWish, ring: Outline, place: tuple[str, float], pressed: Pressed
) -> tuple[DartOrder, CheckIntake]:
    """The order for a dart that an edge gives width for.

    Args:
        wish: With `gives`.
        ring: As it is now.
        place: Where the dart has come to lie on it.
        pressed: To which side.

    Raises:
        PatternError: A measure that is not positive, or a dart that does not point inwards.
    """
    letter, along = place
    try:
        intake = intake_of_wish(wish)
        _, inward = inward_at(ring, letter, along, wish.slant)
    except PatternError as told:
        raise told.within(wish.where) if wish.where else told from None
    order = DartOrder(
        Place(letter, length=along),
        wish.gives,
        wish.length,
        intake.value,
        wish.blend,
        pressed,
        direction=inward,
    )
    return order, intake


def cut_mouth(
    wish: DartWish, ring: Outline, place: tuple[str, float], pressed: Pressed, where: str
) -> Mouth:
    """The mouth of a dart in an edge that has the width already.

    Its legs stand half of the intake before and behind the place, along the edge. Where one of
    them comes to stand at the end of the edge, the dart has one side only there.

    Args:
        wish: Without `gives`.
        ring: As it is now.
        place: Where the dart has come to lie on it.
        pressed: To which side.
        where: For messages.

    Raises:
        PatternError: A measure that is not positive, or a mouth that is not on the edge.
    """
    letter, along = place
    try:
        intake = intake_of_wish(wish).value
        refuse_not_positive(length=wish.length)
        point, (x, y) = inward_at(ring, letter, along, wish.slant)
    except PatternError as told:
        raise told.within(where) from None
    length = edge_named(ring, letter, where).path.length
    low, high = along - intake / 2, along + intake / 2
    if low < -_BEYOND or high > length + _BEYOND:
        raise PatternError(
            f"a dart that takes in {format_mm(intake)} at {format_mm(along)} from the start of "
            f"edge {letter} reaches beyond its end: the edge is {format_mm(length)} long",
            where=where,
            remedy="Move the dart by half of its intake from the corner at least, or let the "
            "edge beside it give the width.",
        )
    tip = Point(point.x + x * wish.length, point.y + y * wish.length)
    return Mouth(letter, max(low, 0.0), min(high, length), tip, pressed, where)
