"""First arrangements: one thing after the other, each as near to the beginning as it goes."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from tiler.layout.cloth.board import Board, State


def laid_in_order(board: Board, order: Sequence[int], length: float) -> State | None:
    """Lay things one by one where they end first, without any overlap.

    Args:
        board: The grid.
        order: Of all things.
        length: That is surely enough, mm.

    Returns:
        Where they are, the length being what they take; None when one did not find a place.
    """
    count = len(board.things)
    state = State([0] * count, [0] * count, [0] * count, length)
    there: list[int] = []
    longest = 0.0
    for thing in order:
        best: tuple[float, float, int, int, int] | None = None
        for form, seat in enumerate(board.seats[thing]):
            costs = board.costs(state, thing, form, among=there)
            if costs is None:
                continue
            free = costs == 0
            columns = np.flatnonzero(free.any(axis=0))
            if not len(columns):
                continue
            column = int(columns[0]) * seat.every[0]
            row = int(np.argmax(free[:, columns[0]])) * seat.every[1]
            end = board.end(thing, form, column)
            key = (round(end, 3), round(seat.y + row * board.pixel[1], 3), form, column, row)
            if best is None or key < best:
                best = key
        if best is None:
            return None
        _, _, state.form[thing], state.column[thing], state.row[thing] = best
        there.append(thing)
        longest = max(longest, board.end(thing, best[2], best[3]))
    state.length = longest
    return state
