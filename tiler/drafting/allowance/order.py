"""The kept parts of a ring in the order of its edges, without crumbs of near-touching curves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from tiler.drafting.allowance.crossing import crossing
from tiler.drafting.allowance.curves import Bit
from tiler.drafting.allowance.untangle import Kept
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError

#: Where two offsets run into each other at a small angle, their chords cross more than once; what
#: lies between is out of order and this short (millimetres) at most.
CRUMB = 0.5


def in_order(ring: Sequence[Bit], kept: Sequence[Kept], names: Sequence[str]) -> list[Kept]:
    """Leave out parts that go back to what came before; their neighbours meet instead.

    Args:
        ring: The raw ring.
        kept: Its parts on the boundary.
        names: The edges' names, for messages.

    Raises:
        PatternError: More than a crumb is out of order: other edges' allowances overlap there.
    """
    first = max(range(len(kept)), key=lambda number: _length(kept[number]))
    kept = [*kept[first:], *kept[:first]]
    places = [_place(part, kept[0], len(ring)) for part in kept]
    chosen = _longest_rising(places, [_length(part) for part in kept])
    left_out = [part for number, part in enumerate(kept) if number not in chosen]
    if not left_out:
        return kept
    if sum(_length(part) for part in left_out) > CRUMB:
        part = max(left_out, key=_length)
        owners = dict.fromkeys(ring[part.number].owner for part in left_out)
        raise PatternError(
            f"the allowances overlap near ({part.start.x:.1f}, {part.start.y:.1f}) mm",
            where=", ".join(names[owner] for owner in owners),
            remedy="Take narrower allowances there, or part the edges further.",
        )
    return _closed_up(ring, [kept[number] for number in sorted(chosen)])


def _length(part: Kept) -> float:
    return part.start.to(part.end)


def _place(part: Kept, first: Kept, count: int) -> tuple[int, float]:
    """Where a part is on the ring, counted from the first one."""
    number = (part.number - first.number) % count
    if number == 0 and part.low < first.low:
        number = count
    return number, part.low


def _longest_rising(places: Sequence[tuple[int, float]], lengths: Sequence[float]) -> set[int]:
    """Numbers of the parts that rise from the first one and are the longest together."""
    total = [0.0] * len(places)
    before = [-1] * len(places)
    for number, place in enumerate(places):
        for earlier in range(number):
            if places[earlier] < place and total[earlier] > total[number]:
                total[number], before[number] = total[earlier], earlier
        total[number] += lengths[number]
    number = max(range(len(places)), key=lambda n: total[n])
    chosen = set()
    while number >= 0:
        chosen.add(number)
        number = before[number]
    return chosen


def _closed_up(ring: Sequence[Bit], parts: list[Kept]) -> list[Kept]:
    """Let neighbours meet where their curves cross, or halfway."""
    for number in range(len(parts)):
        one, two = parts[number - 1], parts[number]
        if one is two or one.end.to(two.start) < 1e-6:
            continue
        middle = Point((one.end.x + two.start.x) / 2, (one.end.y + two.start.y) / 2)
        high, low, point = crossing(ring[one.number], one.high, ring[two.number], two.low, middle)
        if point.to(middle) > CRUMB or high <= one.low or low >= two.high:
            high, low, point = one.high, two.low, middle
        parts[number - 1] = replace(one, high=high, end=point)
        parts[number] = replace(two, low=low, start=point)
    return parts
