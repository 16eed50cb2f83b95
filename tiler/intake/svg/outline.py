"""From a subpath in the drawing's units to a path in millimetres."""

from __future__ import annotations

import math

from tiler.intake.svg import limits
from tiler.intake.svg.arcs import to_cubics
from tiler.intake.svg.subpath import Arc, Subpath
from tiler.intake.svg.xmltree import Node
from tiler.pattern.affine import Affine
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic, Segment, Straight

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
    spread = max(
        _spread(node, [point[axis] for segment in segments for point in segment]) for axis in (0, 1)
    )
    if spread <= CLOSES:
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


def _spread(node: Node, values: list[float]) -> float:
    low, high = min(values), max(values)
    # The sum is not finite when any value is not, which min and max do not always tell.
    if not math.isfinite(sum(values)) or low < -limits.REACH or high > limits.REACH:
        raise node.fault(
            f"it reaches farther than {limits.REACH / 1000:.0f} m from the page",
            "Correct its coordinates, its transform or the viewBox.",
        )
    return high - low


def _segments(subpath: Subpath, to_mm: Affine) -> list[Segment]:
    segments: list[Segment] = []
    here = to_mm(subpath.start)
    for step in subpath.steps:
        pieces: list[Segment]
        if isinstance(step, Arc):
            pieces = list(to_cubics(step, to_mm))
        elif isinstance(step, Cubic):
            pieces = [Cubic(here, to_mm(step.handle_1), to_mm(step.handle_2), to_mm(step.end))]
        else:
            pieces = [Straight(here, to_mm(step.end))]
        for piece in pieces:
            # Where a slip was left out, the next segment begins where that one did.
            whole = piece if piece.start is here else piece._replace(start=here)
            if max(map(here.to, whole)) <= NOTHING:
                continue
            segments.append(whole)
            here = whole.end
    return segments
