"""The raw ring: offsets of all edges, joined at their corners, loops not yet removed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tiler.drafting.allowance.arms import Arm, End
from tiler.drafting.allowance.corners import mitred, squared
from tiler.drafting.allowance.curves import Bit, Shifted, Vector
from tiler.drafting.allowance.cusps import offset_bits
from tiler.drafting.allowance.reflected import reflected
from tiler.pattern.path import Path
from tiler.pattern.wishes import Finish


@dataclass(frozen=True, slots=True)
class Corner:
    """How the corner between an edge and the next one is finished.

    Args:
        finish: The way of finishing.
        first: Whether the leading edge of the finish (the seam sewn first, or the side at a hem)
            is the one that ends here; otherwise it is the one that begins here.
        limit: How far a mitre's point may lie from the stitch corner, in widths of the wider.
    """

    finish: Finish
    first: bool
    limit: float


@dataclass(frozen=True, slots=True)
class Side:
    """An edge of the ring.

    Args:
        path: The stitch line, in the ring's way.
        width: Millimetres to the left.
        name: For messages.
        keeps: Whether neighbours end on its straight continuation, however much that takes off
            them, as on a fold.
    """

    path: Path
    width: float
    name: str
    keeps: bool = False


def raw_ring(sides: Sequence[Side], corners: Mapping[int, Corner]) -> list[Bit]:
    """Offset every edge to the left and join neighbours; the result may cross itself.

    Args:
        sides: Closed ring.
        corners: Number of an edge -> the corner at its end; all are there.

    Returns:
        Bits from the corner before the first edge, all the way round; neighbours touch within
        `corners.JOINT`.

    Raises:
        PatternError: A side is too short to be mirrored.
    """
    offsets = [_offset(number, side, corners[number].limit) for number, side in enumerate(sides)]
    ends: list[End] = [End()] * len(sides)
    starts: list[End] = [End()] * len(sides)
    for number in range(len(sides)):
        after = (number + 1) % len(sides)
        one, two = _arms(number, after, sides, offsets)
        ends[number], starts[after] = _finished(one, two, sides, corners[number])
    ring: list[Bit] = []
    for number in range(len(sides)):
        ring.extend(_between(offsets[number], starts[number], ends[number]))
    return ring


def _offset(number: int, side: Side, limit: float) -> tuple[Bit, ...]:
    """An edge's offset, its inner nodes joined."""
    bits: list[Bit] = []
    before: Arm | None = None
    for segment in side.path.segments:
        own = offset_bits(Shifted(segment, side.width), number)
        stitch = Bit(Shifted(segment), 0.0, 1.0, number)
        if before is not None:
            end, start = mitred(before, _leaving(stitch, own, side), limit)
            bits.extend(part.reversed() for part in reversed(end.stub))
            bits.extend(start.stub)
        bits.extend(own)
        before = _arriving(stitch, own, side)
    return tuple(bits)


def _arms(
    number: int, after: int, sides: Sequence[Side], offsets: Sequence[tuple[Bit, ...]]
) -> tuple[Arm, Arm]:
    last, first = _stitch(number, sides[number])[-1], _stitch(after, sides[after])[0]
    return (
        _arriving(last, offsets[number], sides[number]),
        _leaving(first, offsets[after], sides[after]),
    )


def _finished(one: Arm, two: Arm, sides: Sequence[Side], corner: Corner) -> tuple[End, End]:
    if corner.finish is Finish.MITRE:
        return mitred(one, two, corner.limit)
    if corner.finish is Finish.SQUARE:
        return squared(one, two) if corner.first else squared(two, one)[::-1]
    names = [side.name for side in sides]
    if corner.first:
        return reflected(one, two, _stitch(two.owner, sides[two.owner]), names)
    hem = [bit.reversed() for bit in reversed(_stitch(one.owner, sides[one.owner]))]
    return reflected(two, one, hem, names)[::-1]


def _stitch(number: int, side: Side) -> list[Bit]:
    return [Bit(Shifted(segment), 0.0, 1.0, number) for segment in side.path.segments]


def _leaving(stitch: Bit, offset: tuple[Bit, ...], side: Side) -> Arm:
    way = stitch.heading(0.0)
    return Arm(stitch.owner, stitch.at(0.0), way, _left(way), side.width, offset, side.keeps)


def _arriving(stitch: Bit, offset: tuple[Bit, ...], side: Side) -> Arm:
    dx, dy = stitch.heading(1.0)
    back = tuple(bit.reversed() for bit in reversed(offset))
    outward = _left((dx, dy))
    return Arm(stitch.owner, stitch.at(1.0), (-dx, -dy), outward, side.width, back, side.keeps)


def _left(way: Vector) -> Vector:
    return -way[1], way[0]


def _between(offset: tuple[Bit, ...], start: End, end: End) -> list[Bit]:
    """The edge from corner to corner: stub, offset as far as it is kept, stub.

    Where the neighbours' allowances meet before this one, it is walked backwards, which makes a
    loop that is removed with all others.
    """
    first, s = start.place.index, start.place.s
    last, t = len(offset) - 1 - end.place.index, 1.0 - end.place.s
    if first == last:
        kept = [offset[first].part(s, t)] if s != t else []
    elif first < last:
        kept = [offset[first].part(s, 1.0), *offset[first + 1 : last], offset[last].part(0.0, t)]
    else:
        back = [bit.reversed() for bit in reversed(offset[last + 1 : first])]
        kept = [offset[first].part(s, 0.0), *back, offset[last].part(1.0, t)]
    return [*start.stub, *kept, *(bit.reversed() for bit in reversed(end.stub))]
