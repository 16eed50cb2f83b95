"""All unknowns at once from all corners: least squares that a few bad corners do not upset."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from tiler.intake.photo.camera.scene import Prior, Seen, State, View
from tiler.intake.photo.model import Numbers, Points

#: Corners further off than so many times the noise pull no harder than at that distance (Huber,
#: "Robust estimation of a location parameter", 1964).
_HARDEST = 2.5
#: No corner is trusted further than this, pixels.
LEAST_NOISE = 0.03


@dataclass(frozen=True, eq=False)
class Settled:
    """The unknowns that fit best.

    Args:
        state: Their values.
        left: What is left at the corners, pixels seen minus computed.
        weights: How far each corner counts, 0 to 1.
        noise: Standard deviation of a corner that was assumed, pixels.
        cost: Half the squared misfit, prior's included.
        covariance: Of all unknowns.
    """

    state: State
    left: Points = field(repr=False)
    weights: Numbers = field(repr=False)
    noise: float
    cost: float
    covariance: Numbers = field(repr=False)

    def new_noise(self, prior: Prior) -> float:
        """The noise that the rest speaks for, pixels."""
        told = float(np.trace(self.covariance @ prior.information()))
        free = self.left.size - (len(self.state.values) - told)
        squares = float(np.sum(self.weights[:, None] * self.left**2))
        return max(LEAST_NOISE, float(np.sqrt(squares / max(free, self.left.size / 4))))

    def usual_noise(self) -> float:
        """The noise of the usual corner, whatever becomes of the worst, pixels."""
        # 0.6745 is the median of |x| where x is normal.
        return max(LEAST_NOISE, float(np.median(np.abs(self.left))) / 0.6745 * 1.1)


def _huber(left: Points, noise: float) -> tuple[Numbers, float]:
    far = np.hypot(left[:, 0], left[:, 1]) / noise
    soft = far > _HARDEST
    weights = np.where(soft, _HARDEST / np.maximum(far, _HARDEST), 1.0)
    each = np.where(soft, _HARDEST * far - _HARDEST**2 / 2, far**2 / 2)
    return weights, float(each.sum())


def settled(
    view: View,
    seen: Seen,
    start: State,
    prior: Prior,
    noise: float,
    steps: int = 40,
) -> Settled:
    """The state that fits best, from a start that is roughly right.

    Levenberg and Marquardt's damping, on reweighted least squares.

    Args:
        view: How unknowns make pixels.
        seen: The corners.
        start: Where to begin.
        prior: What is known before.
        noise: Standard deviation of a corner, pixels.
        steps: At most so many.
    """
    told = prior.information()
    state, damping = start, 1e-3
    pixels, moves = view.look(state, seen)
    left = seen.in_photo - pixels
    weights, cost = _huber(left, noise)
    cost += prior.cost(state.values)
    normal = told
    for _ in range(steps):
        rows = moves * (np.sqrt(weights) / noise)[:, None, None]
        rows = rows.reshape(-1, view.size)
        aim = (left * (np.sqrt(weights) / noise)[:, None]).ravel()
        normal = rows.T @ rows + told
        pull = rows.T @ aim + prior.pull(state.values)
        size = np.sqrt(np.diag(normal))
        shaped = normal / size / size[:, None]
        better = False
        while damping < 1e8:
            step = np.linalg.solve(shaped + damping * np.eye(view.size), pull / size) / size
            trial = view.moved(state, step)
            pixels, new_moves = view.look(trial, seen)
            new_left = seen.in_photo - pixels
            new_weights, new_cost = _huber(new_left, noise)
            new_cost += prior.cost(trial.values)
            if new_cost <= cost:
                better = True
                break
            damping = max(damping, 1e-6) * 10
        if not better:
            break
        gain = cost - new_cost
        state, left, weights, moves, cost = trial, new_left, new_weights, new_moves, new_cost
        damping /= 10
        if gain < 1e-7 * (1 + cost):
            break
    rows = (moves * (np.sqrt(weights) / noise)[:, None, None]).reshape(-1, view.size)
    normal = rows.T @ rows + told
    size = np.sqrt(np.diag(normal))
    covariance = np.linalg.inv(normal / size / size[:, None]) / size / size[:, None]
    return Settled(state, left, weights, noise, cost, (covariance + covariance.T) / 2)
