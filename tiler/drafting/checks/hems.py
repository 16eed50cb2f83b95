"""Will the hem lie flat once it is turned up?"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

from tiler.drafting.checks.bench import Bench, edge_words, edges_of, own_style, width_of
from tiler.drafting.checks.fault import Fault, Spot, both
from tiler.drafting.darts.parts import divided
from tiler.drafting.unfold.mirror import Axis
from tiler.drafting.walking.sewn import sewn_edge
from tiler.intake.nearest import nearest
from tiler.pattern.affine import Point
from tiler.pattern.model import Edge, Lies, Outline, Pattern, Piece, Role, Severity
from tiler.pattern.path import Path
from tiler.pattern.segment import direction
from tiler.pattern.units import format_mm
from tiler.pattern.wishes import EdgeName

#: Fulness (share of the hem's length) that is pressed away without trouble, and above which it
#: puckers or pulls on firm cloth. Common practice, no source.
EASED, PUCKERS = 0.02, 0.04
#: A hem narrower than this (millimetres) frays out of its stitches. Common practice, no source.
NARROW = 10.0
#: The turned-up end may lie this far (millimetres) off the side seam. Our choice.
OFF_SIDE = 3.0


def flat_hems(bench: Bench) -> Iterator[Fault]:
    """Hem allowances on a curve: the turned-up edge is longer or shorter than where it lies."""
    return bench.each_piece(_flat)


def _flat(piece: Piece) -> Iterator[Fault]:
    for ring, edge, width in _hems(piece):
        round_, hollow = _turning(piece, ring, edge)
        length = edge.path.length
        for angle, full in ((round_, True), (hollow, False)):
            excess = 2 * width * angle
            if excess <= EASED * length:
                continue
            puckers = excess > PUCKERS * length
            # The width for which this hem has no more than is pressed away.
            fits = EASED * length / (2 * angle)
            yield Fault(
                "hem-curve",
                Severity.WARNING if puckers else Severity.NOTE,
                piece.name,
                f"On this curve a hem of {both(width)} turns up {both(excess)} "
                f"({excess / length:.1%} of {format_mm(length, 0)}) too "
                + (
                    "wide: the fulness has to be eased in."
                    if full
                    else "narrow: the edge has to be stretched, or it pulls."
                ),
                f"Take a hem of {format_mm(math.floor(fits))} or less, or a shaped facing."
                if fits >= NARROW / 2
                else "Take a shaped facing or a bias binding.",
                detail=edge_words(edge),
                style=own_style(piece, ring, edge),
                numbers={
                    "hem_mm": width,
                    "length_mm": length,
                    "excess_mm": excess if full else -excess,
                    "share": excess / length,
                    "fits_mm": fits,
                },
                spots=(Spot(piece.name, paths=(edge.path,), style=ring.style),),
            )


def _turning(piece: Piece, ring: Outline, edge: Edge) -> tuple[float, float]:
    """How far a hem turns, without the mouths of its darts, which are sewn shut."""
    name = EdgeName(piece.name, edge.letter)
    parts = []
    for start, end in sewn_edge(Pattern("", (piece,)), name, ring.style).parts:
        rest = divided(edge.path, start)[1]
        part = divided(rest, end - start)[0] if rest else None
        parts += [turning(part)] if part else []
    return sum(part[0] for part in parts), sum(part[1] for part in parts)


def turning(path: Path) -> tuple[float, float]:
    """How far a clockwise edge turns: radians where it is round, and where it is hollow.

    A line beside it at the distance w is w times longer by the first and w times shorter by the
    second (Steiner's formula for parallel curves). The turned-up edge lies w inside of the hem
    line and was cut w outside of it: together 2 w times the angle.
    """
    turned = [0.0, 0.0]
    points = path.flattened(0.02)
    ways = [(b.x - a.x, b.y - a.y) for a, b in pairwise(points) if a != b]
    # The chords leave out half a step at either end.
    ways = [direction(path.segments[0], 0.0), *ways, direction(path.segments[-1], 1.0)]
    for (ax, ay), (bx, by) in pairwise(ways):
        angle = math.atan2(ax * by - ay * bx, ax * bx + ay * by)
        turned[0 if angle < 0 else 1] += abs(angle)
    return turned[0], turned[1]


def narrow_hems(bench: Bench) -> Iterator[Fault]:
    """Hem allowances that are too narrow to turn."""
    return bench.each_piece(_narrow)


def _narrow(piece: Piece) -> Iterator[Fault]:
    for ring, edge, width in _hems(piece):
        if width < NARROW:
            yield Fault(
                "hem-narrow",
                Severity.WARNING if width <= 0 else Severity.NOTE,
                piece.name,
                f"The hem has an allowance of {both(width)}"
                + (": there is nothing to turn up." if width <= 0 else ", only one turn of it."),
                f"Give it {format_mm(NARROW)} or more, or bind the edge and call it raw.",
                detail=edge_words(edge),
                style=own_style(piece, ring, edge),
                numbers={"hem_mm": width},
                spots=(Spot(piece.name, paths=(edge.path,), style=ring.style),),
            )


def hem_sides(bench: Bench) -> Iterator[Fault]:
    """Hems whose ends do not lie on the side seams once they are turned up."""
    return bench.each_piece(_sides)


def _sides(piece: Piece) -> Iterator[Fault]:
    for ring, edge, width in _hems(piece):
        cut = next((o for o in piece.outlines if o.style == ring.style), None)
        if cut is None or cut.role is not Role.CUT or width <= 0:
            continue
        for at_end in (False, True):
            off = _off_side(ring, cut, edge, at_end)
            if off is None or abs(off[0]) <= OFF_SIDE:
                continue
            amount, at, side = off
            yield Fault(
                "hem-side",
                Severity.WARNING,
                piece.name,
                f"Turned up, the end of the hem lies {both(abs(amount))} off the cut line of "
                f"{edge_words(side)}: it is too "
                + ("wide there." if amount > 0 else "narrow there and will not reach."),
                "Mirror the side in the hem line: finish = "
                f'{{ {edge.letter} = "reflected" }}, with the stitch line traced.',
                detail=edge_words(edge),
                style=own_style(piece, ring, edge),
                numbers={"off_mm": amount},
                spots=(Spot(piece.name, (at,), style=ring.style),),
            )


def _hems(piece: Piece) -> Iterator[tuple[Outline, Edge, float]]:
    for ring, edge in edges_of(piece):
        width = width_of(piece, edge)
        if edge.lies is Lies.HEM and width is not None:
            yield ring, edge, width


def _off_side(
    ring: Outline, cut: Outline, edge: Edge, at_end: bool
) -> tuple[float, Point, Edge] | None:
    """How far the mirrored end of a hem lies outside (positive) of the side's cut line."""
    letters = [each.letter for each in ring.edges]
    index = letters.index(edge.letter)
    side = ring.edges[(index + (1 if at_end else -1)) % len(letters)]
    if side.lies in (Lies.FOLD, Lies.HEM):
        return None
    cut_edges = {each.letter: each for each in cut.edges}
    if edge.letter not in cut_edges or side.letter not in cut_edges:
        return None
    segment = edge.path.segments[-1 if at_end else 0]
    corner = segment.end if at_end else segment.start
    before = segment.at(0.98) if at_end else segment.at(0.02)
    if corner.to(before) == 0:
        return None
    hem = cut_edges[edge.letter].path
    end = hem.end if at_end else hem.start
    lands = Axis(corner, before).mirror(end)
    near = nearest(cut_edges[side.letter].path, lands)
    middle = edge.path.point_at(edge.path.length / 2)[0]
    outside = lands.to(middle) > near.point.to(middle)
    return (near.distance if outside else -near.distance), end, side
