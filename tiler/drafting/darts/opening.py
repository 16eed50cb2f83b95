"""An edge opened for a dart: one part of it moves out, and the edge beside it follows."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from tiler.drafting.darts.blend import distance_after, moved_start
from tiler.drafting.darts.cap import Pressed
from tiler.drafting.darts.forms import refuse_not_positive
from tiler.drafting.darts.parts import divided
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Lies, Outline
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
class Opened:
    """An outline with the mouth of a dart in it, straight from leg to leg.

    Args:
        outline: Letters and names as before.
        letter: The dart's edge.
        left: The part of that edge before the dart.
        right: The part after it.
        tip: The dart's tip.
        was: The edge that gives, as it was.
        gave: The same after blending.
        over: Millimetres along it that moved.
        forward: Whether it is the edge after the dart's, so that `right` is the part that moved.
    """

    outline: Outline
    letter: str
    left: Path
    right: Path
    tip: Point
    was: Edge
    gave: Edge
    over: float
    forward: bool

    @property
    def mouth(self) -> tuple[float, float]:
        """Where the legs stand, in millimetres from the start of the opened edge."""
        low = self.left.length
        return low, low + self.left.end.to(self.right.start)

    def carried(self, letter: str, along: float) -> float:
        """Where a place on the old outline lies on the new one.

        Args:
            letter: Of an edge.
            along: Millimetres from the start of that edge as it was.

        Returns:
            Millimetres from the start of the same edge as it is.
        """
        if letter == self.letter:
            low, high = self.mouth
            return along + high - low if along > low else along
        if letter != self.was.letter:
            return along
        old, new = self.was.path, self.gave.path
        if self.forward:
            return distance_after(old, new, self.over, along)
        back = distance_after(old.reversed(), new.reversed(), self.over, old.length - along)
        return new.length - back


def opened(outline: Outline, order: DartOrder) -> Opened:
    """Open an edge for a dart and give the piece the width that the dart takes in.

    The edge is cut at the place. The part towards the edge that gives moves outwards by the
    intake, square to the dart, so that the legs are equal; the edge that gives follows at its
    end and comes back to its old way, without a corner, at the blend distance.

    Args:
        outline: Clockwise.
        order: What to put where.

    Raises:
        PatternError: An edge or a place that is not there, an edge on the fold that would have
            to give, a dart that points out of the piece, or too little room to blend.
    """
    refuse_not_positive(length=order.length, intake=order.intake, blend_distance=order.blend)
    index, gives = _edges(outline, order)
    edge, was = outline.edges[index], outline.edges[gives]
    forward = gives == (index + 1) % len(outline.edges)
    before, after = _parted(edge, order.at)
    inward = _inward(before, order)
    # Outwards is away from the part that stays: on a clockwise edge that is the way onward.
    sign = 1.0 if forward else -1.0
    by = (inward[1] * -sign * order.intake, inward[0] * sign * order.intake)
    shift = Affine.move(*by)
    left, right = (before, after.moved(shift)) if forward else (before.moved(shift), after)
    mouth = Straight(left.end, right.start)
    middle = mouth.at(0.5)
    tip = Point(middle.x + inward[0] * order.length, middle.y + inward[1] * order.length)
    wide = replace(edge, path=Path((*left.segments, mouth, *right.segments)))
    gave = replace(was, path=_blended(was, by, order.blend, at_start=forward))
    edges = tuple(
        {index: wide, gives: gave}.get(number, each) for number, each in enumerate(outline.edges)
    )
    made = replace(outline, edges=edges)
    return Opened(made, edge.letter, left, right, tip, was, gave, order.blend, forward)


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
