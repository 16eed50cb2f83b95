"""Are joined edges as long as each other, or longer by what is meant?"""

from __future__ import annotations

from collections.abc import Iterator

from tiler.drafting.checks.bench import Bench
from tiler.drafting.checks.fault import Fault, Spot, both
from tiler.drafting.walking.measured import SeamWalk
from tiler.drafting.walking.side import SewnEdge, SewnSide
from tiler.pattern.affine import Point
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
#: An edge whose line is longer than the straight way between its ends by this share, and round
#: outwards, is a sleeve head when it is sewn into a hollow of several edges. Our choice.
_ROUND = 1.05
_ROUNDING = 1e-6


def seam_lengths(bench: Bench) -> Iterator[Fault]:
    """Compare whole lengths on the stitch line with the ease that is meant."""
    for walk in bench.walks:
        if walk.seam.ease == (0.0, 0.0) and is_sleeve_head(walk):
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


def is_sleeve_head(walk: SeamWalk) -> bool:
    """Whether the second or the first side is a round edge set into a hollow of several edges."""
    return any(
        len(head.edges) == 1
        and len(hole.edges) > 1
        and _bulge(head.edges[0]) > 0
        and head.total > _ROUND * _chord(head.edges[0])
        and all(_bulge(edge) < 0 for edge in hole.edges)
        for head, hole in (walk.sides, walk.sides[::-1])
    )


def _sleeve_head(walk: SeamWalk) -> Fault:
    ease = walk.difference if len(walk.sides[1].edges) == 1 else -walk.difference
    armhole, head = sorted(walk.sides, key=lambda side: len(side.edges) == 1)
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
    declared = (least, most) != (0.0, 0.0)
    one, other = walk.totals
    longer, shorter = (walk.sides[1], walk.sides[0]) if walk.off > 0 else walk.sides
    off = abs(walk.off)
    text = f"{_many(walk, 0)} measures {both(one)} and {_many(walk, 1)} {both(other)}"
    if declared:
        meant = _number(least) if least == most else f"{_number(least)} to {_number(most)}"
        text += (
            f": the second side is {both(abs(walk.difference))} "
            f"{'longer' if walk.difference >= 0 else 'shorter'} where {meant} mm more is meant, "
            f"{both(off)} too {'much' if walk.off > 0 else 'little'}."
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
        Severity.ERROR if declared or off > TAKEN_UP + _ROUNDING else Severity.WARNING,
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


def _chord(edge: SewnEdge) -> float:
    return edge.edge.path.start.to(edge.edge.path.end)


def _bulge(edge: SewnEdge) -> float:
    """Square millimetres between a clockwise edge and its chord; positive where it is round."""
    path = edge.edge.path
    start, end = path.start, path.end
    home = Point(end.x - start.x, end.y - start.y)
    # Green's theorem on the edge and the straight way back, relative to its start.
    closing = (end.x * start.y - start.x * end.y) / 2
    return -(path.area + closing) if home != (0.0, 0.0) else -path.area
