"""Are notches short enough to stay clear of the seam?"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import shapely

from tiler.drafting.checks.bench import Bench, edge_words, width_of
from tiler.drafting.checks.fault import Fault, Spot, both
from tiler.drafting.rings import polygon_of
from tiler.intake.nearest import Seeker, nearest_of
from tiler.pattern.model import Edge, Lies, Mark, Piece, Role, Severity
from tiler.pattern.units import format_mm

#: A notch stays this far (millimetres) clear of the stitch line. Common practice, no source.
CLEAR = 3.0
#: The part of the allowance that a notch may take. Common practice, no source.
DEEPEST = 0.5


def deep_notches(bench: Bench) -> Iterator[Fault]:
    """Notches that are cut so deep that the seam comes near their end, or over it."""
    return bench.each_piece(_deep)


def _deep(piece: Piece) -> Iterator[Fault]:
    found = [deep for deep in _depths(piece) if deep.clear < CLEAR - 0.05 or deep.over]
    for edge in {deep.edge.letter: deep.edge for deep in found}.values():
        own = [deep for deep in found if deep.edge.letter == edge.letter]
        worst = max(own, key=lambda deep: deep.depth)
        through = worst.clear <= 0.0
        severity = Severity.NOTE
        if worst.clear < CLEAR - 0.05:
            severity = Severity.ERROR if through else Severity.WARNING
        least = max(min(worst.width * DEEPEST, worst.width - CLEAR), 0.0)
        yield Fault(
            "notch-deep",
            severity,
            piece.name,
            f"A notch is {both(worst.depth)} deep in an allowance of {both(worst.width)}"
            + (": the cut goes through the seam." if through else "."),
            f"Draw it at most {format_mm(least)} deep."
            if least
            else "Take a notch that stands out from the edge, or mark it with thread.",
            detail=edge_words(edge),
            numbers={"depth_mm": worst.depth, "allowance_mm": worst.width},
            spots=(Spot(piece.name, tuple(deep.mark.at for deep in own)),),
        )


@dataclass(frozen=True)
class _Depth:
    mark: Mark
    edge: Edge
    depth: float
    width: float

    @property
    def clear(self) -> float:
        return self.width - self.depth

    @property
    def over(self) -> bool:
        return self.depth > self.width * DEEPEST + 0.3


def _depths(piece: Piece) -> Iterator[_Depth]:
    for outline in piece.outlines:
        if outline.role is not Role.CUT:
            continue
        inside = polygon_of(outline.path)
        seekers = [Seeker(edge.path) for edge in outline.edges]
        for mark in piece.marks:
            if mark.role is not Role.NOTCH or mark.style not in ("", outline.style):
                continue
            edge = outline.edges[nearest_of(seekers, mark.at)[0]]
            width = width_of(piece, edge)
            if width is None or width <= 0 or edge.lies is not Lies.SEWN:
                continue
            ring = inside.exterior
            points = [shapely.Point(p) for p in mark.path.flattened()]
            depth = max((ring.distance(p) for p in points if inside.contains(p)), default=0.0)
            yield _Depth(mark, edge, float(depth), width)
        if not outline.style:
            return
