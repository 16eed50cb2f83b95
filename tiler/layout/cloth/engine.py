"""A strip-packing engine (spyrrow) beside our own search, for what it can lay.

It knows no fold, no face and no fixed place, so it gets things that lie anywhere, in the turns of
one face. It works by the clock and never twice the same, so it is asked only where nobody waits for
the same plan again. It runs in a process of its own: a broken outline ends that process and not
this one, and an interrupt need not wait for it.
"""

from __future__ import annotations

import contextlib
import math
import os
import pickle
import subprocess
import sys
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from tiler.layout.cloth.forms import Form, Spot, Thing
from tiler.layout.cloth.halves import largest
from tiler.layout.cloth.ring import Floats, moved
from tiler.pattern.affine import Affine

#: Seconds that the engine may take with an effort, beside our own search.
SECONDS = {"quick": 0, "normal": 14, "long": 120}
#: Outlines are made simpler outwards by so much, mm, and kept apart by twice that: the engine
#: counts in single precision.
_SIMPLER = 0.05
#: What rounding may take from the gap, mm.
_WITHIN = 1e-3
#: Things this near to the height of the strip make the engine fail, mm.
_TALL = 1.0
#: Form of a thing, its turn from the first form, and how to move it once it is turned.
_Turn = tuple[int, float, tuple[float, float]]


@dataclass(frozen=True)
class _Order:
    """What the child process gets: plain numbers.

    Args:
        items: Ring, how often, and the turns (degrees) that are allowed.
        height: Of the strip, mm.
        seconds: It may take.
        seed: Of its random choices.
    """

    items: list[tuple[list[tuple[float, float]], int, list[float]]]
    height: float
    seconds: int
    seed: int


class Engine:
    """A run of the engine, begun at once.

    Args:
        things: What is laid.
        room: From where to where (across, mm) they may lie.
        seconds: It may take; none for no run.
        seed: Of its random choices.
    """

    def __init__(
        self, things: Sequence[Thing], room: tuple[float, float], seconds: int, seed: int
    ) -> None:
        # What lies on a fold is bound to it, so here all keep as far from where the room begins.
        clear = max(form.clear for thing in things for form in thing.forms)
        self.things, self.room = things, (room[0] + clear, room[1])
        self.kinds: list[tuple[Thing, list[int], list[_Turn]]] = []
        self.process: subprocess.Popen[bytes] | None = None
        if not seconds or len(things) < 2 or not self._suits():
            return
        self._sort()
        items = [
            (
                [(float(x), float(y)) for x, y in _body(thing.forms[0])],
                len(numbers),
                [degrees for _, degrees, _ in turns],
            )
            for thing, numbers, turns in self.kinds
        ]
        height = room[1] - room[0] + 2 * self.beyond
        self._start(_Order(items, height, seconds, seed))

    @property
    def beyond(self) -> float:
        """How far the engine's strip reaches beyond the room: what all bodies have round them."""
        return min(form.gap for thing in self.things for form in thing.forms) / 2

    def _suits(self) -> bool:
        """Whether the engine can lay them: sound rings, anywhere, none as high as the strip."""
        height = self.room[1] - self.room[0]
        return all(
            form.ties.along is None
            and form.ties.across is None
            and form.high[1] - form.low[1] < height - _TALL
            and shapely.Polygon(form.outline).is_valid
            for thing in self.things
            for form in thing.forms
        )

    def _sort(self) -> None:
        """Things that are cut alike are one kind."""
        known: dict[int, int] = {}
        for number, thing in enumerate(self.things):
            kind = known.setdefault(id(thing.forms), len(self.kinds))
            if kind == len(self.kinds):
                self.kinds.append((thing, [], _turns(thing)))
            self.kinds[kind][1].append(number)

    def _start(self, order: _Order) -> None:
        code = f"import sys; sys.path[:] = {sys.path!r}; import {__name__} as e; e.work()"
        with contextlib.suppress(OSError):
            self.process = subprocess.Popen(
                [sys.executable, "-c", code],
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                env={**os.environ, "OMP_NUM_THREADS": "1"},
                start_new_session=True,
            )
            assert self.process.stdin is not None
            pickle.dump(order, self.process.stdin)
            self.process.stdin.close()

    def found(self) -> list[Spot] | None:
        """Where all things lie; None where there is no good answer. Waits for the engine."""
        if self.process is None:
            return None
        assert self.process.stdout is not None
        placed: list[tuple[int, float, float, float]] | None = None
        with contextlib.suppress(EOFError, OSError, pickle.UnpicklingError):
            placed = pickle.load(self.process.stdout)
        self.end()
        spots = self._spots(placed) if placed else None
        return spots if spots and self._holds(spots) else None

    def end(self) -> None:
        """Nobody waits for it any more."""
        if self.process is None:
            return
        if self.process.poll() is None:
            self.process.kill()
        self.process.wait()
        for stream in (self.process.stdin, self.process.stdout):
            if stream is not None:
                with contextlib.suppress(OSError):
                    stream.close()
        self.process = None

    def _spots(self, placed: Sequence[tuple[int, float, float, float]]) -> list[Spot] | None:
        spots: dict[int, Spot] = {}
        free = [list(numbers) for _, numbers, _ in self.kinds]
        for kind, degrees, x, y in placed:
            _, _, turns = self.kinds[kind]
            near = [abs((degrees - turn + 180) % 360 - 180) for _, turn, _ in turns]
            form, _, off = turns[int(np.argmin(near))]
            if min(near) > 0.01 or not free[kind]:
                return None
            spots[free[kind].pop()] = Spot(
                form, x + off[0], y + off[1] + self.room[0] - self.beyond
            )
        if len(spots) != len(self.things):
            return None
        # From the beginning of the cloth, whatever the engine leaves there.
        first = min(
            spot.x + self.things[number].forms[spot.form].low[0] for number, spot in spots.items()
        )
        return [
            Spot(spots[n].form, spots[n].x - first, spots[n].y) for n in range(len(self.things))
        ]

    def _holds(self, spots: Sequence[Spot]) -> bool:
        """Whether things keep inside and apart, by their own outlines."""
        bodies, gaps = [], []
        for thing, spot in zip(self.things, spots, strict=True):
            form = thing.forms[spot.form]
            low, high = spot.y + form.low[1], spot.y + form.high[1]
            if low < self.room[0] - _WITHIN or high > self.room[1] + _WITHIN:
                return False
            bodies.append(shapely.Polygon(form.outline + np.array([spot.x, spot.y])))
            gaps.append(form.gap)
        tree = shapely.STRtree(bodies)
        for number, body in enumerate(bodies):
            for other in tree.query(body, predicate="dwithin", distance=max(gaps)):
                if other > number:
                    gap = (gaps[number] + gaps[other]) / 2
                    if body.distance(bodies[other]) < gap - _WITHIN:
                        return False
                    if body.intersection(bodies[other]).area > _WITHIN:
                        return False
        return True


