"""How much cards stand off the table, bend and stretch: found together with all else.

The covariance of an estimate is only honest when the deviations that were allowed beforehand are
those that there are. They are raised and lowered until they agree with what was found (expectation
and maximisation: Dempster, Laird, Rubin, J. Royal Statistical Society B 39, 1977), each held back
by a few made-up cards of a usual size, for four cards alone say little.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from tiler.intake.photo.camera import scene
from tiler.intake.photo.camera.bundle import Settled
from tiler.intake.photo.camera.scene import Prior


@dataclass(frozen=True, slots=True)
class Habit:
    """How far some unknowns of a card usually are from nothing.

    Args:
        unknowns: Of the card (`scene`).
        first: Deviation to begin with, wide enough to see what is there.
        usual: That of the made-up cards.
        weight: How many made-up cards.
    """

    unknowns: tuple[int, ...]
    first: float
    usual: float
    weight: float


#: Standard deviation where cards may stand as they like, millimetres.
_ANYHOW = 10.0
#: Millimetres, and shares for the last; common practice, no source: paper lies within some tenths
#: of a millimetre of a table, and a printer's pages differ by a ten-thousandth.
HABITS = (
    Habit((scene.LIFT,), 0.5, 0.6, 4.0),
    Habit((scene.TIP_X, scene.TIP_Y), 0.5, 0.3, 4.0),
    Habit((scene.BEND_XX, scene.BEND_XY, scene.BEND_YY), 0.5, 0.1, 4.0),
    Habit((scene.GROWN, scene.LONGER, scene.SHEARED), 2e-4, 1e-4, 4.0),
)


def loosened(prior: Prior, cards: list[int], deviation: float = _ANYHOW) -> Prior:
    """The prior with cards that may stand off the table as they like, or by less.

    Args:
        prior: As it is.
        cards: Where the unknowns of each card begin.
        deviation: Standard deviation of how far they stand off, millimetres.
    """
    sd = prior.sd.copy()
    for card in cards:
        sd[card + scene.LIFT : card + scene.BEND_YY + 1] = deviation
    return replace(prior, sd=sd)


def agreeing(settled: Settled, prior: Prior, cards: list[int], loose: frozenset[int]) -> Prior:
    """The prior with deviations nearer to what was found.

    Args:
        settled: What was found with the prior.
        prior: That.
        cards: Where the unknowns of each card begin.
        loose: Those of cards that are treated apart, and keep theirs.
    """
    sd = prior.sd.copy()
    variances = np.diag(settled.covariance)
    kept = [card for card in cards if card not in loose]
    for habit in HABITS:
        at = np.array([card + unknown for card in kept for unknown in habit.unknowns])
        found = settled.state.values[at] ** 2 + variances[at]
        weight = habit.weight * len(habit.unknowns)
        total = weight * habit.usual**2 + float(found.sum())
        sd[at] = np.sqrt(total / (weight + len(at)))
    return replace(prior, sd=sd)
