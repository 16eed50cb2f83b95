"""Hems and sleeve ends that turn up: the allowance as the mirror image of the body."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tiler.drafting.allowance.arms import Arm, End, Place, first_root
from tiler.drafting.allowance.corners import exterior, mitred
from tiler.drafting.allowance.curves import (
    Bit,
    Curve,
    Floats,
    Shifted,
    Vector,
    along,
    between,
    dot,
    line,
)
from tiler.drafting.allowance.finish import MITRE_LIMIT
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError

_LOOKS = 16


@dataclass(frozen=True, slots=True)
class FoldLine:
    """A hem's stitch line, on which it turns up, run on straight past the corner.

    Args:
        corner: Where hem and side meet.
        heading: Unit direction in which the hem leaves it.
        outward: Unit normal there, away from the body.
        bits: The hem's stitch line, leaving the corner.
    """

    corner: Point
    heading: Vector
    outward: Vector
    bits: tuple[Bit, ...]

    @property
    def straight(self) -> bool:
        """Whether the whole line is straight."""
        return len(self.bits) == 1 and self.bits[0].straight

    def foot(self, point: Point) -> tuple[Point, Vector]:
        """The nearest place on the line, and its outward normal."""
        ahead = dot(between(self.corner, point), self.heading)
        if ahead <= 0 or self.straight:
            return along(self.corner, self.heading, ahead), self.outward
        place = self._nearest(point)
        bit = self.bits[place.index]
        dx, dy = bit.heading(place.s)
        left = self.outward[1] * self.heading[0] - self.outward[0] * self.heading[1] > 0
        return bit.at(place.s), (-dy, dx) if left else (dy, -dx)

    def place(self, point: Point) -> Place | None:
        """Where the nearest place is on the bits; None on the continuation past the corner."""
        ahead = dot(between(self.corner, point), self.heading)
        if ahead <= 0:
            return None
        if self.straight:
            return Place(0, min(ahead / self.corner.to(self.bits[0].at(1.0)), 1.0))
        return self._nearest(point)

    def height(self, point: Point) -> float:
        """Millimetres above the line, positive on the side of the body."""
        foot, outward = self.foot(point)
        return -dot(between(foot, point), outward)

    def _nearest(self, point: Point) -> Place:
        _, index, step = min(
            (point.to(bit.at(step / _LOOKS)), index, step)
            for index, bit in enumerate(self.bits)
            for step in range(_LOOKS + 1)
        )
        bit = self.bits[index]
        low, high = max(step - 1, 0) / _LOOKS, min(step + 1, _LOOKS) / _LOOKS
        for _ in range(60):
            middle = (low + high) / 2
            if dot(between(bit.at(middle), point), bit.heading(middle)) > 0:
                low = middle
            else:
                high = middle
            if high - low < 1e-15:
                break
        return Place(index, (low + high) / 2)


@dataclass(frozen=True, slots=True)
class Folded:
    """A curve turned over a fold line: every point as far on the other side of its foot."""

    curve: Curve
    fold: FoldLine

    @property
    def straight(self) -> bool:
        """Whether it is a straight line."""
        return self.curve.straight and self.fold.straight

    def at(self, t: float) -> Point:
        """The point at parameter t."""
        point = self.curve.at(t)
        foot, _ = self.fold.foot(point)
        return Point(2 * foot.x - point.x, 2 * foot.y - point.y)

    def heading(self, t: float) -> Vector:
        """The unit direction at parameter t."""
        # Mirrored about the tangent at the foot; the fold's own bend changes only the length of
        # the part along it, which a difference quotient catches.
        step = 1e-6
        low, high = self.at(t - step), self.at(t + step)
        size = low.to(high)
        return ((high.x - low.x) / size, (high.y - low.y) / size) if size else (1.0, 0.0)

    def sampled(self, shares: Floats) -> tuple[Floats, Floats]:
        """Points and unit directions at many parameters, each an array of pairs."""
        each = [float(share) for share in shares]
        return np.array([self.at(t) for t in each]), np.array([self.heading(t) for t in each])


def reflected(
    side: Arm, hem: Arm, fold_bits: Sequence[Bit], names: Sequence[str]
) -> tuple[End, End]:
    """Finish the corner between a side and a hem that turns up on its stitch line.

    The side's cut line is followed to the fold line; beyond it runs the mirror image of the part
    of itself that lies within the hem's width above the fold, and ends on the hem's cut line.

    Args:
        side: The edge whose allowance is mirrored.
        hem: The edge that turns up.
        fold_bits: The hem's stitch line, leaving the corner.
        names: The edges' names, for messages.

    At a corner so sharp that the side's cut line meets the fold line further off than the mitre
    limit (in widths of the side), the point is cut off there, square to the fold line on both
    sides of it, so that what turns up still lies on what is above.

    Returns:
        How the side's and the hem's cut lines leave their corner. The mirrored part belongs to the
        side, as its seam runs on into the hem.

    Raises:
        PatternError: The side is too short to be mirrored.
    """
    sine, cosine = exterior(side, hem)
    if sine < 1e-6 or hem.width == 0:
        return mitred(side, hem, MITRE_LIMIT)
    fold = FoldLine(hem.corner, hem.heading, hem.outward, tuple(fold_bits))
    running_on: tuple[Bit, ...] = ()
    if side.width * cosine < -1e-12:
        running_on = _running_on(side, hem, sine, cosine)
        enters = Place(0, 0.0)
    else:
        found = Place(0, 0.0) if side.width * cosine < 1e-12 else first_root(side.bits, fold.height)
        if found is None:
            raise _too_short(side, hem, names)
        enters = found
    turned, left = _mirrored(running_on, enters, side, hem, fold, names)
    meets = turned[0].at(0.0)
    foot, place = fold.foot(left)[0], fold.place(left)
    if place is None:
        stub = (line(meets, hem.foot, hem.owner),) if meets.to(hem.foot) > 1e-9 else ()
        return End((*turned, *running_on), enters), End(stub)
    return End((*turned, *running_on), enters), End((), _on_offset(hem, fold, place, foot))


def _running_on(side: Arm, hem: Arm, sine: float, cosine: float) -> tuple[Bit, ...]:
    """The side's cut line from the straight continuation of the fold line to its own beginning."""
    reach = MITRE_LIMIT * side.width
    if side.width <= reach * sine:
        start = along(hem.corner, hem.heading, -side.width / sine)
        return (line(start, side.foot, side.owner),)
    start = along(hem.corner, hem.heading, -reach)
    # The side leaves the corner at the angle whose cosine is -cosine, its offset runs beside it.
    top = along(start, hem.outward, -(side.width - reach * sine) / -cosine)
    return line(start, top, side.owner), line(top, side.foot, side.owner)


