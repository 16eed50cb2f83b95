"""What a coarse grid leaves between things is closed, by tenths of a millimetre at last."""

from __future__ import annotations

from collections.abc import Sequence

from tiler.layout.cloth.board import State
from tiler.layout.cloth.forms import Spot, Thing
from tiler.layout.cloth.near import NearBoard
from tiler.layout.cloth.search import Search

#: Pixels that a thing may move either way at once.
_REACH = 12
#: Each grid is laid anew round where things have come to, so often at most.
_TIMES = 6


def tightened(
    things: Sequence[Thing],
    room: tuple[float, float],
    spots: Sequence[Spot],
    length: float,
    pixels: Sequence[float],
    least: float,
    budget: float,
) -> tuple[list[Spot], float]:
    """Things pushed together where they lie.

    Args:
        things: What lies there.
        room: From where to where (across, mm) they may lie.
        spots: Where, without overlap.
        length: That they take, mm.
        pixels: Sides of the grids, mm, coarse ones first.
        least: No arrangement can be shorter, mm.
        budget: Steps that each grid may take.

    Returns:
        Where they lie then, and the length, mm.
    """
    places, best = list(spots), length
    for pixel in pixels:
        spent = 0.0
        for turn in range(_TIMES):
            board = NearBoard(things, room, pixel, places, _REACH)
            search = Search(board, turn, budget - spent, least, _silent)
            state = search.squeeze(board.home(best), _REACH // 2)
            spent += board.steps
            shorter = state.length < best - 1e-6
            if shorter:
                places, best = board.moved(state), state.length
            if not shorter or spent >= budget:
                break
    return places, best


def _silent(state: State | None, share: float) -> None:
    pass
