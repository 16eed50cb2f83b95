"""The way from items to their places on a strip."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from tiler.layout.packing.options import Packing
from tiler.layout.strip.canvas import Raster, Stamp, stamps_of
from tiler.layout.strip.items import Item
from tiler.layout.strip.paper import RIM, Strip
from tiler.layout.strip.push import pushed
from tiler.layout.strip.search import Layout, Search
from tiler.layout.strip.shelves import Spot, shelved
from tiler.pattern.affine import Affine
from tiler.pattern.errors import Terminated


@dataclass(frozen=True, slots=True)
class _Stage:
    """One search: about the side of a pixel in mm, the most pixels of a canvas, and its steps.

    Steps take about a microsecond each.
    """

    pixel: float
    most: int
    steps: float


_HASTY = _Stage(6.0, 90_000, 0.5e6)
#: The searches of an effort: coarse pixels try more arrangements, fine ones closer ones.
_STAGES = {
    "quick": (_HASTY,),
    "normal": (_HASTY, _Stage(6.0, 90_000, 3e6), _Stage(3.5, 300_000, 5e6)),
    "long": (
        _HASTY,
        _Stage(6.0, 90_000, 15e6),
        _Stage(3.5, 300_000, 30e6),
        _Stage(2.5, 600_000, 40e6),
    ),
}
#: Of the best arrangements in pixels so many are pushed together in millimetres.
_FINALISTS = 3
#: Room below what shelves take, for arrangements on the way to better ones.
_BEYOND = 1.1

#: Told lengths and millimetres of the best arrangement so far, and the share of the work done.
Progress = Callable[[int, float, float], None]


@dataclass(frozen=True)
class Lain:
    """Items on a strip.

    Args:
        spots: Where each lies.
        lengths: How many lengths are used.
        longest: What the longest of them takes from its beginning, its far rim included, mm.
        stopped: Whether the search was interrupted.
    """

    spots: tuple[Spot, ...]
    lengths: int
    longest: float
    stopped: bool = False

    @classmethod
    def of(
        cls, items: Sequence[Item], spots: Sequence[Spot], strip: Strip, stopped: bool = False
    ) -> Lain:
        """What some places come to; lengths on which nothing lies are left out."""
        headed = {0} if strip.head else set()
        numbers = sorted({spot.length for spot in spots} | headed)
        closer = tuple(Spot(numbers.index(spot.length), spot.at) for spot in spots)
        return cls(closer, len(numbers), max(ends(items, spots)), stopped)


def ends(items: Sequence[Item], spots: Sequence[Spot]) -> list[float]:
    """Where each item ends on its length, the rim after it included, millimetres."""
    return [RIM - item.turned(spot.at).bounds[1] for item, spot in zip(items, spots, strict=True)]


def lay(
    items: Sequence[Item], strip: Strip, packing: Packing, progress: Progress | None = None
) -> Lain:
    """Lay items on as little of a strip as can be found, never on more than plain shelves take.

    The result depends on nothing but the arguments: not on the machine, its speed or its cores.

    Args:
        items: At least one; each goes on a length in one of its turns.
        strip: The paper.
        packing: What is asked: gap, effort and seed.
        progress: Told several times a second how good the best arrangement is.

    Raises:
        KeyboardInterrupt: Before a first arrangement was found. Later on an interrupt ends the
            search, and the best arrangement is returned as `stopped`.
        ValueError: An item goes on no length, or all do not go on as many as there are.
    """
    simple = shelved(items, strip, packing.gap)
    room = not strip.count or max(spot.length for spot in simple) < strip.count
    found = [simple, pushed(items, simple, strip, packing.gap)] if room else []
    better, stopped = _searched(items, strip, packing, simple, progress)
    found += better
    if not found:
        raise ValueError("the items do not go on the lengths that there are")
    best = min(found, key=lambda spots: cost(items, spots, strip))
    return Lain.of(items, best, strip, stopped)


def cost(items: Sequence[Item], spots: Sequence[Spot], strip: Strip) -> tuple[float, ...]:
    """What arrangements are compared by, rounded so that it is the same everywhere."""
    at = ends(items, spots)
    longest = round(max(at), 3)
    if strip.even or math.isinf(strip.limit):
        return (longest,)
    last = max(spot.length for spot in spots)
    final = max(end for end, spot in zip(at, spots, strict=True) if spot.length == last)
    return (last + 1, round(final, 3))


def _searched(
    items: Sequence[Item],
    strip: Strip,
    packing: Packing,
    simple: Sequence[Spot],
    progress: Progress | None,
) -> tuple[list[tuple[Spot, ...]], bool]:
    """The best arrangements of the searches in millimetres, and whether they were stopped."""
    stages = _STAGES[packing.effort]
    total, before = sum(stage.steps for stage in stages), 0.0
    found: list[tuple[Spot, ...]] = []
    reached: tuple[int, float] | None = None
    for number, stage in enumerate(stages):
        raster = _raster(items, strip, stage, packing.gap, simple)
        kept: list[Layout] = []

        def report(layout: Layout | None, share: float) -> None:
            nonlocal reached
            if layout is not None:
                kept.insert(0, layout)  # noqa: B023
                del kept[_FINALISTS:]  # noqa: B023
                here = _reached(raster, layout)  # noqa: B023
                reached = min(reached, here) if reached else here
            if progress and reached:
                progress(*reached, (before + share * stage.steps) / total)  # noqa: B023

        stopped = False
        try:
            stamps = [stamps_of(item, raster) for item in items]
            enough = _enough(items, strip, raster, stamps)
            seed = packing.seed * 1000 + number
            Search(raster, stamps, seed, stage.steps, enough, report).run()
        except KeyboardInterrupt as wish:
            if isinstance(wish, Terminated) or not (kept or found):
                raise
            stopped = True
        laid = [_in_millimetres(layout, stamps, raster) for layout in kept]
        found += [pushed(items, spots, strip, packing.gap) for spots in laid]
        if stopped or (kept and min(layout.deepest for layout in kept) <= enough):
            return found, stopped
        before += stage.steps
    return found, False


def _raster(
    items: Sequence[Item], strip: Strip, stage: _Stage, gap: float, simple: Sequence[Spot]
) -> Raster:
    """Pixels of the stage, coarser ones where the paper that is needed is large."""
    longest = max(ends(items, simple)) * _BEYOND + 2 * gap
    lengths = strip.count or 1 + max(spot.length for spot in simple)
    coarsest = math.sqrt(strip.width * min(longest, strip.limit) * lengths / stage.most)
    return Raster.of(strip, max(stage.pixel, coarsest), gap, longest, lengths)


def _enough(
    items: Sequence[Item], strip: Strip, raster: Raster, stamps: Sequence[Sequence[Stamp]]
) -> float:
    """A price of the last row than which no arrangement can do better.

    Endless paper is at least as long as the item that is longest where it is shortest, and as the
    area of all asks for; of sheets no fewer are needed than that area fills.
    """
    area = sum(item.area for item in items) + strip.head * strip.width
    if math.isinf(strip.limit) or strip.even:
        lowest = max(min(int(stamp.mask.shape[0]) for stamp in each) for each in stamps)
        filled = area / (strip.width * raster.pixel * (raster.lengths if strip.even else 1))
        head = 0 if strip.even else raster.taken
        return max(head + lowest - 1, math.floor(filled) - 1)
    fewest = max(1, math.ceil(area / (strip.width * strip.limit) - 1e-9))
    return fewest * raster.period - 1


def _in_millimetres(
    layout: Layout, stamps: Sequence[Sequence[Stamp]], raster: Raster
) -> tuple[Spot, ...]:
    spots = []
    for number, place in enumerate(layout.places):
        length, row = divmod(place.row, raster.period)
        move = Affine.move(
            place.column * raster.pixel - raster.over, raster.over - row * raster.pixel
        )
        spots.append(Spot(length, stamps[number][place.stamp].at.then(move)))
    return tuple(spots)


def _reached(raster: Raster, layout: Layout) -> tuple[int, float]:
    """Lengths that are used, and millimetres of the longest or last one."""
    length, row = divmod(round(layout.deepest), raster.period)
    return (raster.lengths if raster.even else length + 1), (row + 1) * raster.pixel
