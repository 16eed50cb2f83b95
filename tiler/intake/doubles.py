"""Lines that are drawn twice: programs write a shape's fill and its stroke as two paths."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tiler.intake.drawn import DrawnPath
from tiler.pattern.affine import Point
from tiler.pattern.model import Finding, Severity
from tiler.pattern.path import Path

#: Lines no further apart than this (millimetres), point for point, are the same.
SAME = 0.001
# Edge of the squares in which lines are looked up; larger than two keys of one line can differ.
_CELL = 4 * SAME


def without_doubles(
    paths: Sequence[DrawnPath], where: str
) -> tuple[list[DrawnPath], tuple[Finding, ...]]:
    """The lines without those that lie on an earlier one with the same role and style.

    Two lines are the same when their segments are, each handle within 0.001 mm and in the same
    order.

    Args:
        paths: Lines of one piece, with finite coordinates.
        where: File and piece, for messages.

    Returns:
        The lines in their order, and a note when some were left out.
    """
    kept: list[DrawnPath] = []
    doubles: list[DrawnPath] = []
    known: dict[tuple[object, ...], list[DrawnPath]] = {}
    for path in paths:
        kind = (path.role, path.style, path.corner, path.path.closed, len(path.path.segments))
        column, row = _cell(path.path)
        near = [
            other
            for x in (column - 1, column, column + 1)
            for y in (row - 1, row, row + 1)
            for other in known.get((kind, x, y), ())
        ]
        if any(_same(path.path, other.path) for other in near):
            doubles.append(path)
            continue
        kept.append(path)
        known.setdefault((kind, column, row), []).append(path)
    if not doubles:
        return kept, ()
    lines = "1 line lies" if len(doubles) == 1 else f"{len(doubles)} lines lie"
    were = "was" if len(doubles) == 1 else "were"
    finding = Finding(
        "drawn-twice",
        Severity.NOTE,
        f"{where}, {doubles[0].element}",
        f"{lines} exactly on another with the same role and {were} left out. Delete the doubles "
        "in the editor to be rid of this note.",
    )
    return kept, (finding,)


def _cell(path: Path) -> tuple[int, int]:
    # Both ends count, so that many lines from one point do not share a square.
    start, end = path.start, path.end
    return (
        math.floor((start.x + end.x * 0.618) / _CELL),
        math.floor((start.y + end.y * 0.618) / _CELL),
    )


def _same(one: Path, other: Path) -> bool:
    return all(
        len(a) == len(b) and all(_near(p, q) for p, q in zip(a, b, strict=True))
        for a, b in zip(one.segments, other.segments, strict=True)
    )


def _near(one: Point, other: Point) -> bool:
    return one.to(other) <= SAME
