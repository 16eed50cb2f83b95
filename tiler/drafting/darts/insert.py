"""A dart put into an outline that was traced with the dart sewn shut."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from shapely import LineString

from tiler.drafting.darts.cap import dart_cap
from tiler.drafting.darts.dart import Dart
from tiler.drafting.darts.notches import LegNotch
from tiler.drafting.darts.opening import DartOrder, opened
from tiler.drafting.rings import polygon_of, refuse_not_finite, refuse_unsound
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Line, Mark, Outline
from tiler.pattern.path import Path
from tiler.pattern.segment import direction

__all__ = ["DartOrder", "Inserted", "insert_dart", "refuse_outside"]


@dataclass(frozen=True, slots=True)
class Inserted:
    """An outline with a dart in it.

    Args:
        outline: Letters and names as before; the dart's edge holds the cap.
        dart: Where it lies.
        lines: Its legs.
        marks: The drill mark.
        notches: Where its legs stand on the outline.
        sewn: Length (millimetres) of the dart's edge when the dart is sewn: as it was before.
        flat: The same straight across the open dart.
        gave_before: Length (millimetres) of the edge that gives, as it was.
        gave_after: The same after blending.
        break_sewn: Degrees by which the sewn edge breaks at the dart, positive for a hollow.
            On a smooth edge it is the dart's angle, as neither part of the edge is turned; a
            seam that is to run smoothly over the sewn dart has to be redrawn.
    """

    outline: Outline
    dart: Dart
    lines: tuple[Line, ...]
    marks: tuple[Mark, ...]
    notches: tuple[LegNotch, LegNotch]
    sewn: float
    flat: float
    gave_before: float
    gave_after: float
    break_sewn: float


def insert_dart(outline: Outline, order: DartOrder, where: str = "") -> Inserted:
    """Open a dart in an edge and give the piece the width that the dart takes in.

    The edge is cut at the place. The part towards the edge that gives moves outwards by the
    intake, square to the dart, so that the legs are equal; the edge that gives follows at its
    end and comes back to its old way, without a corner, at the blend distance. Lengths are
    those of this outline: give the seam line where the dart is to be measured on the seam.

    Args:
        outline: Clockwise.
        order: What to put where.
        where: File and piece, for messages.

    Raises:
        PatternError: An edge or a place that is not there, an edge on the fold that would have
            to give, a dart that does not lie inside of the piece, too little room to blend, or
            an outline that would cross itself.
    """
    try:
        return _inserted(outline, order)
    except PatternError as error:
        raise (error.within(where) if where else error) from None


def _inserted(outline: Outline, order: DartOrder) -> Inserted:
    for edge in outline.edges:
        refuse_not_finite(edge.path, f"edge {edge.letter}")
    wide = opened(outline, order)
    left, right = wide.left, wide.right
    dart = Dart(left.end, wide.tip, right.start)
    cap = dart_cap(left, right, dart, order.pressed)
    edges = tuple(
        replace(edge, path=Path(left.segments + cap.segments + right.segments))
        if edge.letter == wide.letter
        else edge
        for edge in wide.outline.edges
    )
    made = replace(outline, edges=edges)
    refuse_unsound(made, "with the dart")
    refuse_outside(made, dart)
    return Inserted(
        made,
        dart,
        lines=(replace(dart.line, style=outline.style),),
        marks=(replace(dart.drill_point(order.drill_short), style=outline.style),),
        notches=_notches(wide.letter, left, cap, right),
        sewn=left.length + right.length,
        flat=left.length + dart.intake + right.length,
        gave_before=wide.was.path.length,
        gave_after=wide.gave.path.length,
        break_sewn=_break(left, right, dart),
    )


def refuse_outside(outline: Outline, dart: Dart) -> None:
    """Refuse a dart that leaves its piece.

    Args:
        outline: Of the piece.
        dart: Its leg ends may lie on the outline.

    Raises:
        PatternError: The tip or a leg lies outside.
    """
    inside = polygon_of(outline.path).buffer(0.1)
    if not inside.covers(LineString([dart.left, dart.tip, dart.right])):
        raise PatternError(
            f"the dart's tip at ({dart.tip.x:.1f}, {dart.tip.y:.1f}) mm or one of its legs lies "
            "outside of the piece",
            remedy="Make the dart shorter, or let it point into the piece.",
        )


def _notches(letter: str, left: Path, cap: Path, right: Path) -> tuple[LegNotch, LegNotch]:
    to_left = left.length
    ends = ((left.segments[-1], 1.0, to_left), (right.segments[0], 0.0, to_left + cap.length))
    made = []
    for segment, t, distance in ends:
        x, y = direction(segment, t)
        made.append(LegNotch(letter, distance, segment.at(t), (y, -x)))
    return made[0], made[1]


def _break(left: Path, right: Path, dart: Dart) -> float:
    """Degrees by which the closed edge turns to its left, which is a hollow when clockwise."""
    x, y = direction(left.segments[-1], 1.0)
    closed = right.moved(dart.closing)
    u, v = direction(closed.segments[0], 0.0)
    return math.degrees(math.atan2(x * v - y * u, x * u + y * v))
