"""The kept parts of a ring, as one path for every edge."""

from __future__ import annotations

from collections.abc import Sequence

from tiler.drafting.allowance.curves import Bit, Shifted
from tiler.drafting.allowance.fit import fitted, merged
from tiler.drafting.allowance.ring import Side
from tiler.drafting.allowance.untangle import Kept
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic, Segment, Straight, parameter_at

#: What is kept (millimetres) of an edge that its neighbours' allowances have swallowed, so that
#: the cut line has as many edges as the stitch line.
SLIVER = 0.1
#: Turned back parts below this (millimetres) are loops too small to be seen as crossings.
TRACE = 0.02
#: An edge may be swallowed if it is no longer than this many of the allowances around it.
SHORT = 2.0


def edge_paths(ring: Sequence[Bit], kept: Sequence[Kept], sides: Sequence[Side]) -> list[Path]:
    """One path for every edge, each beginning where the one before it ends.

    Args:
        ring: The raw ring.
        kept: Its parts on the cut line, in order (from any one on).
        sides: The edges that it was made from.

    Raises:
        PatternError: An edge that is longer than the allowances around it has no share in the
            cut line.
    """
    kept = [part for part in kept if not _trace(ring[part.number], part)]
    first = _first(kept)
    kept = [*kept[first:], *kept[:first]]
    segments: list[list[Segment]] = [[] for _ in sides]
    joints = _joints(kept)
    for part, start, end in zip(kept, joints, [*joints[1:], joints[0]], strict=True):
        bit = ring[part.number]
        segments[part.owner] += _segments(bit, part, start, end)
    paths = [merged(own) for own in segments]
    for number, own in enumerate(paths):
        if not own:
            _refuse_long(number, sides)
    _give_slivers(paths)
    return [Path(tuple(own)) for own in paths]


def _trace(bit: Bit, part: Kept) -> bool:
    """Whether a part is what rounding has left of a loop."""
    return bit.turned_back and part.start.to(part.end) < TRACE


def _first(kept: Sequence[Kept]) -> int:
    """Which part begins an edge, or the ring where there is one edge only."""
    turns = [(part.number, part.low) for part in kept]
    begins = [n for n in range(len(kept)) if kept[n].owner != kept[n - 1].owner]
    return min(begins or range(len(kept)), key=lambda number: turns[number])


def _joints(kept: Sequence[Kept]) -> list[Point]:
    """Where each part begins: halfway over the gap that `JOINT` allows."""
    return [
        Point((before.end.x + part.start.x) / 2, (before.end.y + part.start.y) / 2)
        for before, part in zip([kept[-1], *kept[:-1]], kept, strict=True)
    ]


def _segments(bit: Bit, part: Kept, start: Point, end: Point) -> Sequence[Segment]:
    cut = bit.part(part.low, part.high)
    if isinstance(bit.curve, Shifted) and bit.curve.distance == 0:
        own = _stretch(bit.curve.segment, cut.start, cut.end)
        if isinstance(own, Straight):
            return [Straight(start, end)]
        return [Cubic(start, own.handle_1, own.handle_2, end)]
    return fitted(cut, start, end)


def _stretch(segment: Segment, low: float, high: float) -> Segment:
    """The part of a segment between two parameters, walked from the first to the second."""
    if low > high:
        back = _stretch(segment, high, low)
        return type(back)(*back[::-1])
    head = segment.split(high)[0] if high < 1 else segment
    return head.split(low / high)[1] if low > 0 else head


def _refuse_long(number: int, sides: Sequence[Side]) -> None:
    around = [sides[number - 1], sides[number], sides[(number + 1) % len(sides)]]
    if sides[number].path.length > SHORT * max(side.width for side in around):
        raise _swallowed(sides[number])


def _swallowed(side: Side) -> PatternError:
    place, _ = side.path.point_at(side.path.length / 2)
    return PatternError(
        "the allowances around this edge overlap, and leave it no line of its own",
        where=f"{side.name}, near ({place.x:.1f}, {place.y:.1f}) mm",
        remedy="Take narrower allowances there; a slit is cut later, on its own line.",
    )


def _give_slivers(paths: list[list[Segment]]) -> None:
    """Give every edge without a share a little of the end of the edge before it."""
    start = next(number for number, own in enumerate(paths) if own)
    before = paths[start]
    waiting: list[list[Segment]] = []
    for step in range(1, len(paths) + 1):
        own = paths[(start + step) % len(paths)]
        if not own:
            waiting.append(own)
            continue
        while waiting:
            last = before[-1]
            length = last.length
            share = max(length - SLIVER, length / 2)
            before[-1], tail = last.split(parameter_at(last, share, length))
            waiting.pop().append(tail)
        before = own
