"""Shorter and shorter: things lie over one another on a length that is too short, and are worked
apart (guided local search).

After Egeblad, Nielsen and Odgaard, "Fast neighborhood search for two- and three-dimensional
nesting problems" (2007), and Umetani et al., "Solving the irregular strip packing problem via
guided local search for overlap minimization" (2009); that the overlaps are read off maps of a grid
is the idea of Sato et al., "The raster penetration map applied to the irregular packing problem"
(2019). Titles and years from memory.
"""

from __future__ import annotations

import random
from collections.abc import Callable

import numpy as np

from tiler.layout.cloth.board import Board, State

#: A pair that overlaps weighs this much more after a round: the pair that overlaps most, and one
#: that hardly does.
_MORE, _LESS = 2.0, 1.2
#: And a pair that does not, less: down to 1.
_FADES = 0.95
#: Rounds without progress before an attempt starts from its best again, and how often it does.
_PATIENCE, _STRIKES = 40, 3

#: Told each arrangement without overlap, and the share of the steps used.
Report = Callable[[State | None, float], None]


class Search:
    """A search on a board.

    Args:
        board: With its maps.
        seed: Of the random choices.
        budget: Steps that may be taken.
        least: No arrangement can be shorter, mm.
        report: Hears of progress.
    """

    def __init__(
        self, board: Board, seed: int, budget: float, least: float, report: Report
    ) -> None:
        self.board, self.budget, self.least, self.report = board, budget, least, report
        self.random = random.Random(seed)
        self.count = len(board.things)
        self.losses = np.zeros((self.count, self.count))
        self.weights = np.ones((self.count, self.count))
        self.began = board.steps

    @property
    def spent(self) -> bool:
        """Whether the steps are used up."""
        return self.board.steps - self.began >= self.budget

    def run(self, state: State) -> State:
        """Shorten an arrangement as far as the steps go.

        Args:
            state: Without overlap.

        Returns:
            The shortest arrangement without overlap.
        """
        best = state.copy()
        tried = state.copy()
        step = self.board.pixel[0]
        while not self.spent and best.length - step > self.least - 1e-6:
            if not self._shorten(tried, best.length - step):
                break
            apart, last = self.separate(tried)
            if apart is not None:
                apart.length = self._length(apart)
                best = apart
                tried = apart.copy()
                self.report(best, self._share())
            else:
                tried = self._stirred(best if self.random.random() < 0.3 else last)
        return best

    def squeeze(self, state: State, step: int) -> State:
        """Shorten an arrangement by steps of so many pixels, and half as many, down to one.

        Args:
            state: Without overlap.
            step: Pixels.
        """
        best = state.copy()
        while step >= 1 and not self.spent:
            length = max(best.length - step * self.board.pixel[0], self.least)
            tried = best.copy()
            shorter = length < best.length - 1e-6 and self._shorten(tried, length)
            apart = self.separate(tried)[0] if shorter else None
            if apart is None:
                step //= 2
                continue
            apart.length = self._length(apart)
            best = apart
        return best

    def separate(self, state: State) -> tuple[State | None, State]:
        """Work things apart on a length.

        Returns:
            An arrangement without overlap, or None; and the one with the least overlap.
        """
        self.weights[:] = 1.0
        self._measure(state)
        least, kept = self._total(), state.copy()
        for _ in range(_STRIKES):
            idle, before = 0, least
            while idle < _PATIENCE:
                if least == 0:
                    return kept, kept
                if self.spent:
                    return None, kept
                self._round(state)
                total = self._total()
                if total < least:
                    if total < 0.98 * least:
                        idle = 0
                    least, kept = total, state.copy()
                else:
                    idle += 1
                self._weigh()
                self.report(None, self._share())
            state = kept.copy()
            self._measure(state)
            if least >= 0.98 * before:
                break
        return None, kept

    def _round(self, state: State) -> None:
        """Move every thing that overlaps to where it overlaps least."""
        order = [k for k in range(self.count) if self.losses[k].any()]
        self.random.shuffle(order)
        for thing in order:
            if self.losses[thing].any():
                self._move(state, thing)

    def _move(self, state: State, thing: int) -> None:
        best: tuple[float, int, int, int] | None = None
        weights = self.weights[thing].tolist()
        forms = list(range(len(self.board.things[thing].forms)))
        self.random.shuffle(forms)
        for form in forms:
            costs = self.board.costs(state, thing, form, weights)
            if costs is None:
                continue
            lowest = costs.min()
            if best is not None and lowest >= best[0]:
                continue
            same = np.flatnonzero(costs.ravel() == lowest)
            at = int(same[self.random.randrange(len(same))])
            row, column = divmod(at, costs.shape[1])
            every = self.board.seats[thing][form].every
            best = (float(lowest), form, column * every[0], row * every[1])
            if lowest == 0:
                break
        if best is None:
            return
        _, state.form[thing], state.column[thing], state.row[thing] = best
        self._measure_one(state, thing)

    def _measure(self, state: State) -> None:
        for thing in range(self.count):
            self._measure_one(state, thing)

    def _measure_one(self, state: State, thing: int) -> None:
        for other in range(self.count):
            if other != thing:
                loss = self.board.depth(state, other, thing)
                self.losses[thing, other] = self.losses[other, thing] = loss
        self.board.steps += self.count * 1.0

    def _total(self) -> float:
        return float(self.losses.sum()) / 2

    def _weigh(self) -> None:
        most = self.losses.max()
        if most == 0:
            return
        over = self.losses > 0
        grown = self.weights * (_LESS + (_MORE - _LESS) * self.losses / most)
        self.weights = np.where(over, grown, np.maximum(1.0, self.weights * _FADES))
        self.board.steps += 20

    def _shorten(self, state: State, length: float) -> bool:
        """Move what would reach over the new end back on to it; whether everything fits."""
        state.length = length
        for thing, forms in enumerate(self.board.seats):
            fit = [k for k in range(len(forms)) if self.board.columns(thing, k, length) >= 1]
            if not fit:
                return False
            if state.form[thing] not in fit:
                state.form[thing], state.row[thing], state.column[thing] = fit[0], 0, 0
            every = forms[state.form[thing]].every[0]
            most = self.board.columns(thing, state.form[thing], length) - 1
            state.column[thing] = min(state.column[thing], most // every * every)
        return True

    def _stirred(self, state: State) -> State:
        """An arrangement with two different things of like size in each other's places."""
        state = state.copy()
        areas = [thing.area for thing in self.board.things]
        order = sorted(range(self.count), key=lambda k: -areas[k])
        most = min(self.count, max(2, self.count * 3 // 4))
        one = order[self.random.randrange(most)]
        forms = self.board.things[one].forms
        others = [k for k in order[:most] if self.board.things[k].forms is not forms]
        if not others:
            return state
        other = others[self.random.randrange(len(others))]
        middles = [self._middle(state, k) for k in (one, other)]
        for thing, middle in ((one, middles[1]), (other, middles[0])):
            self._put(state, thing, middle)
        return state

    def _middle(self, state: State, thing: int) -> tuple[float, float]:
        """The middle of a thing, mm."""
        form = self.board.things[thing].forms[state.form[thing]]
        seat = self.board.seats[thing][state.form[thing]]
        x = seat.x + state.column[thing] * self.board.pixel[0]
        y = seat.y + state.row[thing] * self.board.pixel[1]
        (left, low), (right, high) = form.low, form.high
        return x + (left + right) / 2, y + (low + high) / 2

    def _put(self, state: State, thing: int, middle: tuple[float, float]) -> None:
        """Lay a thing with its middle as near to a point as it goes."""
        form = state.form[thing]
        seat = self.board.seats[thing][form]
        state.row[thing] = state.column[thing] = 0
        x, y = self._middle(state, thing)
        most = (self.board.columns(thing, form, state.length) - 1, seat.rows - 1)
        wished = ((middle[k] - at) / self.board.pixel[k] for k, at in enumerate((x, y)))
        column, row = (
            max(0, min(round(wish / each) * each, last // each * each))
            for wish, each, last in zip(wished, seat.every, most, strict=True)
        )
        state.column[thing], state.row[thing] = column, row

    def _length(self, state: State) -> float:
        return max(self.board.end(k, state.form[k], state.column[k]) for k in range(self.count))

    def _share(self) -> float:
        return min(1.0, (self.board.steps - self.began) / self.budget)
