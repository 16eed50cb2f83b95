"""Are joined edges as long as each other, or longer by what is meant?"""

from __future__ import annotations

from collections.abc import Iterator

from tiler.drafting.checks.bench import Bench
from tiler.drafting.checks.fault import Fault, Spot, both
from tiler.drafting.walking.heads import is_head, set_in
from tiler.drafting.walking.measured import SeamWalk
from tiler.drafting.walking.side import SewnSide
from tiler.pattern.model import Severity
from tiler.pattern.units import format_mm

#: Stitch lines that differ by no more (millimetres) agree. Common practice, no source (a sewing
#: magazine keeps its own patterns within 1/16 in, 1.6 mm).
AGREES = 1.5
#: Up to here (millimetres) cloth takes a difference up, though it shows. Common practice, no
#: source (many take 1/8 in, 3.2 mm).
TAKEN_UP = 3.0
#: The most (millimetres) that a sleeve head is longer than its armhole: textbooks name 25 to 38
#: mm for a set-in sleeve, shirts and jersey have less. Above is our choice.
SLEEVE_HEAD = 50.0
_ROUNDING = 1e-6


def seam_lengths(bench: Bench) -> Iterator[Fault]:
    """Compare whole lengths on the stitch line with the ease that is meant."""
    for walk in bench.walks:
        if not (_declared(walk) or walk.whole) and set_in(*walk.sides):
            yield _sleeve_head(walk)
        elif abs(walk.off) > AGREES + _ROUNDING:
            yield _length(walk)
    for seam, error in bench.unwalked:
        edges = " + ".join(map(str, seam.first)) + " – " + " + ".join(map(str, seam.second))
        yield Fault(
            "seam-not-walked",
            Severity.WARNING,
            f"{seam.name} ({edges})" if seam.name else edges,
            f"The seam cannot be walked: {error.problem}.",
            error.remedy,
            detail=seam.where,
        )


def _declared(walk: SeamWalk) -> bool:
    return walk.seam.equal or walk.seam.ease != (0.0, 0.0)


def _sleeve_head(walk: SeamWalk) -> Fault:
    armhole, head = sorted(walk.sides, key=is_head)
    ease = head.total - armhole.total
    sound = -AGREES - _ROUNDING <= ease <= SLEEVE_HEAD + _ROUNDING
    than = "longer" if ease >= 0 else "shorter"
    text = (
        f"The sleeve head {head} is {both(head.total)} and the armhole {armhole} "
        f"{both(armhole.total)}: the head is {both(abs(ease))} {than}."
    )
    if sound:
        remedy = f'If that is meant, declare it: ease = "{_number(walk.difference)} mm".'
    elif ease < 0:
        remedy = "Lengthen the head, or it pulls the armhole in."
    else:
        remedy = f"More than {format_mm(SLEEVE_HEAD)} puckers: lower the head, or declare the ease."
    return Fault(
        "sleeve-head",
        Severity.NOTE if sound else Severity.WARNING,
        walk.name,
        text,
        remedy,
        style=walk.style,
        numbers={"first_mm": walk.totals[0], "second_mm": walk.totals[1], "ease_mm": ease},
        spots=spots_of(walk.sides[0]) + spots_of(walk.sides[1]),
        walk=walk,
    )


def _length(walk: SeamWalk) -> Fault:
    least, most = walk.seam.ease
    declared = _declared(walk)
    one, other = walk.totals
    longer, shorter = (walk.sides[1], walk.sides[0]) if walk.off > 0 else walk.sides
    off = abs(walk.off)
    text = f"{_many(walk, 0)} measures {both(one)} and {_many(walk, 1)} {both(other)}"
    if declared:
        text += (
            f": the second side is {both(abs(walk.difference))} "
            f"{'longer' if walk.difference >= 0 else 'shorter'} where {_meant(least, most)} is "
            f"meant, {both(off)} too {'long' if walk.off > 0 else 'short'}."
        )
    else:
        text += f": {longer} is {both(off)} longer."
    text += _where_it_lies(walk)
    times = walk.seam.times if walk.off < 0 else walk.seam.times[::-1]
    remedy = f"Take {both(off / times[0])} off {longer}, or add {both(off / times[1])} to {shorter}"
    remedy += (
        ", or declare another ease."
        if declared
        else f'; if it is to be eased or gathered in, declare ease = "{_number(walk.difference)} '
        'mm".'
    )
    return Fault(
        "seam-ease" if declared else "seam-length",
        Severity.ERROR
        if (least, most) != (0.0, 0.0) or off > TAKEN_UP + _ROUNDING
        else Severity.WARNING,
        walk.name,
        text,
        remedy,
        style=walk.style,
        numbers={
            "first_mm": one,
            "second_mm": other,
            "difference_mm": walk.difference,
            "ease_least_mm": least,
            "ease_most_mm": most,
            "off_mm": walk.off,
        },
        spots=spots_of(walk.sides[0]) + spots_of(walk.sides[1]),
        walk=walk,
    )


def _meant(least: float, most: float) -> str:
    """Such as ``5 to 10 mm more`` or ``230 to 240 mm less``."""
    if least == most == 0:
        return "the same length"
    if least < 0 < most:
        return f"{_number(-least)} mm less to {_number(most)} mm more"
    low, high = sorted((abs(least), abs(most)))
    span = _number(low) if low == high else f"{_number(low)} to {_number(high)}"
    return f"{span} mm {'more' if most > 0 else 'less'}"


def _where_it_lies(walk: SeamWalk) -> str:
    """Between which notches most of the difference lies, when there are any."""
    stretches = walk.stretches
    if walk.whole or len(stretches) < 2:
        return ""
    worst = max(stretches, key=lambda stretch: stretch.difference * walk.off)
    if abs(worst.difference) < abs(walk.off) * 0.8:
        return ""
    (a, b), (c, d) = worst.first, worst.second
    return (
        f" It lies between {_number(a)} and {_number(b)} mm along {walk.sides[0]}, where "
        f"{_number(b - a)} mm meets {_number(d - c)} mm."
    )


def _many(walk: SeamWalk, which: int) -> str:
    times = walk.seam.times[which]
    return f"{walk.sides[which]}" if times == 1 else f"{times} × {walk.sides[which]}"


def _number(length: float) -> str:
    return format_mm(length).removesuffix(" mm")


def spots_of(side: SewnSide) -> tuple[Spot, ...]:
    """The edges of a side, to be shown."""
    return tuple(Spot(e.piece.name, paths=(e.edge.path,), style=e.ring.style) for e in side.edges)
