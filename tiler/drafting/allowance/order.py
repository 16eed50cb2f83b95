"""The kept parts of a ring in the order of its edges, or what has got out of order refused."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from tiler.drafting.allowance.crossing import crossing
from tiler.drafting.allowance.curves import Bit, Shifted
from tiler.drafting.allowance.ring import Side
from tiler.drafting.allowance.untangle import Kept
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError

#: Where two offsets run into each other at a small angle, their chords cross more than once; what
#: lies between is out of order and this short (millimetres) at most.
CRUMB = 0.5
#: Allowances may swallow so much of the stitch line, in widths of the widest of them, where they
#: fill a hollow. A hollow corner of angle a loses 2 / tan(a / 2) widths: 11.3 at 20 degrees. What
#: takes more is a slit, in which cloth would be wanted twice.
SWALLOWED = 12.0


def in_order(
    ring: Sequence[Bit], kept: Sequence[Kept], sides: Sequence[Side], *, outwards: bool
) -> list[Kept]:
    """Bring the parts of a boundary into the order of the edges.

    Crumbs that go back to what came before are left out. Where an allowance is wider than the
    steps of its stitch line, the boundary may touch them in another order; such parts are given
    to the edge in whose run they lie.

    Args:
        ring: The raw ring.
        kept: Its parts on the boundary.
        sides: The edges that it was made from.
        outwards: Whether allowances are added, which must not want the same cloth.

    Raises:
        PatternError: Parts that are far from each other on the stitch line meet: allowances
            overlap there.
    """
    first = max(range(len(kept)), key=lambda number: _length(kept[number]))
    kept = [*kept[first:], *kept[:first]]
    places = [_place(part, kept[0], len(ring)) for part in kept]
    if any(low >= high for low, high in pairwise(places)):
        chosen = _longest_rising(places, [_length(part) for part in kept])
        lost = sum(_length(part) for number, part in enumerate(kept) if number not in chosen)
        if lost <= CRUMB:
            kept = _closed_up(ring, [kept[number] for number in sorted(chosen)])
        else:
            kept = _given_over(ring, kept, chosen, sides)
    if outwards:
        _refuse_slits(ring, kept, sides)
    return kept


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


def _given_over(
    ring: Sequence[Bit], kept: Sequence[Kept], chosen: set[int], sides: Sequence[Side]
) -> list[Kept]:
    """Parts out of order with the owner of the part in order before them."""
    way = _Way(ring, sides)
    found: list[Kept] = []
    owner = next(kept[number].owner for number in sorted(chosen))
    for number, part in enumerate(kept):
        if number in chosen:
            owner = part.owner
        elif way.apart(found[-1], part) > _reach(found[-1], part, sides):
            raise _overlap(found[-1], part, sides)
        found.append(replace(part, owner=owner))
    return found


def _refuse_slits(ring: Sequence[Bit], kept: Sequence[Kept], sides: Sequence[Side]) -> None:
    way = _Way(ring, sides)
    for one, two in zip([kept[-1], *kept[:-1]], kept, strict=True):
        follows = (two.number - one.number) % len(ring) <= 1
        if not follows and way.apart(one, two) > _reach(one, two, sides):
            raise _overlap(one, two, sides)


def _reach(one: Kept, two: Kept, sides: Sequence[Side]) -> float:
    """What the allowances of two edges, of those between and beside them may swallow together."""
    steps = (two.owner - one.owner) % len(sides)
    around = (sides[(one.owner + step) % len(sides)] for step in range(-1, steps + 2))
    return SWALLOWED * max(side.width for side in around)


def _overlap(one: Kept, two: Kept, sides: Sequence[Side]) -> PatternError:
    names = dict.fromkeys(sides[part.owner].name for part in (one, two))
    return PatternError(
        f"the allowances overlap near ({two.start.x:.1f}, {two.start.y:.1f}) mm",
        where=", ".join(names),
        remedy="Take narrower allowances there, or part the edges further.",
    )


class _Way:
    """How far parts are from each other along the stitch line, by way of lengths of segments."""

    def __init__(self, ring: Sequence[Bit], sides: Sequence[Side]) -> None:
        lengths = {id(s): s.length for side in sides for s in side.path.segments}
        self._at = [0.0]
        for bit in ring:
            beside = bit.curve.segment if isinstance(bit.curve, Shifted) else None
            length = lengths.get(id(beside), 0.0)
            self._at.append(self._at[-1] + abs(bit.end - bit.start) * length)

    def apart(self, one: Kept, two: Kept) -> float:
        """Millimetres of stitch line from the end of a part to the start of another, at least."""
        distance = abs(self._place(one.number, one.high) - self._place(two.number, two.low))
        return min(distance, self._at[-1] - distance)

    def _place(self, number: int, share: float) -> float:
        return self._at[number] + (self._at[number + 1] - self._at[number]) * share
