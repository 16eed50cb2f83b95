"""Least squares of many small problems at once."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

Array = npt.NDArray[np.float64]
Rows = npt.NDArray[np.intp]
#: States (n, unknowns) and the rows that they belong to -> what each misses (n, misses).
Misses = Callable[[Array, Rows], Array]

_STEPS = 40
#: A problem's damping, a share of its diagonal: at first, at least, and where it gives up.
_DAMPING, _LEAST, _MOST = 1e-3, 1e-9, 1e5


def least(misses: Misses, state: Array, small: float, longest: float, enough: float) -> Array:
    """The states with the least sums of squares near where each begins.

    Damped Gauss-Newton steps (Levenberg 1944, Marquardt 1963, from memory). A problem that has
    settled is left out of further steps.

    Args:
        misses: What is squared and summed.
        state: (n, unknowns): where each problem begins.
        small: Change of an unknown from which slopes are taken.
        longest: No unknown moves further in one step.
        enough: A problem has settled when its sum falls by less.

    Returns:
        (n, unknowns).
    """
    state = state.copy()
    rows: Rows = np.arange(len(state))
    off = misses(state, rows)
    damping = np.full(len(state), _DAMPING)
    for _ in range(_STEPS):
        here = state[rows]
        slopes = slopes_of(misses, here, rows, off, small)
        square = np.einsum("nij,nik->njk", slopes, slopes)
        pull = np.einsum("nij,ni->nj", slopes, off)
        every = range(state.shape[1])
        square[:, every, every] *= 1 + damping[:, None]
        step = np.linalg.solve(square, pull[..., None])[..., 0]
        tried = here - np.clip(step, -longest, longest)
        tried_off = misses(tried, rows)
        gained = (off**2).sum(axis=1) - (tried_off**2).sum(axis=1)
        better = gained > 0
        state[rows[better]], off[better] = tried[better], tried_off[better]
        damping = np.where(better, np.maximum(damping / 8, _LEAST), damping * 5)
        going = np.where(better, gained > enough, damping < _MOST)
        rows, off, damping = rows[going], off[going], damping[going]
        if not len(rows):
            break
    return state


def slopes_of(misses: Misses, state: Array, rows: Rows, off: Array, small: float) -> Array:
    """How the misses change with each unknown: (n, misses, unknowns).

    Args:
        misses: As in `least`.
        state: (n, unknowns).
        rows: Which problem each is.
        off: What each misses.
        small: Change of an unknown.
    """
    count, unknowns = state.shape
    tried = (state[:, None] + small * np.eye(unknowns)).reshape(-1, unknowns)
    moved = misses(tried, np.repeat(rows, unknowns)).reshape(count, unknowns, -1)
    return np.asarray((moved - off[:, None]).transpose(0, 2, 1) / small)
