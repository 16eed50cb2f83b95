"""Things laid on a stretch of cloth, as short as can be found."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from tiler.layout.cloth.board import Board, State
from tiler.layout.cloth.engine import Engine
from tiler.layout.cloth.forms import Form, Spot, Thing
from tiler.layout.cloth.search import Search
from tiler.layout.cloth.start import laid_in_order
from tiler.layout.cloth.tighten import tightened
from tiler.pattern.errors import Terminated


@dataclass(frozen=True, slots=True)
class Stage:
    """One search: rows of its grid, how fine a pixel may be (mm), and its steps (about 1 us).

    What it finds is pushed together on finer grids, whose sides are `fine` shares of the pixel.
    """

    rows: int
    finest: float
    steps: float
    starts: int = 4
    fine: tuple[float, ...] = (0.15, 0.03)
    closing: float = 1e6


#: The searches of an effort; the first one's arrangement is what the next one goes on from.
STAGES = {
    "quick": (Stage(48, 8.0, 0.4e6, 2, closing=0.2e6),),
    "normal": (
        Stage(64, 6.0, 3e6, closing=0.4e6),
        Stage(128, 3.0, 3e6, closing=0.4e6),
    ),
    "long": (Stage(64, 6.0, 40e6), Stage(128, 3.0, 40e6), Stage(192, 2.0, 20e6)),
}

#: What is left to do once the search is interrupted.
HASTY = (Stage(48, 8.0, 1.0, 1, ()),)

#: Told the millimetres of the best arrangement so far, and the share of the work done.
Progress = Callable[[float, float], None]


@dataclass(frozen=True)
class Lain:
    """Things on a stretch: where each lies, the length that they take (mm), and whether the search
    was interrupted.
    """

    spots: tuple[Spot, ...]
    length: float
    stopped: bool = False


def lay(
    things: Sequence[Thing],
    room: tuple[float, float],
    stages: Sequence[Stage],
    seed: int,
    progress: Progress | None = None,
    seconds: int = 0,
) -> Lain:
    """Lay things on a stretch.

    Args:
        things: At least one; each has a form that fits across.
        room: From where to where (across, mm) they may lie.
        stages: What may be tried.
        seed: Of the random choices.
        progress: Told now and then.
        seconds: The engine may take beside, where it knows how to lay such things; with any, the
            same arguments do not always give the same plan.

    Raises:
        KeyboardInterrupt: Before a first arrangement was found.
    """
    engine = Engine(things, room, seconds, seed)
    try:
        own = _own(things, room, stages, seed, progress)
        return own if own.stopped else _better(engine, own, things, room, stages[-1])
    finally:
        engine.end()


def _better(
    engine: Engine, own: Lain, things: Sequence[Thing], room: tuple[float, float], stage: Stage
) -> Lain:
    """What the engine has found, pushed together, if that is shorter than our own."""
    least = least_length(things, room)
    try:
        spots = engine.found() if own.length > least + 1e-6 else None
        if spots is None:
            return own
        length = max(
            spot.x + thing.forms[spot.form].high[0]
            for spot, thing in zip(spots, things, strict=True)
        )
        pixels = [share * pixel_of(things, room, stage)[0] for share in stage.fine]
        closer, length = tightened(things, room, spots, length, pixels, least, stage.closing)
        return Lain(tuple(closer), length) if length < own.length else own
    except KeyboardInterrupt as wish:
        if isinstance(wish, Terminated):
            raise
        return Lain(own.spots, own.length, stopped=True)


def _own(
    things: Sequence[Thing],
    room: tuple[float, float],
    stages: Sequence[Stage],
    seed: int,
    progress: Progress | None,
) -> Lain:
    least = least_length(things, room)
    total, before = sum(stage.steps for stage in stages), 0.0
    best: Lain | None = None
    stopped = False
    for number, stage in enumerate(stages):
        try:
            board = Board(things, room, pixel_of(things, room, stage))
            state = _begun(board, stage, random.Random(seed * 1000 + number))

            def report(found: State | None, share: float) -> None:
                nonlocal best
                if found is not None:
                    lain = Lain(tuple(board.spots(found)), found.length)  # noqa: B023
                    if best is None or lain.length < best.length:
                        best = lain
                if progress and best:
                    progress(best.length, (before + share * stage.steps) / total)  # noqa: B023

            report(state, 0.0)
            search = Search(board, seed * 1000 + number, stage.steps, least, report)
            if best is not None and best.length < state.length:
                # On the new grid nearly the same, and longer by a pixel.
                like = board.state_of(best.spots, best.length + board.pixel[0])
                state = search.separate(like)[0] or state
            search.run(state)
            assert best is not None
            pixels = [share * board.pixel[0] for share in stage.fine]
            spots, length = tightened(
                things, room, best.spots, best.length, pixels, least, stage.closing
            )
            best = Lain(tuple(spots), length)
        except KeyboardInterrupt as wish:
            if isinstance(wish, Terminated) or best is None:
                raise
            stopped = True
            break
        before += stage.steps
    assert best is not None
    return Lain(best.spots, best.length, stopped)


def guessed(things: Sequence[Thing], room: tuple[float, float]) -> float:
    """About the length that things take, mm: what laying one after the other gives."""
    stage = Stage(40, 10.0, 0.0, starts=1)
    board = Board(things, room, pixel_of(things, room, stage))
    return _begun(board, stage, random.Random(1)).length


def _begun(board: Board, stage: Stage, luck: random.Random) -> State:
    """An arrangement without overlap to begin with."""
    order = sorted(range(len(board.things)), key=lambda k: -board.things[k].area)
    length = sum(
        max(f.high[0] - f.low[0] for f in t.forms)
        + max((f.ties.along[1] for f in t.forms if f.ties.along), default=0.0)
        + 4 * board.pixel[0]
        for t in board.things
    )
    found: State | None = None
    for turn in range(stage.starts):
        if turn:
            order = sorted(order, key=lambda k: -board.things[k].area * (0.5 + luck.random()))
        state = laid_in_order(board, order, length)
        if state and (found is None or state.length < found.length):
            found = state
    assert found is not None
    return found


def pixel_of(
    things: Sequence[Thing], room: tuple[float, float], stage: Stage
) -> tuple[float, float]:
    """Sides of the grid along and across, mm; they divide the repeat of what is tied to one."""
    side = max(stage.finest, (room[1] - room[0]) / stage.rows)
    forms = [form for thing in things for form in thing.forms]
    sides = []
    for ties in ([f.ties.along for f in forms], [f.ties.across for f in forms]):
        steps = [tie[1] for tie in ties if tie and tie[1]]
        sides.append(steps[0] / math.ceil(steps[0] / side - 1e-9) if steps else side)
    return sides[0], sides[1]


def least_length(things: Sequence[Thing], room: tuple[float, float]) -> float:
    """A length that no arrangement can be shorter than, mm."""
    lengths = [min(f.high[0] - f.low[0] for f in thing.forms) for thing in things]
    area = sum(thing.area for thing in things)
    # On the fold they lie one behind the other.
    folds = sum(min(_on_fold(form) for form in thing.forms) for thing in things)
    return max(area / (room[1] - room[0]), max(lengths), folds)


def _on_fold(form: Form) -> float:
    """Millimetres of its outline that lie on the fold."""
    if form.ties.across != (0.0, 0.0):
        return 0.0
    here, ahead = form.outline, np.roll(form.outline, -1, axis=0)
    on = (np.abs(here[:, 1]) < 0.01) & (np.abs(ahead[:, 1]) < 0.01)
    return float(np.abs(ahead[on, 0] - here[on, 0]).sum())
