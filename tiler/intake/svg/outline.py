"""From a subpath in the drawing's units to a path in millimetres."""

from __future__ import annotations

from tiler.intake.svg import limits
from tiler.intake.svg.arcs import to_cubics
from tiler.intake.svg.subpath import Arc, Subpath
from tiler.intake.svg.xmltree import Node
from tiler.pattern.affine import Affine
from tiler.pattern.path import Cubic, Path, Segment, Straight

#: Ends nearer than this are the same point and close a line, in millimetres.
CLOSES = 0.01
#: Segments below this are slips of arithmetic, in millimetres.
NOTHING = 1e-6


def to_path(node: Node, subpath: Subpath, to_mm: Affine) -> Path | None:
    """The path, or None when it is only a point (all of it within `CLOSES`).

    Raises:
        DrawingError: A place farther away than any paper reaches.
    """
    segments = _segments(subpath, to_mm)
    if not segments:
        return None
    points = [point for segment in segments for point in segment]
    for x, y in points:
        if not (abs(x) <= limits.REACH and abs(y) <= limits.REACH):
            raise node.fault(
                f"it reaches farther than {limits.REACH / 1000:.0f} m from the page",
                "Correct its coordinates, its transform or the viewBox.",
            )
    spread_x = max(p.x for p in points) - min(p.x for p in points)
    spread_y = max(p.y for p in points) - min(p.y for p in points)
    if max(spread_x, spread_y) <= CLOSES:
        return None
    start, end = segments[0].start, segments[-1].end
    gap = end.to(start)
    if gap <= CLOSES:
        # Also where a Z would draw a line across the gap: programs that write rounded relative
        # numbers leave such gaps, and a line of a micrometre would count as an edge.
        segments[-1] = segments[-1]._replace(end=start)
    elif subpath.closed:
        segments.append(Straight(end, start))
    return Path(tuple(segments), closed=subpath.closed or gap <= CLOSES)


def _segments(subpath: Subpath, to_mm: Affine) -> list[Segment]:
    segments: list[Segment] = []
    here = to_mm(subpath.start)
    for step in subpath.steps:
        pieces: list[Segment]
        if isinstance(step, Arc):
            pieces = list(to_cubics(step, to_mm))
        elif isinstance(step, Cubic):
            a, b, c, d = step
            pieces = [Cubic(to_mm(a), to_mm(b), to_mm(c), to_mm(d))]
        else:
            pieces = [Straight(to_mm(step.start), to_mm(step.end))]
        for piece in pieces:
            if max(here.to(point) for point in piece) <= NOTHING:
                continue
            segments.append(piece._replace(start=here))
            here = piece.end
    return segments
