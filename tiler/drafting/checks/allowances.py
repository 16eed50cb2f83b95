"""Seam allowances: alike on both sides, there at all, and where the drawn lines say."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely

from tiler.drafting.checks.bench import Bench, edge_words, edges_of, own_style, width_of
from tiler.drafting.checks.fault import Fault, Spot, both
from tiler.drafting.points import flattened
from tiler.drafting.rings import FLAT
from tiler.drafting.walking.measured import SeamWalk
from tiler.drafting.walking.side import SewnEdge, SewnSide
from tiler.intake.nearest import Seeker, evenly, nearest_of
from tiler.pattern.affine import Point
from tiler.pattern.model import Lies, Piece, Role, Severity, styles_in
from tiler.pattern.units import format_mm

#: Allowances that differ by less (millimetres) are alike.
ALIKE = 0.1
#: Edges lain together, the seam is off by the difference; beyond this (millimetres) the garment
#: comes out wrong. Our choice, as for lengths.
SPOILT = 3.0
#: A drawn stitch line may lie this far (millimetres) from where the stated allowance puts it.
DRAWN = 0.5
_STEP = 5.0


def seam_allowances(bench: Bench) -> Iterator[Fault]:
    """Two edges that are sewn together have one allowance."""
    for walk in bench.walks:
        told: set[tuple[str, str]] = set()
        for one, other in _facing(walk):
            widths = width_of(one.piece, one.edge), width_of(other.piece, other.edge)
            first, second = widths
            if first is None or second is None or (str(one), str(other)) in told:
                continue
            if {one.edge.lies, other.edge.lies} != {Lies.SEWN} or abs(first - second) < ALIKE:
                continue
            told.add((str(one), str(other)))
            yield Fault(
                "allowance-differs",
                Severity.ERROR if abs(first - second) > SPOILT else Severity.WARNING,
                walk.name,
                f"{one} has an allowance of {both(first)} and {other} one of {both(second)}: with "
                f"the cut edges together, a seam is off by {both(abs(first - second))}.",
                f'Give both the same: allowances = {{ {other.edge.letter} = "{format_mm(first)}" '
                f"}} in {other.piece.name}, or the other way round.",
                style=walk.style,
                numbers={"first_mm": first, "second_mm": second},
                spots=tuple(
                    Spot(e.piece.name, paths=(e.edge.path,), style=e.ring.style)
                    for e in (one, other)
                ),
            )


def missing_allowances(bench: Bench) -> Iterator[Fault]:
    """Sewn edges without an allowance."""
    for piece in bench.pattern.pieces:
        found = [
            (ring, edge)
            for ring, edge in edges_of(piece)
            if edge.lies is Lies.SEWN and width_of(piece, edge) == 0
        ]
        if not found:
            continue
        sewn = {
            name.letter
            for seam in bench.pattern.seams
            for name in (*seam.first, *seam.second)
            if name.piece == piece.name
        }
        letters = list(dict.fromkeys(edge.letter for _, edge in found))
        in_seam = [letter for letter in letters if letter in sewn]
        yield Fault(
            "allowance-none",
            Severity.ERROR if in_seam else Severity.WARNING,
            piece.name,
            f"Edge {', '.join(letters)} is sewn but has no allowance"
            + (": the seam eats into the piece." if in_seam else "."),
            f'Say how wide it is: allowances = {{ {letters[0]} = "15 mm" }}; or that it is not '
            f'sewn: raw = "{letters[0]}".',
            detail=edge_words(found[0][1]),
            numbers={"edges": float(len(letters))},
            spots=(Spot(piece.name, paths=tuple(edge.path for _, edge in found)),),
        )


def short_edges(bench: Bench) -> Iterator[Fault]:
    """Edges so short that the allowances of their neighbours swallow them."""
    for piece in bench.pattern.pieces:
        for ring in piece.stitch:
            for index, edge in enumerate(ring.edges):
                around = (ring.edges[index - 1], edge, ring.edges[(index + 1) % len(ring.edges)])
                widths = [width_of(piece, each) or 0.0 for each in around]
                length = edge.path.length
                if edge.lies is Lies.FOLD or length >= max(widths):
                    continue
                yield Fault(
                    "edge-short",
                    Severity.NOTE,
                    piece.name,
                    f"The edge is only {both(length)} long, less than an allowance beside it "
                    f"({format_mm(max(widths))}): its cut line all but vanishes.",
                    "Leave the corner out, or narrow the allowances there.",
                    detail=edge_words(edge),
                    style=own_style(piece, ring, edge),
                    numbers={"length_mm": length, "allowance_mm": max(widths)},
                    spots=(Spot(piece.name, paths=(edge.path,), style=ring.style),),
                )


def drawn_stitch_lines(bench: Bench) -> Iterator[Fault]:
    """Drawn stitch lines that are not where the cut line and the stated allowance put them."""
    return bench.each_piece(_drawn)


def _drawn(piece: Piece) -> Iterator[Fault]:
    if not piece.stitch:
        return
    whole = {ring.style: shapely.LinearRing(flattened(ring.path, FLAT)) for ring in piece.stitch}
    for line in piece.lines:
        if line.role is not Role.STITCH:
            continue
        styles = styles_in(line.style)
        rings = [ring for style, ring in whole.items() if not styles or style in ("", *styles)]
        places = shapely.points(list(evenly(line.path, _STEP)))
        off = np.min([shapely.distance(ring, places) for ring in rings or whole.values()], axis=0)
        worst = int(off.argmax())
        if off[worst] <= DRAWN:
            continue
        point = Point(places[worst].x, places[worst].y)
        edges = [edge for ring in piece.stitch for edge in ring.edges]
        edge = edges[nearest_of([Seeker(each.path) for each in edges], point)[0]]
        distance, width = float(off[worst]), width_of(piece, edge) or 0.0
        yield Fault(
            "stitch-line-off",
            Severity.ERROR if distance > SPOILT else Severity.WARNING,
            piece.name,
            f"A drawn stitch line lies {both(distance)} from where the allowance of "
            f"{both(width)} puts it.",
            "Say the allowance that is drawn, or draw the line where it is said to be.",
            detail=edge_words(edge),
            style=line.style,
            numbers={"off_mm": distance, "allowance_mm": width},
            spots=(Spot(piece.name, (point,), (line.path,), line.style),),
        )


def _facing(walk: SeamWalk) -> Iterator[tuple[SewnEdge, SewnEdge]]:
    """Edges that lie on one another for more than a little of the seam."""
    one, other = walk.sides
    if walk.whole:
        yield from ((a, b) for a in one.edges for b in other.edges)
        return
    for a, (start, end) in _shares(one):
        for b, (low, high) in _shares(other):
            if min(end, high) - max(start, low) > 0.1 * min(end - start, high - low):
                yield a, b


def _shares(side: SewnSide) -> list[tuple[SewnEdge, tuple[float, float]]]:
    total = side.total or 1.0
    places = (0.0, *side.joints, side.total)
    return [(edge, (places[i] / total, places[i + 1] / total)) for i, edge in enumerate(side.edges)]
