"""The lines to sew and to turn up on, which run inside the cut line."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

import shapely

from tiler.drafting.points import flattened
from tiler.pattern.model import Edge, Lies, Line, Outline, Role
from tiler.pattern.path import Path

#: A drawn line this near (millimetres) to a seam all along is that seam.
SAME_LINE = 1.0
_FLAT = 0.1
#: How far apart (millimetres) a straight line is looked at.
_STEP = 5.0


class _Kind(NamedTuple):
    """What edges have in common that make one line."""

    role: Role
    styles: frozenset[str]
    hem: str


def seam_lines(
    rings: Sequence[Outline], widths: Sequence[Mapping[str, float]], drawn: Sequence[Line] = ()
) -> tuple[Line, ...]:
    """Lines along the edges that have an allowance.

    Edges that follow one another make one line. A hem makes a line of its own, for folding. What
    all rings have in common is there once, without a style.

    Args:
        rings: Stitch lines, one a style or one in all.
        widths: Letter -> millimetres, for each ring.
        drawn: Lines that the piece has already; what lies on one of the same role is left out.

    Returns:
        Role STITCH along seams, role FOLD along hems.
    """
    lines: dict[Line, None] = {}
    for ring, amounts in zip(rings, widths, strict=True):
        kinds = [_kind(edge, amounts[edge.letter], rings) for edge in ring.edges]
        for kind, path in _runs(ring, kinds):
            line = Line(kind.role, path, "" if len(kind.styles) == len(rings) else ring.style)
            if not any(_is_drawn(line, other) for other in drawn):
                lines[line] = None
    return tuple(lines)


def without_old_seams(lines: Sequence[Line], rings: Sequence[Outline]) -> tuple[Line, ...]:
    """Leave out drawn stitch lines that run along a stitch ring which is no longer in force."""
    paths = [ring.path for ring in rings]
    return tuple(
        line for line in lines if line.role is not Role.STITCH or not _near(line.path, paths)
    )


def _kind(edge: Edge, width: float, rings: Sequence[Outline]) -> _Kind | None:
    """The kind of line that an edge has; None for one that is not sewn."""
    if width == 0 or edge.lies is Lies.FOLD:
        return None
    hem = edge.lies is Lies.HEM
    styles = frozenset(
        ring.style
        for ring in rings
        for other in ring.edges
        if other.path == edge.path and (other.lies is Lies.HEM) is hem
    )
    return _Kind(Role.FOLD if hem else Role.STITCH, styles, edge.letter if hem else "")


def _runs(ring: Outline, kinds: Sequence[_Kind | None]) -> list[tuple[_Kind, Path]]:
    """Edges of one kind that follow one another, over the first corner of the ring too."""
    count = len(kinds)
    first = next((n for n in range(count) if kinds[n] != kinds[n - 1]), None)
    if first is None:
        return [(kinds[0], ring.path)] if kinds[0] else []
    found: list[tuple[_Kind, Path]] = []
    before: _Kind | None = None
    for number in (*range(first, count), *range(first)):
        kind, path = kinds[number], ring.edges[number].path
        if kind is not None and kind == before:
            found[-1] = kind, Path(found[-1][1].segments + path.segments)
        elif kind is not None:
            found.append((kind, path))
        before = kind
    return found


def _is_drawn(line: Line, other: Line) -> bool:
    same = line.role is other.role and other.style in ("", line.style)
    return same and _near(line.path, [other.path])


def _near(path: Path, others: Sequence[Path]) -> bool:
    """Whether all of a path lies along other paths."""
    there = shapely.MultiLineString([flattened(other, _FLAT) for other in others])
    points = shapely.LineString(flattened(path, _FLAT)).segmentize(_STEP).coords
    return bool(shapely.distance(shapely.points(points), there).max() <= SAME_LINE)
