"""Lines and marks that are not where the piece is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

import shapely
from shapely import LineString
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from tiler.drafting.points import flattened
from tiler.drafting.rings import FLAT, polygon_of
from tiler.intake.nearest import nearest
from tiler.pattern.model import Finding, Lies, Line, Mark, Outline, Piece, Role, Severity
from tiler.pattern.path import Path
from tiler.pattern.units import format_mm

#: A line or mark may reach this far (millimetres) out of the outline.
OUTSIDE = 1.0
#: A stitch line that runs further (millimetres) past the cut line crosses it.
CROSSES = 0.1

_WHAT = {
    Role.GRAIN: "The grainline",
    Role.DRILL: "A drill mark",
    Role.BUTTON: "A button mark",
    Role.BUTTONHOLE: "A buttonhole",
    Role.POCKET: "A pocket line",
    Role.INSIDE: "An inside line",
}


@dataclass(frozen=True)
class _Insides:
    """What is inside of the outlines.

    Args:
        own: Style -> its own.
    """

    own: Mapping[str, BaseGeometry]

    @cached_property
    def all(self) -> BaseGeometry:
        """What is inside of any of them."""
        return unary_union(list(self.own.values()))

    def of(self, style: str) -> BaseGeometry:
        """What a line of a style may lie in."""
        own = self.own.get(style)
        return self.all if own is None else own


def misplaced(piece: Piece, where: str) -> Iterator[Finding]:
    """Tell of lines and marks that leave the outline, and stitch lines that cross the cut line.

    A cut line of a style may run outside: it is another outline. A notch may stand out
    from the edge; whether it touches the outline is seen when it is read.

    Args:
        piece: Its outlines are sound.
        where: File and piece.
    """
    insides = _Insides({outline.style: polygon_of(outline.path) for outline in piece.outlines})
    for line in piece.lines:
        inside = insides.of(line.style)
        if line.role is Role.STITCH and _outlined_by(piece.outlines, Role.CUT):
            yield from _crossing(line, inside, where)
        elif not (line.role is Role.CUT and line.style):
            yield from _outside(line.role, line.path, inside, where)
    for mark in piece.marks:
        if mark.role is not Role.NOTCH and not _on_fold(piece, mark):
            yield from _outside(mark.role, mark.path, insides.of(mark.style), where)
    if piece.grain is not None:
        yield from _outside(Role.GRAIN, piece.grain, insides.of(""), where)
        yield from _out_of_styles(piece.grain, insides, where)


def _out_of_styles(grain: Path, insides: _Insides, where: str) -> Iterator[Finding]:
    """A style that is cut out alone has to keep the whole grainline on its paper."""
    whole = _reach(grain, insides.of(""))
    for style, inside in insides.own.items():
        reach = _reach(grain, inside)
        if style and reach > OUTSIDE >= whole:
            yield Finding(
                "grain-outside-style",
                Severity.WARNING,
                f"{where}, style {style}",
                f"The grainline reaches {format_mm(reach)} out of this style, so it is cut off "
                "with it. Draw it where all styles have cloth.",
            )


def _on_fold(piece: Piece, mark: Mark) -> bool:
    """Whether a mark stands on the fold, so that half of it is on the other half of the piece."""
    folds = [e.path for o in piece.outlines for e in o.edges if e.lies is Lies.FOLD]
    return any(nearest(fold, mark.at).distance <= OUTSIDE for fold in folds)


def _outlined_by(outlines: Sequence[Outline], role: Role) -> bool:
    return any(outline.role is role for outline in outlines)


def _outside(role: Role, path: Path, inside: BaseGeometry, where: str) -> Iterator[Finding]:
    reach = _reach(path, inside)
    if reach > OUTSIDE:
        what = _WHAT.get(role, f"A {role} line")
        yield Finding(
            "outside-outline",
            Severity.WARNING,
            where,
            f"{what} at {_shown(path)} reaches {format_mm(reach)} out of the outline. Move it "
            "inside, or take it away.",
        )


def _crossing(line: Line, inside: BaseGeometry, where: str) -> Iterator[Finding]:
    reach = _reach(line.path, inside)
    if reach > CROSSES:
        yield Finding(
            "stitch-crosses-cut",
            Severity.WARNING,
            where,
            f"A stitch line at {_shown(line.path)} runs {format_mm(reach, 2)} past the cut line. "
            "Move it inside the cut line.",
        )


def _reach(path: Path, inside: BaseGeometry) -> float:
    """How far (millimetres) the part of a path that is outside goes from the inside."""
    out = LineString(flattened(path, FLAT)).difference(inside)
    if out.is_empty:
        return 0.0
    # The furthest point need not be a corner: a line may bridge a hollow of the outline.
    dense = shapely.segmentize(out, max(1.0, out.length / 500))
    return float(shapely.distance(shapely.points(shapely.get_coordinates(dense)), inside).max())


def _shown(path: Path) -> str:
    return f"({path.start.x:.1f}, {path.start.y:.1f}) mm"
