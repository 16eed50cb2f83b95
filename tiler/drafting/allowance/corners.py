"""Where the offsets of two neighbouring edges meet."""

from __future__ import annotations

import numpy as np
import shapely

from tiler.drafting.allowance.arms import Arm, End, Place, first_root
from tiler.drafting.allowance.curves import along, between, cross, dot, line
from tiler.drafting.allowance.finish import MITRE_LIMIT
from tiler.pattern.affine import Point

#: Offsets that end this near (millimetres) to each other are one smooth line.
JOINT = 0.01
#: A straight continuation is followed no further than this, in widths of the wider allowance.
REACH = 3.0
#: On edges that run on almost straight a plain intersection would cut off a long part of the wider
#: allowance: where it is longer than this many widths, that allowance ends square instead.
CUT_OFF = 1.0
#: Sine of the turn below which an edge runs on straight: 0.004 mm on 40 mm of allowance.
_STRAIGHT_ON = 1e-4
#: How many bits of an edge are looked at for a crossing near its corner, and where on each.
_NEXT = 4
_SHARES = np.linspace(0.0, 1.0, 33)


def mitred(one: Arm, two: Arm, limit: float) -> tuple[End, End]:
    """Finish a corner by running the offsets on, or cutting them off, to where they meet.

    With the exterior angle phi and the widths v and w, the offset of the first edge runs on past
    its foot by (w - v cos phi) / sin phi, negative when it is cut off (intersection of two lines).

    Args:
        one: The edge that ends here.
        two: The edge that begins here.
        limit: How far a mitre's point may lie from the stitch corner, in widths of the wider.

    Returns:
        How either arm leaves the cut line's corner.
    """
    if one.foot.to(two.foot) < JOINT:
        return End(), End()
    sine, cosine = exterior(one, two)
    wider = max(one.width, two.width)
    if abs(sine) < 1e-9:
        if cosine < 0:
            return _blunted(one, two, one.run_on(1e6 * wider), limit)
        return _stepped(one, two)
    first = (two.width - one.width * cosine) / sine
    second = (one.width - two.width * cosine) / sine
    if min(first, second) > -1e-9:
        point = one.run_on(first)
        if one.corner.to(point) > limit * wider * (1 + 1e-9):
            return _blunted(one, two, point, limit)
        return (
            End((line(point, one.foot, one.owner),)),
            End((line(point, two.foot, two.owner),)),
        )
    if max(first, second) < 1e-9:
        return _through(one, two)
    if _takes_too_much(one, two, -min(first, second)):
        return _stepped(one, two)
    # The one that runs on, and the one that ends on it.
    on, off = (one, two) if first > 0 else (two, one)
    met = crossing_line(on, off)
    if met is None or _is_lost(on, off, met[0]):
        return _stepped(one, two)
    ends = _met(on, off, *met)
    return ends if on is one else ends[::-1]


def _takes_too_much(one: Arm, two: Arm, length: float) -> bool:
    """Whether a plain intersection would leave a seam without its allowance for a long way.

    On a fold nothing may stand over, so its neighbours end on its own line whatever is cut off.
    A raw edge has no offset that could be cut off: there the wider one alone counts, which loses
    its width times the cotangent of the turn.
    """
    if one.keeps or two.keeps:
        return False
    if min(one.width, two.width) > 0:
        return length > CUT_OFF * max(one.width, two.width)
    sine, cosine = exterior(one, two)
    return cosine > CUT_OFF * abs(sine)


def _is_lost(on: Arm, off: Arm, point: Point) -> bool:
    """Whether a curve that bends along the other's continuation loses its allowance that far."""
    if on.keeps or not off.width:
        return False
    return off.foot.to(point) > CUT_OFF * max(on.width, off.width) * (1 + 1e-6)


def squared(one: Arm, two: Arm) -> tuple[End, End]:
    """Cut off the first arm's allowance square, where its stitch line meets the other's cut line.

    Args:
        one: The edge whose seam is sewn first.
        two: The edge whose seam crosses it later.

    Returns:
        How either arm leaves the cut line's corner. A corner where the stitch line does not meet
        the cut line within `REACH` widths, or that is not convex, is mitred.
    """
    sine, cosine = exterior(one, two)
    wider = max(one.width, two.width)
    if sine < 1e-9 or min(one.width, two.width) == 0 or two.width / sine > REACH * wider:
        return mitred(one, two, MITRE_LIMIT)
    if two.width * cosine / sine > CUT_OFF * wider:
        return mitred(one, two, MITRE_LIMIT)
    length = two.width / sine
    if cosine <= 1e-12:
        point = along(one.corner, one.heading, -length)
        end = End((line(point, two.foot, two.owner),))
    else:
        seam = Arm(one.owner, one.corner, one.heading, one.outward, 0.0, one.bits)
        met = crossing_line(seam, two)
        if met is None:
            return mitred(one, two, MITRE_LIMIT)
        point, place = met
        end = End((), place)
        length = dot(between(point, one.corner), one.heading)
    outer = one.run_on(length)
    return (
        End((line(point, outer, one.owner), line(outer, one.foot, one.owner))),
        end,
    )


def exterior(one: Arm, two: Arm) -> tuple[float, float]:
    """Sine and cosine of the angle by which the way turns inwards; positive sine when convex."""
    cosine = -dot(one.heading, two.heading)
    sine = cross(one.heading, two.heading)
    # Seen along the way (the first arm reversed), a turn away from the outside is convex.
    side = cross(two.heading, two.outward)
    return (sine if side > 0 else -sine), cosine


