"""Lines and marks of a half piece, carried on to the whole."""

from __future__ import annotations

from dataclasses import replace

from tiler.drafting.unfold.mirror import Axis
from tiler.intake.ring import MEETS
from tiler.pattern.affine import Point
from tiler.pattern.model import Line, Mark
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic, Segment, Straight


def opened_line(line: Line, axis: Axis) -> tuple[Line, ...]:
    """The line and its mirror image, joined where the line ends on the fold (within 0.05 mm).

    A line that lies along the fold stays single. A ring that runs along the fold for a while
    becomes one ring round both halves.
    """
    path = _without_fold(line.path, axis)
    if not path.segments or axis.bulge(path) <= MEETS:
        return (line,)
    if path.closed:
        return (line, replace(line, path=path.moved(axis.mirror)))
    starts, ends = (abs(axis.offset(point)) <= MEETS for point in (path.start, path.end))
    if not starts and not ends:
        return (line, replace(line, path=path.moved(axis.mirror)))
    path = pinned(
        path,
        axis.foot(path.start) if starts else path.start,
        axis.foot(path.end) if ends else path.end,
    )
    other = path.moved(axis.mirror).reversed()
    if ends:
        other = pinned(other, path.end, path.start if starts else other.end)
        whole = Path(path.segments + other.segments, closed=starts)
    else:
        other = pinned(other, other.start, path.start)
        whole = Path(other.segments + path.segments)
    return (replace(line, path=whole),)


def opened_mark(mark: Mark, axis: Axis) -> tuple[Mark, ...]:
    """The mark and its mirror image; a mark on the fold (within 0.05 mm) stays single."""
    if abs(axis.offset(mark.at)) <= MEETS:
        return (mark,)
    other = replace(mark, at=axis.mirror(mark.at), path=mark.path.moved(axis.mirror))
    return (mark, other)


def pinned(path: Path, start: Point, end: Point) -> Path:
    """The path with its ends put exactly at two points close by; handles are carried along."""
    segments = list(path.segments)
    segments[0] = _begun(segments[0], start)
    last = segments[-1]
    back = _begun(type(last)(*last[::-1]), end)
    segments[-1] = type(back)(*back[::-1])
    return Path(tuple(segments), path.closed)


def _begun(segment: Segment, start: Point) -> Segment:
    if isinstance(segment, Straight):
        return Straight(start, segment.end)
    by_x, by_y = start.x - segment.start.x, start.y - segment.start.y
    handle = Point(segment.handle_1.x + by_x, segment.handle_1.y + by_y)
    return Cubic(start, handle, segment.handle_2, segment.end)


def _without_fold(path: Path, axis: Axis) -> Path:
    """A ring opened where it runs along the fold; any other path as it is."""
    if not path.closed:
        return path
    kept = [axis.bulge(Path((segment,))) > MEETS for segment in path.segments]
    starts = [i for i, keep in enumerate(kept) if keep and not kept[i - 1]]
    if len(starts) != 1:
        return path
    turned = path.segments[starts[0] :] + path.segments[: starts[0]]
    return Path(turned[: sum(kept)])
