"""A drawn outline made fit to measure: closed, clockwise, without specks."""

from __future__ import annotations

import math
from itertools import pairwise

from tiler.pattern.affine import Point
from tiler.pattern.errors import DrawingError
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic, Segment, Straight

#: Segments shorter than this (millimetres) are rounding left by the drawing program.
SPECK = 0.001
#: Ends this near (millimetres) were meant to meet.
MEETS = 0.05
#: Ends this near are joined and told; further apart the outline is open.
NEARLY_MEETS = 0.5


def gap_of(path: Path) -> float:
    """Millimetres between the ends of a path; 0 when the drawing closes it."""
    return 0.0 if path.closed else path.start.to(path.end)


def closes(path: Path) -> bool:
    """Whether a path is a ring, or so nearly that it is taken for one."""
    return path.closed or (path.length > 4 * NEARLY_MEETS and gap_of(path) <= NEARLY_MEETS)


def ring_from(path: Path, where: str) -> Path:
    """The closed, clockwise ring that a drawn outline stands for.

    Specks go, ends at most 0.5 mm apart meet half way, and the direction is turned so that the
    signed area is negative (y up).

    Args:
        path: A path that `closes`.
        where: File, piece and element, for messages.

    Raises:
        DrawingError: Coordinates that are not numbers, or nothing is left.
    """
    refuse_not_finite(path, where)
    segments = _without_specks(path.segments)
    # The short way home that a drawing program adds where the last node lies beside the first.
    while (
        path.closed
        and len(segments) > 2
        and isinstance(segments[-1], Straight)
        and segments[-1].length <= MEETS
        and segments[-1].end.to(segments[0].start) <= SPECK
    ):
        segments.pop()
    if not segments:
        raise DrawingError(
            "the outline has no length", where=where, remedy="Draw it again, or delete it."
        )
    start, end = segments[0].start, segments[-1].end
    if end.to(start) > (NEARLY_MEETS if not path.closed else MEETS):
        segments.append(Straight(end, start))
    elif end != start:
        middle = Straight(end, start).at(0.5)
        segments[0] = with_start(segments[0], middle)
        segments[-1] = with_end(segments[-1], middle)
    ring = Path(tuple(segments), closed=True)
    return ring.reversed() if ring.area > 0 else ring


def refuse_not_finite(path: Path, where: str) -> None:
    """Check that all coordinates are numbers.

    Raises:
        DrawingError: One is infinite or not a number.
    """
    if not all(math.isfinite(x) for segment in path.segments for point in segment for x in point):
        raise DrawingError(
            "a coordinate is not a number", where=where, remedy="Draw the line again."
        )


def _without_specks(segments: tuple[Segment, ...]) -> list[Segment]:
    kept: list[Segment] = []
    for segment in segments:
        reach = sum(a.to(b) for a, b in pairwise(segment))
        if reach <= SPECK:
            continue
        if kept and kept[-1].end != segment.start:
            segment = with_start(segment, kept[-1].end)
        kept.append(segment)
    return kept


def with_start(segment: Segment, start: Point) -> Segment:
    """The segment begun elsewhere, the handle there carried along."""
    if isinstance(segment, Straight):
        return Straight(start, segment.end)
    dx, dy = start.x - segment.start.x, start.y - segment.start.y
    handle = Point(segment.handle_1.x + dx, segment.handle_1.y + dy)
    return Cubic(start, handle, segment.handle_2, segment.end)


def with_end(segment: Segment, end: Point) -> Segment:
    """The segment ended elsewhere, the handle there carried along."""
    back = with_start(type(segment)(*segment[::-1]), end)
    return type(back)(*back[::-1])