def crossing_line(one: Arm, two: Arm) -> tuple[Point, Place] | None:
    """Where one arm's straight continuation meets the other arm's offset, if it does."""
    foot = one.foot
    place = first_root(two.bits, lambda point: cross(one.heading, between(foot, point)))
    if place is None:
        return None
    point = two.bits[place.index].at(place.s)
    wider = max(one.width, two.width)
    if dot(between(point, foot), one.heading) < 0 or one.corner.to(point) > REACH * wider:
        return None
    return point, place


def _met(one: Arm, two: Arm, point: Point, place: Place) -> tuple[End, End]:
    return End((line(point, one.foot, one.owner),)), End((), place)


def _through(one: Arm, two: Arm) -> tuple[End, End]:
    """Offsets that cross each other: led over the stitch corner, to be untangled with the ring.

    Curves may bend away from each other before they cross; then the one that ends short of the
    other runs on to it, so that no slit is left down to the stitch corner.
    """
    if not (one.bits[0].straight and two.bits[0].straight) and not _cross(one, two):
        near = max(one.width, two.width) / 2
        met = crossing_line(one, two)
        if met and met[0].to(one.foot) < near:
            return _met(one, two, *met)
        met = crossing_line(two, one)
        if met and met[0].to(two.foot) < near:
            return _met(two, one, *met)[::-1]
    return _upright(one, one.corner), _upright(two, two.corner)


def _is_behind(arm: Arm, tip: Point) -> bool:
    """Whether a point near the beginning of an arm lies behind its corner."""
    return arm.foot.to(tip) < arm.width and dot(arm.heading, between(arm.corner, tip)) < 0


def _cross(one: Arm, two: Arm) -> bool:
    """Whether two arms meet, uprights and all, elsewhere than at their corner."""
    return bool(shapely.intersects(_beside(one), _beside(two)))


def _beside(arm: Arm) -> shapely.LineString:
    """An arm's upright, from just above the corner, and the beginning of its offset."""
    points = [along(arm.corner, arm.outward, arm.width * 1e-3)] if arm.width else []
    for bit in arm.bits[:_NEXT]:
        points += [Point(x, y) for x, y in bit.sampled(_SHARES)[0].tolist()]
    return shapely.LineString(points if arm.width else points[1:])


def _upright(arm: Arm, start: Point) -> End:
    """From a point square above the stitch corner straight to the offset.

    An offset that turns back on itself and reaches behind the corner is left where it passes the
    upright after that, so that no horn stands over it.
    """
    if not arm.width:
        return End()
    end, place = arm.foot, Place(0, 0.0)
    corner = arm.corner
    turned = [bit.turned_back for bit in arm.bits]
    horns = [
        number
        for number in range(1, len(turned))
        if turned[number - 1] > turned[number] and _is_behind(arm, arm.bits[number].at(0.0))
    ]
    if turned[0] or horns:
        after = horns[-1] if horns else turned.index(False) if False in turned else len(turned)
        rest = arm.bits[after:]
        ahead = first_root(rest, lambda point: dot(arm.heading, between(corner, point)))
        if ahead is not None:
            place = Place(ahead.index + after, ahead.s)
            end = arm.bits[place.index].at(place.s)
            # Far off it is another part of a curve that winds.
            if arm.foot.to(end) > arm.width:
                end, place = arm.foot, Place(0, 0.0)
    return End((line(start, end, arm.owner),), place)


def _stepped(one: Arm, two: Arm) -> tuple[End, End]:
    """The wider allowance ends square to its own stitch corner."""
    sine, cosine = exterior(one, two)
    if one.width > two.width:
        return _stepped(two, one)[::-1]
    if sine < -_STRAIGHT_ON:
        return _stepped_down(one, two) or _through(one, two)
    rise = one.width / cosine if cosine > 1e-9 else 0.0
    point = along(two.corner, two.outward, min(rise, two.width))
    stub = () if point.to(one.foot) < 1e-9 else (line(point, one.foot, one.owner),)
    return End(stub), _upright(two, point)


def _stepped_down(one: Arm, two: Arm) -> tuple[End, End] | None:
    """A step at a hollow corner: the wider allowance's upright ends on the narrower cut line."""
    corner = two.corner
    place = first_root(one.bits, lambda point: dot(two.heading, between(corner, point)))
    if place is None:
        return None
    point = one.bits[place.index].at(place.s)
    if not 0 <= dot(between(corner, point), two.outward) <= two.width:
        return None
    return End((), place), _upright(two, point)


def _blunted(one: Arm, two: Arm, point: Point, limit: float) -> tuple[End, End]:
    """A mitre cut off square to the line from the stitch corner to its point."""
    corner, reach = one.corner, limit * max(one.width, two.width)
    size = corner.to(point)
    way = ((point.x - corner.x) / size, (point.y - corner.y) / size)
    ends = []
    for arm in (one, two):
        # The foot lies within one width of the corner, the blunt line beyond it.
        rise = dot(between(corner, arm.foot), way)
        ends.append(arm.run_on((reach - rise) / -dot(arm.heading, way)))
    middle = along(corner, way, reach)
    # A fold or raw edge keeps to its own line: the blunt end belongs to the other edge.
    if one.width == 0:
        middle = ends[0]
    elif two.width == 0:
        middle = ends[1]
    stubs = []
    for arm, end in zip((one, two), ends, strict=True):
        bits = [line(middle, end, arm.owner)] if middle.to(end) > 1e-9 else []
        stubs.append(End((*bits, line(end, arm.foot, arm.owner))))
    return stubs[0], stubs[1]
