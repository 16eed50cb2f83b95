"""Order and turns by trial: take a few items up, lay them down better, keep what is no worse."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from tiler.layout.strip.canvas import Canvas, Raster, Stamp

#: Shares of its turns in which an item that is laid down again is tried.
_SHARES = (0.3, 0.7, 1.0)
#: But in as many of them at least.
_LEAST_TRIED = 4
#: Share of the budget for arrangements from nothing.
_STARTS = 0.15
#: How often the search goes back to the best arrangement.
_HOME = 0.01
#: Temperature at the start and at the end, as a share of the strip's length at first.
_HOT, _COLD = 0.03, 0.001
#: What the mean end of the items weighs beside the last one's.
_MEAN = 0.2
#: A turn is this much worse at most by lot, rows.
_LOT = 0.5
#: How much worse a row is that makes the strip longer.
_LONGER = 3.0

#: Told each arrangement that is better than all before, or None; and the share of the budget used.
Report = Callable[["Layout | None", float], None]


@dataclass(frozen=True, slots=True)
class Place:
    """Which stamp of an item, and where its first pixel lies."""

    stamp: int
    row: int
    column: int


@dataclass(frozen=True)
class Layout:
    """An arrangement in pixels.

    Args:
        places: One for each item.
        deepest: What the last row costs that is taken.
        score: That, and how deep the items lie in the mean; less is better.
    """

    places: tuple[Place, ...]
    deepest: float
    score: float


class Search:
    """A search over arrangements on a canvas.

    Args:
        raster: The canvas.
        stamps: Each item in its turns.
        seed: Of the random choices.
        budget: Steps of about a microsecond that may be taken.
        enough: What the last row may cost for the search to end at once.
        report: Hears of progress.
    """

    def __init__(
        self,
        raster: Raster,
        stamps: Sequence[Sequence[Stamp]],
        seed: int,
        budget: float,
        enough: float,
        report: Report,
    ) -> None:
        self.raster, self.stamps, self.budget, self.report = raster, stamps, budget, report
        self.enough = enough
        self.rng = random.Random(seed)
        self.steps = 0.0
        self.prices = raster.prices()
        self.areas = [float(each[0].mask.sum()) for each in stamps]

    def run(self) -> Layout | None:
        """The best arrangement; None where no order of the items found room."""
        best, canvas = self._started()
        if best is None or canvas is None:
            return None
        now, room, first = best, canvas, best.deepest
        best_room = room
        while self.steps < self.budget and best.deepest > self.enough:
            trial = self._changed(now, room)
            self.steps += 200
            self.report(None, min(1.0, self.steps / self.budget))
            if trial is None:
                continue
            layout, changed = trial
            if layout.score < now.score + self._warmth(first):
                now, room = layout, changed
                if now.score < best.score - 1e-9:
                    best, best_room = now, room
                    self.report(best, min(1.0, self.steps / self.budget))
            if self.rng.random() < _HOME:
                now, room = best, best_room
        return best

    def _started(self) -> tuple[Layout | None, Canvas | None]:
        best, room, tries = None, None, 0
        while best is None or self.steps < self.budget * _STARTS:
            tries += 1
            canvas = Canvas(self.raster)
            places: list[Place | None] = [None] * len(self.stamps)
            noise, share = (0.0, 1.0) if tries == 1 else (0.4, 0.6)
            if self._fill(canvas, places, self._order(range(len(places)), noise), share):
                layout = self._layout(places)
                if best is None or layout.score < best.score:
                    best, room = layout, canvas
                    self.report(best, min(1.0, self.steps / self.budget))
                if best.deepest <= self.enough:
                    break
            elif best is None and self.steps > self.budget:
                break
        return best, room

    def _warmth(self, first: float) -> float:
        done = min(1.0, self.steps / self.budget)
        heat: float = first * _HOT * (_COLD / _HOT) ** done
        return -heat * math.log(max(1e-12, self.rng.random()))

    def _order(self, items: Sequence[int] | range, noise: float) -> list[int]:
        """Large items first, more or less."""
        keys = {k: self.areas[k] * math.exp(self.rng.gauss(0, 1) * noise) for k in items}
        return sorted(keys, key=lambda k: (-keys[k], k))

    def _fill(
        self, canvas: Canvas, places: list[Place | None], order: Sequence[int], share: float
    ) -> bool:
        """Lay items down one after the other; False where one finds no room."""
        reach = max((self._end(k, p) for k, p in enumerate(places) if p), default=0.0)
        lean = self.rng.choice((0.0, 0.5, 1.0))
        for item in order:
            count = len(self.stamps[item])
            tried = [k for k in range(count) if self.rng.random() < share]
            if len(tried) < _LEAST_TRIED:
                tried = self.rng.sample(range(count), min(_LEAST_TRIED, count))
            place = self._best_place(canvas, item, tried, reach, lean)
            if place is None and len(tried) < count:
                place = self._best_place(canvas, item, range(count), reach, lean)
            if place is None:
                return False
            places[item] = place
            canvas.add(self.stamps[item][place.stamp], place.row, place.column)
            reach = max(reach, self._end(item, place))
        return True

    def _best_place(
        self, canvas: Canvas, item: int, tried: Sequence[int], reach: float, lean: float
    ) -> Place | None:
        """The highest place, of all turns that are tried; where one side is as good, by lot."""
        best, least = None, math.inf
        raster = self.raster
        for number in tried:
            stamp = self.stamps[item][number]
            rows = stamp.mask.shape[0]
            handicap = self.rng.random() * _LOT
            for length in range(raster.lengths):
                start = length * raster.period
                base = self.prices[start]
                # What an item costs grows from row to row; a place must be cheaper than the best.
                most = least - handicap - lean * stamp.middle - (1 - lean) * (rows - 1) - base
                stop = raster.period if math.isinf(least) else math.ceil(most) + 1
                found = canvas.highest(stamp, start, start + max(0, min(stop, raster.period)))
                if found is None:
                    continue
                row, columns = found
                end = float(self.prices[row + rows - 1])
                cost = (1 - lean) * end + lean * (float(self.prices[row]) + stamp.middle)
                cost += _LONGER * max(0.0, end - reach) + handicap
                if cost < least:
                    column = int(columns[0] if self.rng.random() < 0.5 else columns[-1])
                    best, least = Place(number, row, column), cost
                if not raster.even:
                    break
        self.steps += canvas.steps
        canvas.steps = 0.0
        return best

    def _end(self, item: int, place: Place) -> float:
        rows = self.stamps[item][place.stamp].mask.shape[0]
        return float(self.prices[place.row + rows - 1])

    def _changed(self, now: Layout, room: Canvas) -> tuple[Layout, Canvas] | None:
        """Some items taken up and laid down again."""
        taken = self._chosen(now)
        places: list[Place | None] = list(now.places)
        canvas = room.copy()
        for item in taken:
            place = now.places[item]
            canvas.remove(self.stamps[item][place.stamp], place.row, place.column)
            places[item] = None
        order = self._order(taken, self.rng.choice((0.0, 0.4, 2.0)))
        if not self._fill(canvas, places, order, self.rng.choice(_SHARES)):
            return None
        return self._layout(places), canvas

    def _chosen(self, now: Layout) -> list[int]:
        """The items to take up: the last ones with others, neighbours, or any."""
        ends = [self._end(k, place) for k, place in enumerate(now.places)]
        count, rng = len(ends), self.rng
        way = rng.random()
        if way < 0.45:
            last = max(range(count), key=lambda k: (ends[k], k))
            rest = [k for k in range(count) if k != last]
            picked = [last, *rng.sample(rest, min(len(rest), rng.randint(0, 3)))]
        elif way < 0.85:
            seed = rng.randrange(count)
            near = sorted(range(count), key=lambda k: (self._apart(now, seed, k), k))
            picked = near[: rng.randint(1, min(count, 5))]
        else:
            picked = rng.sample(range(count), min(count, rng.randint(2, 6)))
        return sorted(picked)

    def _apart(self, now: Layout, one: int, other: int) -> int:
        """Pixels between the upright boxes of two items."""
        a, b = self._box(now, one), self._box(now, other)
        return max(0, a[0] - b[2], b[0] - a[2]) + max(0, a[1] - b[3], b[1] - a[3])

    def _box(self, now: Layout, item: int) -> tuple[int, int, int, int]:
        """First row and column, and those after the last."""
        place = now.places[item]
        rows, columns = self.stamps[item][place.stamp].mask.shape
        return place.row, place.column, place.row + int(rows), place.column + int(columns)

    def _layout(self, places: Sequence[Place | None]) -> Layout:
        laid = tuple(place for place in places if place is not None)
        ends = [self._end(k, place) for k, place in enumerate(laid)]
        deepest = max(ends)
        mean = sum(e * a for e, a in zip(ends, self.areas, strict=True)) / sum(self.areas)
        return Layout(laid, deepest, deepest + _MEAN * mean)