def _body(form: Form) -> Floats:
    """The outline grown by half the gap and a little more, in few corners."""
    around = shapely.Polygon(form.outline).buffer(form.gap / 2 + _SIMPLER, quad_segs=4)
    ring = largest(around.simplify(_SIMPLER / 2)).exterior
    return np.asarray(shapely.get_coordinates(ring)[:-1])


def _turns(thing: Thing) -> list[_Turn]:
    """The forms of a thing that are its first one turned."""
    first = thing.forms[0]
    turns: list[_Turn] = []
    for number, form in enumerate(thing.forms):
        if first.at.determinant * form.at.determinant < 0:
            continue
        degrees = math.degrees(_heading(form.at) - _heading(first.at))
        there = moved(first.outline, Affine.turn(degrees))
        off, high = there.min(axis=0) - form.low, there.max(axis=0) - form.high
        if np.abs(off - high).max() < 1e-6:
            turns.append((number, degrees, (float(off[0]), float(off[1]))))
    return turns


def _heading(at: Affine) -> float:
    """Where the first axis points, radians."""
    return math.atan2(at.b, at.a)


def work() -> None:
    """What the child process does: read an order, ask the engine, and write down where all lies."""
    import spyrrow

    order: _Order = pickle.load(sys.stdin.buffer)
    items = [
        spyrrow.Item(str(number), ring, count, turns)
        for number, (ring, count, turns) in enumerate(order.items)
    ]
    config = spyrrow.StripPackingConfig(
        early_termination=True,
        total_computation_time=order.seconds,
        num_workers=1,
        seed=order.seed % 2**32,
    )
    found = spyrrow.StripPackingInstance("cloth", order.height, items).solve(config)
    placed = [
        (int(item.id), float(item.rotation), *(float(each) for each in item.translation))
        for item in found.placed_items
    ]
    pickle.dump(placed, sys.stdout.buffer)
    sys.stdout.flush()
