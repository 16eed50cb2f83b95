"""All unknowns at once from all corners: least squares that a few bad corners do not upset."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from tiler.intake.photo.camera.normal import Corners
from tiler.intake.photo.camera.scene import OF_CARD, Prior, Seen, State, View
from tiler.intake.photo.model import Numbers, Points

#: Corners further off than so many times the noise pull no harder than at that distance (Huber,
#: "Robust estimation of a location parameter", 1964).
_HARDEST = 2.5
#: No corner is trusted further than this, pixels.
LEAST_NOISE = 0.045
#: How far along a step its second slope is taken, and by what share it may bend.
_AHEAD, _MOST_BENT = 0.1, 0.4
#: Steps end when one gains less than this share.
_ENOUGH = 1e-6


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
        told = float(np.sum(self.covariance * prior.information()))
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

    Levenberg and Marquardt's damping, on reweighted least squares, with steps bent by the second
    slope along them (Transtrum and Sethna, "Improvements to the Levenberg-Marquardt algorithm",
    arXiv:1201.5885, 2012).

    Args:
        view: How unknowns make pixels.
        seen: The corners.
        start: Where to begin.
        prior: What is known before.
        noise: Standard deviation of a corner, pixels.
        steps: At most so many.
    """
    told = prior.information()
    corners = Corners(seen.card, len(seen.cards))
    state, damping = start, 1e-3
    pixels, moves = view.look(state, seen)
    left = seen.in_photo - pixels
    weights, cost = _huber(left, noise)
    cost += prior.cost(state.values)
    for _ in range(steps):
        counts = (np.sqrt(weights) / noise)[:, None]
        rows, aim = moves * counts[:, :, None], left * counts
        normal = corners.normal(rows, told)
        pull = corners.pull(rows, aim) + prior.pull(state.values)
        better = False
        while damping < 1e8:
            inverse = normal.inverse(damping)
            step = inverse.times(pull)
            # Along a curved valley the straight step leaves its bottom: it is bent as the valley.
            ahead, _ = view.look(view.moved(state, _AHEAD * step), seen)
            curve = (ahead - pixels - _AHEAD * _along(moves, step, seen)) * 2 / _AHEAD**2
            bent = -inverse.times(corners.pull(rows, curve * counts)) / 2
            far, turned = (float(np.linalg.norm(inverse.size * each)) for each in (step, bent))
            if turned < _MOST_BENT * far:
                trial = view.moved(state, step + bent)
                new_pixels, new_moves = view.look(trial, seen)
                new_left = seen.in_photo - new_pixels
                new_weights, new_cost = _huber(new_left, noise)
                new_cost += prior.cost(trial.values)
                if new_cost <= cost:
                    better = True
                    break
            damping = max(damping, 1e-6) * 10
        if not better:
            break
        gain = cost - new_cost
        state, pixels, left, moves = trial, new_pixels, new_left, new_moves
        weights, cost = new_weights, new_cost
        damping /= 10
        if gain < _ENOUGH * (1 + cost):
            break
    rows = moves * (np.sqrt(weights) / noise)[:, None, None]
    return Settled(state, left, weights, noise, cost, corners.normal(rows, told).inverse().whole())


def _along(moves: Numbers, step: Numbers, seen: Seen) -> Points:
    """How corners move in a step, as far as they move straight."""
    count = moves.shape[2] - OF_CARD
    own = step[count:].reshape(-1, OF_CARD)[seen.card]
    straight = moves[:, :, :count] @ step[:count]
    return np.asarray(straight + np.sum(moves[:, :, count:] * own[:, None], axis=2))
