"""Darts with two tips: put beside an edge, or drawn and trued."""

from __future__ import annotations

import math
from dataclasses import replace

from shapely import LineString

from tiler.drafting.darts.dart import Dart, FisheyeDart
from tiler.drafting.darts.drawn import fisheye_of
from tiler.drafting.darts.followers import within
from tiler.drafting.darts.forms import refuse_not_positive
from tiler.drafting.darts.single import drill_short
from tiler.drafting.marking.places import distance_along, edge_named
from tiler.drafting.rings import polygon_of
from tiler.drafting.unfold.mirror import Axis
from tiler.intake.ring import MEETS
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Finding, Line, Mark, Outline, Role, Severity
from tiler.pattern.units import format_mm
from tiler.pattern.wishes import FisheyeWish

#: Millimetres by which the drill marks of the widest place stay inside of the sewn line. Common
#: practice, no source.
_INSIDE = 3.0


def wished_fisheye(
    wish: FisheyeWish, traced: Outline, ring: Outline, where: str
) -> tuple[Line, tuple[Mark, ...]]:
    """A dart with two tips, parallel to an edge at the given place.

    Args:
        wish: What is asked.
        traced: The stitch line on which the place is measured.
        ring: The stitch line in which the dart has to lie.
        where: For messages.

    Raises:
        PatternError: A measure that is not positive, a place off its edge, or a dart that does
            not lie inside of the piece.
    """
    ahead, back = wish.lengths
    try:
        refuse_not_positive(
            intake=wish.intake, length_ahead=ahead, length_back=back, distance_inside=wish.inside
        )
    except PatternError as told:
        raise told.within(where) from None
    edge = edge_named(traced, wish.beside.edge, where)
    point, (x, y) = edge.path.point_at(distance_along(edge, wish.beside, where))

    def place(along: float, deep: float) -> Point:
        # Clockwise, so the inside is on the right of the way.
        return Point(point.x + x * along + y * deep, point.y + y * along - x * deep)

    half = wish.intake / 2
    dart = FisheyeDart(
        place(0, wish.inside + half),
        place(0, wish.inside - half),
        (place(ahead, wish.inside), place(-back, wish.inside)),
    )
    if not polygon_of(ring.path).contains(LineString(dart.line.path.flattened())):
        raise PatternError(
            "the dart with two tips does not lie inside of the piece",
            where=where,
            remedy=f"Put it further from edge {edge.letter}, or make it shorter.",
        )
    return dart.line, drills_of(dart)


def drills_of(dart: FisheyeDart) -> tuple[Mark, Mark, Mark, Mark]:
    """Its four drill marks: before each tip, and inside of each side of the widest place."""
    first, second = dart.halves
    short = min(drill_short(first), drill_short(second))
    return dart.drill_points(short, inside=min(_INSIDE, dart.intake / 4))


def trued_fisheye(dart: FisheyeDart) -> FisheyeDart:
    """The dart with both legs to each tip as long as their mean; its tips stay.

    The widest places become the two points at those distances from the tips: where two circles
    meet, one on each side of the line between the tips.
    """
    (a, b), (c, d) = (half.legs for half in dart.halves)
    one, other = (a + b) / 2, (c + d) / 2
    tips = Axis(*dart.tips)
    x, y = tips.direction
    along = (tips.length**2 + one**2 - other**2) / (2 * tips.length)
    # Both drawn sides are triangles over the tips, so their mean lengths make one too.
    out = math.sqrt(one**2 - along**2)
    foot = Point(tips.start.x + x * along, tips.start.y + y * along)
    left = Point(foot.x - y * out, foot.y + x * out)
    right = Point(foot.x + y * out, foot.y - x * out)
    return FisheyeDart(left, right, dart.tips)


def drawn_fisheyes(lines: list[Line], marks: list[Mark], style: str, where: str) -> list[Finding]:
    """True the drawn darts with two tips, and drill those that have no drill marks yet.

    Args:
        lines: Of the piece; trued darts take the place of the drawn ones.
        marks: Of the piece; drill marks are added.
        style: Of the stitch line; darts of other styles are left.
        where: File and piece.

    Returns:
        A note for every dart that was trued.
    """
    findings: list[Finding] = []
    for index, line in enumerate(lines):
        drawn = fisheye_of(line) if not style or line.style in ("", style) else None
        if drawn is None:
            continue
        dart = trued_fisheye(drawn)
        legs = [leg for half in drawn.halves for leg in half.legs]
        off = max(abs(legs[0] - legs[1]), abs(legs[2] - legs[3]))
        if off > MEETS:
            lines[index] = replace(dart.line, style=line.style)
            findings.append(_trued(dart, off, where))
        halves: tuple[Dart, Dart] = dart.halves
        drilled = [
            m for m in marks if m.role is Role.DRILL and any(within(h, m.at) for h in halves)
        ]
        if not drilled:
            marks += (replace(mark, style=line.style) for mark in drills_of(dart))
    return findings


def _trued(dart: FisheyeDart, off: float, where: str) -> Finding:
    return Finding(
        "dart-legs-trued",
        Severity.NOTE,
        where,
        f"The legs of the dart with tips at ({dart.tips[0].x:.1f}, {dart.tips[0].y:.1f}) and "
        f"({dart.tips[1].x:.1f}, {dart.tips[1].y:.1f}) mm differed by {format_mm(off, 2)}; both to "
        "each tip now have the mean of their lengths.",
    )
