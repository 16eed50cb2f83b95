"""A dart put into an outline that was traced with the dart sewn shut."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from shapely import LineString

from tiler.drafting.darts.blend import moved_start
from tiler.drafting.darts.cap import Pressed, dart_cap
from tiler.drafting.darts.dart import Dart
from tiler.drafting.darts.forms import refuse_not_positive
from tiler.drafting.darts.notches import LegNotch
from tiler.drafting.darts.parts import divided
from tiler.drafting.rings import polygon_of, refuse_not_finite, refuse_unsound
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Lies, Line, Mark, Outline
from tiler.pattern.path import Path
from tiler.pattern.segment import Straight, direction
from tiler.pattern.units import format_mm
from tiler.pattern.wishes import Place


@dataclass(frozen=True, slots=True)
class DartOrder:
    """What dart to put where.

    Args:
        at: Where the nearer leg meets the edge: the place that the closed dart has.
        gives: Letter of the neighbouring edge that moves outwards (the side seam).
        length: Millimetres from the seam to the tip, along the middle.
        intake: Millimetres between the leg ends.
        blend: Millimetres along the edge that gives, from its end at the dart's edge, over
            which it comes back to its old way.
        pressed: The side that the dart is pressed to.
        direction: Which way the dart points, from the seam to the tip; None for square to the
            edge.
        drill_short: Millimetres from the drill mark to the tip.
    """

    at: Place
    gives: str
    length: float
    intake: float
    blend: float
    pressed: Pressed
    direction: tuple[float, float] | None = None
    drill_short: float = 10.0


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
    refuse_not_positive(length=order.length, intake=order.intake, blend_distance=order.blend)
    index, gives = _edges(outline, order)
    edge = outline.edges[index]
    forward = gives == (index + 1) % len(outline.edges)
    before, after = _parted(edge, order.at)
    inward = _inward(before, order)
    # Outwards is away from the part that stays: on a clockwise edge that is the way onward.
    sign = 1.0 if forward else -1.0
    by = (inward[1] * -sign * order.intake, inward[0] * sign * order.intake)
    shift = Affine.move(*by)
    left, right = (before, after.moved(shift)) if forward else (before.moved(shift), after)
    middle = Straight(left.end, right.start).at(0.5)
    tip = Point(middle.x + inward[0] * order.length, middle.y + inward[1] * order.length)
    dart = Dart(left.end, tip, right.start)
    cap = dart_cap(left, right, dart, order.pressed)
    opened = replace(edge, path=Path(left.segments + cap.segments + right.segments))
    old = outline.edges[gives]
    side = replace(old, path=_blended(old, by, order.blend, at_start=forward))
    edges = tuple(
        {index: opened, gives: side}.get(number, each) for number, each in enumerate(outline.edges)
    )
    made = replace(outline, edges=edges)
    refuse_unsound(made, "with the dart")
    _refuse_outside(made, dart)
    return Inserted(
        made,
        dart,
        lines=(replace(dart.line, style=outline.style),),
        marks=(replace(dart.drill_point(order.drill_short), style=outline.style),),
        notches=_notches(edge.letter, left, cap, right),
        sewn=left.length + right.length,
        flat=left.length + dart.intake + right.length,
        gave_before=old.path.length,
        gave_after=side.path.length,
        break_sewn=_break(left, right, dart),
    )


def _edges(outline: Outline, order: DartOrder) -> tuple[int, int]:
    """Indexes of the edge that gets the dart and of the one that gives."""
    letters = [edge.letter for edge in outline.edges]
    for letter in (order.at.edge, order.gives):
        if letter not in letters:
            raise PatternError(
                f'there is no edge "{letter}"',
                remedy=f"The outline has {', '.join(letters)}.",
            )
    index, gives = letters.index(order.at.edge), letters.index(order.gives)
    beside = ((index + 1) % len(letters), (index - 1) % len(letters))
    if gives not in beside or gives == index or beside[0] == beside[1]:
        raise PatternError(
            f"edge {order.gives} cannot give width to a dart in edge {order.at.edge}",
            remedy="Name the one edge beside it that is to move outwards, such as the side seam.",
        )
    for number in (index, gives):
        if outline.edges[number].lies is Lies.FOLD:
            raise PatternError(
                f"edge {letters[number]} lies on the fold and has to stay straight",
                remedy="Let the edge at the other end give, or unfold the piece first.",
            )
    return index, gives


def _parted(edge: Edge, at: Place) -> tuple[Path, Path]:
    length = edge.path.length
    if (at.length is None) == (at.fraction is None):
        raise PatternError(
            f"the place of the dart on edge {edge.letter} is not said",
            remedy="Give its distance from the start of the edge, or its share of the edge.",
        )
    along = at.length if at.length is not None else (at.fraction or 0.0) * length
    along = length - along if at.from_end else along
    before, after = divided(edge.path, along) if 0 < along < length else (None, None)
    if before is None or after is None:
        raise PatternError(
            f"{format_mm(along)} from its start is not within edge {edge.letter}, which is "
            f"{format_mm(length)} long",
            remedy="Put the dart between the ends of the edge.",
        )
    return before, after


def _inward(before: Path, order: DartOrder) -> tuple[float, float]:
    """Unit vector from the seam to the tip."""
    x, y = direction(before.segments[-1], 1.0)
    square = (y, -x)
    if order.direction is None:
        return square
    size = math.hypot(*order.direction)
    if not (math.isfinite(size) and size > 0):
        raise PatternError(
            "the direction of the dart has no length", remedy="Give it as two numbers."
        )
    inward = (order.direction[0] / size, order.direction[1] / size)
    if inward[0] * square[0] + inward[1] * square[1] <= 0:
        raise PatternError("the dart points out of the piece", remedy="Turn its direction round.")
    return inward


def _blended(edge: Edge, by: tuple[float, float], over: float, at_start: bool) -> Path:
    length = edge.path.length
    if over > length:
        raise PatternError(
            f"a blend over {format_mm(over)} is longer than edge {edge.letter}, which is "
            f"{format_mm(length)} long",
            remedy="Give a blend distance that ends on the edge.",
        )
    if at_start:
        return moved_start(edge.path, by, over)
    return moved_start(edge.path.reversed(), by, over).reversed()


def _refuse_outside(outline: Outline, dart: Dart) -> None:
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
