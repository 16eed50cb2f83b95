"""Do notches meet, and are there as many on both sides?"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from tiler.drafting.checks.bench import Bench, width_of
from tiler.drafting.checks.fault import Fault, Spot, both
from tiler.drafting.checks.lengths import AGREES, TAKEN_UP
from tiler.drafting.checks.likeness import symmetric
from tiler.drafting.walking.measured import SeamStretch, SeamWalk
from tiler.drafting.walking.side import SewnSide
from tiler.pattern.affine import Point
from tiler.pattern.model import Severity
from tiler.pattern.units import format_mm

#: Notches whose places mirror each other this nearly (millimetres) do not tell which end is
#: which. Our choice.
MIRRORED = 3.0
_ROUNDING = 1e-6


def meeting_notches(bench: Bench) -> Iterator[Fault]:
    """Partner notches that do not meet, though the whole lengths may agree."""
    return bench.each_walk(_shifted)


def lone_notches(bench: Bench) -> Iterator[Fault]:
    """Notches without a partner on the other side."""
    for walk in bench.walks:
        if walk.whole:
            continue
        told: set[tuple[str, str, float]] = set()
        for which in (0, 1):
            for at in walk.pairing.lone[which]:
                place = walk.sides[which].at(at)
                # An edge may be in the seam twice, right and left.
                key = place.piece.name, place.edge.letter, round(place.along, 3)
                if key not in told:
                    told.add(key)
                    yield _lone(walk, which, at)


def turnable_notches(bench: Bench) -> Iterator[Fault]:
    """Seams whose notches fit the wrong way round just as well."""
    return bench.each_walk(_turnable)


def _turnable(walk: SeamWalk) -> Iterator[Fault]:
    if walk.whole or any(len(side.edges) > 1 for side in walk.sides):
        return
    if not any(side.marks for side in walk.sides) or not all(map(_mirrored, walk.sides)):
        return
    if any(_asymmetry(side) > MIRRORED for side in walk.sides):
        return
    if any(symmetric(side.edges[0].ring) for side in walk.sides):
        # Turned round, a piece with two equal halves is the same piece.
        return
    yield Fault(
        "notch-turnable",
        Severity.NOTE,
        walk.name,
        "The notches lie the same from either end, and both edges have the same shape from "
        "either end: the seam can be sewn the wrong way round.",
        "Move the notches of both sides off the middle, or make one double.",
        numbers={"first_mm": walk.totals[0], "second_mm": walk.totals[1]},
        spots=_marks_of(walk),
        walk=walk,
    )


def _shifted(walk: SeamWalk) -> Iterator[Fault]:
    if walk.whole:
        return
    stretches = walk.stretches
    least = min(0.0, walk.seam.ease[0], walk.difference)
    most = max(0.0, walk.seam.ease[1], walk.difference)

    def off(stretch: SeamStretch) -> float:
        return stretch.difference - min(max(stretch.difference, least), most)

    told = False
    for before, after in pairwise(stretches):
        # By how much the second side's notch has to move for both neighbours to be right.
        low = max(least - before.difference, after.difference - most)
        high = min(most - before.difference, after.difference - least)
        if low > high + AGREES:
            continue
        move = min(max(0.0, low), high) if low <= high else (low + high) / 2
        if abs(move) > AGREES + _ROUNDING:
            told = True
            yield _shift(walk, before, after, move)
    # A seam of half a millimetre has no stretch at all.
    worst = max(stretches, key=lambda stretch: abs(off(stretch)), default=None)
    if worst and not told and abs(off(worst)) > AGREES + _ROUNDING:
        yield _unequal(walk, worst, off(worst))


def _shift(walk: SeamWalk, before: SeamStretch, after: SeamStretch, move: float) -> Fault:
    one, other = walk.sides
    there, here = before.first[1], before.second[1]
    first, second = _real(walk, there, here)
    if second:
        remedy = _moved(other, here + move) + (
            f", or the one on {one.at(there).piece.name} by {format_mm(abs(move))} the other way."
            if first
            else "."
        )
    else:
        remedy = _moved(one, there - move) + ", or see that the edges are in the seam's order."
    return Fault(
        "notch-off",
        Severity.ERROR if abs(move) > TAKEN_UP + _ROUNDING else Severity.WARNING,
        walk.name,
        f"The {'notch' if first else 'joint'} {both(there)} along {one} and the "
        f"{('one' if first else 'notch') if second else 'joint'} {both(here)} along {other} "
        f"miss each other by {both(abs(move))}: before it {format_mm(_span(before.first))} meets "
        f"{format_mm(_span(before.second))}, after it {format_mm(_span(after.first))} meets "
        f"{format_mm(_span(after.second))}.",
        remedy,
        style=walk.style,
        numbers={
            "first_mm": there,
            "second_mm": here,
            "move_mm": move,
            "second_should_be_mm": here + move,
        },
        spots=(
            _notch_spot(one, there),
            _notch_spot(other, here),
        ),
        walk=walk,
    )


def _real(walk: SeamWalk, first: float, second: float) -> tuple[bool, bool]:
    """Whether there are notches at two places that meet; a joint of edges may stand for one."""
    for pair in walk.pairing.pairs:
        if (pair.first, pair.second) == (first, second):
            return pair.real
    return True, True


def _moved(side: SewnSide, to: float) -> str:
    place = side.at(to)
    return (
        f"Move the notch on {place.piece.name} to {_from_start(side, to)} of its edge "
        f"{place.edge.letter}, along the stitch line"
    )


def _unequal(walk: SeamWalk, worst: SeamStretch, off: float) -> Fault:
    one, other = walk.sides
    (a, b), (c, d) = worst.first, worst.second
    return Fault(
        "notch-off",
        Severity.ERROR if abs(off) > TAKEN_UP + _ROUNDING else Severity.WARNING,
        walk.name,
        f"Between {format_mm(a)} and {format_mm(b)} along {one}, {both(b - a)} meets "
        f"{both(d - c)} of {other}: {both(abs(off))} too {'much' if off > 0 else 'little'}, "
        "though the rest makes up for it.",
        f"Let the notches on {other} lie {both(b - a)} apart there.",
        style=walk.style,
        numbers={"first_mm": b - a, "second_mm": d - c, "off_mm": off},
        spots=(
            Spot(one.at(b).piece.name, (one.at(a).point, one.at(b).point)),
            Spot(other.at(d).piece.name, (other.at(c).point, other.at(d).point)),
        ),
        walk=walk,
    )


def _lone(walk: SeamWalk, which: int, at: float) -> Fault:
    here, there = walk.sides[which], walk.sides[1 - which]
    place = here.at(at)
    lands = _landing(walk, which, at)
    partner = there.at(lands)
    letter = partner.edge.letter
    return Fault(
        "notch-lone",
        Severity.WARNING,
        walk.name,
        f"The notch {both(at)} along {here} has no partner on {there}"
        + (
            f", which has {len(there.marks)} where this side has {len(here.marks)}."
            if len(here.marks) != len(there.marks)
            else "."
        ),
        f"Put one on {partner.piece.name}, {_from_start(there, lands)} of edge {letter}: "
        f'notches = [{{ edge = "{letter}", at = "{format_mm(partner.along)}" }}]; or take the '
        f"one on {place.piece.name} away.",
        style=walk.style,
        numbers={"at_mm": at, "lands_mm": lands},
        spots=(
            _notch_spot(here, at),
            Spot(partner.piece.name, (partner.point,)),
        ),
        walk=walk,
    )


def _landing(walk: SeamWalk, which: int, at: float) -> float:
    """Where a place of one side lies on the other, in proportion between partners."""
    for stretch in walk.stretches:
        one, other = (stretch.first, stretch.second)[:: 1 if which == 0 else -1]
        if one[0] <= at <= one[1] and one[1] > one[0]:
            return other[0] + (at - one[0]) / (one[1] - one[0]) * (other[1] - other[0])
    return min(at, walk.sides[1 - which].total)


def _notch_spot(side: SewnSide, at: float) -> Spot:
    """Half way between the stitch line and the notch, so that a ring takes in both."""
    place = side.at(at)
    width = width_of(place.piece, place.edge) or 0.0
    x, y = place.direction
    edge = next(e for e in side.edges if e.edge is place.edge)
    # Clockwise, the allowance lies to the left of the way.
    out = -1.0 if edge.backwards else 1.0
    half = width / 2 * out
    point = Point(place.point.x - y * half, place.point.y + x * half)
    return Spot(place.piece.name, (point,), style=edge.ring.style)


def _from_start(side: SewnSide, distance: float) -> str:
    return f"{format_mm(side.at(distance).along)} from the start"


def _span(part: tuple[float, float]) -> float:
    return part[1] - part[0]


def _mirrored(side: SewnSide) -> bool:
    """Whether the notches lie the same from either end."""
    back = side.reversed().marks
    return all(
        abs(a.at - b.at) <= MIRRORED and a.count == b.count
        for a, b in zip(side.marks, back, strict=True)
    )


def _asymmetry(side: SewnSide) -> float:
    """Millimetres by which the line differs from itself walked from the other end."""
    path = side.edges[0].edge.path
    start, end = path.start, path.end
    chord = start.to(end)
    if chord == 0:
        return 0.0
    x, y = (end.x - start.x) / chord, (end.y - start.y) / chord
    length = path.length
    worst = 0.0
    for step in range(1, 8):
        one, _ = path.point_at(length * step / 16)
        other, _ = path.point_at(length * (1 - step / 16))
        along = (one.x - start.x) * x + (one.y - start.y) * y
        back = (end.x - other.x) * x + (end.y - other.y) * y
        rise = (one.y - start.y) * x - (one.x - start.x) * y
        fall = (other.y - start.y) * x - (other.x - start.x) * y
        worst = max(worst, abs(along - back), abs(rise - fall))
    return worst


def _marks_of(walk: SeamWalk) -> tuple[Spot, ...]:
    return tuple(
        Spot(
            side.edges[0].piece.name,
            tuple(side.at(mark.at).point for mark in side.marks),
            (side.edges[0].edge.path,),
        )
        for side in walk.sides
    )