def _mirrored(
    running_on: tuple[Bit, ...],
    enters: Place,
    side: Arm,
    hem: Arm,
    fold: FoldLine,
    names: Sequence[str],
) -> tuple[list[Bit], Point]:
    """The mirrored bits from the hem's cut line to the fold, and the unmirrored end."""
    first = side.bits[enters.index].part(enters.s, 1.0)
    above = (*running_on, first, *side.bits[enters.index + 1 :])
    place = first_root(above, lambda point: fold.height(point) - hem.width)
    if place is None:
        raise _too_short(side, hem, names)
    last = above[place.index].part(0.0, place.s)
    kept = [bit for bit in (*above[: place.index], last) if bit.start != bit.end]
    turned = [
        Bit(Folded(bit.curve, fold), bit.end, bit.start, side.owner, bit.turned_back)
        for bit in reversed(kept)
    ]
    return turned, last.at(1.0)


def _on_offset(hem: Arm, fold: FoldLine, place: Place, foot: Point) -> Place:
    """The place on the hem's offset beside a place on its stitch line."""
    below = fold.bits[place.index]
    parameter = below.parameter(place.s)
    for index, bit in enumerate(hem.bits):
        if isinstance(bit.curve, Shifted) and isinstance(below.curve, Shifted):
            low, high = sorted((bit.start, bit.end))
            if bit.curve.segment == below.curve.segment and low <= parameter <= high:
                return Place(index, (parameter - bit.start) / (bit.end - bit.start))
    raise AssertionError(f"no offset beside {foot}")


def _too_short(side: Arm, hem: Arm, names: Sequence[str]) -> PatternError:
    return PatternError(
        f"{names[side.owner]} is too short to be mirrored in the hem's allowance of "
        f"{hem.width:g} mm",
        where=f"corner with {names[hem.owner]} at ({side.corner.x:.1f}, {side.corner.y:.1f}) mm",
        remedy='Take a narrower hem, or give one of the two edges the finish "mitre".',
    )
