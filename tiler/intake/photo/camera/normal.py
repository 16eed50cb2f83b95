"""The normal equations of all unknowns, solved card by card.

A corner hangs on what all cards have in common and on its own card alone, so the cards' unknowns
are eliminated one card at a time (the Schur complement; for bundles of rays: Brown, "A solution to
the general problem of multiple station analytical stereotriangulation", 1958). The matrices stay
small, which costs little and keeps the linear algebra library from sharing them out over threads.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from tiler.intake.photo.camera.scene import OF_CARD, Indices
from tiler.intake.photo.model import Numbers


@dataclass(frozen=True, eq=False)
class Inverse:
    """The inverse of the normal matrix, in units in which its diagonal is 1.

    Args:
        size: Those units, inverted, of every unknown.
        own: Inverse of the block of each card, (cards, own, own).
        lean: How each card follows what is common, (cards, own, common).
        common: Inverse for what is common, (common, common).
    """

    size: Numbers = field(repr=False)
    own: Numbers = field(repr=False)
    lean: Numbers = field(repr=False)
    common: Numbers = field(repr=False)

    def times(self, pull: Numbers) -> Numbers:
        """The step that a pull makes."""
        count = len(self.common)
        scaled = pull / self.size
        cards = scaled[count:].reshape(-1, OF_CARD, 1)
        common = self.common @ (scaled[:count] - np.sum(cards * self.lean, axis=(0, 1)))
        steps = (self.own @ cards)[:, :, 0] - self.lean @ common
        return np.asarray(np.concatenate((common, steps.ravel())) / self.size)

    def whole(self) -> Numbers:
        """All of it, (unknowns, unknowns)."""
        count = len(self.common)
        lean = self.lean.reshape(-1, count)
        cards = lean @ self.common @ lean.T
        for card, own in enumerate(self.own):
            at = slice(card * OF_CARD, (card + 1) * OF_CARD)
            cards[at, at] += own
        both = -lean @ self.common
        out = np.block([[self.common, both.T], [both, cards]]) / self.size / self.size[:, None]
        return np.asarray((out + out.T) / 2)


@dataclass(frozen=True, eq=False)
class Normal:
    """The normal matrix.

    Args:
        common: Of what is common, (common, common).
        across: Of that and each card, (cards, common, own).
        own: Of each card, (cards, own, own).
    """

    common: Numbers = field(repr=False)
    across: Numbers = field(repr=False)
    own: Numbers = field(repr=False)

    def inverse(self, damping: float = 0.0) -> Inverse:
        """Its inverse, with the diagonal made larger by a share."""
        first = np.sqrt(np.diag(self.common))
        each = np.sqrt(np.diagonal(self.own, axis1=1, axis2=2))
        common = self.common / first / first[:, None]
        across = self.across / first[:, None] / each[:, None, :]
        own = self.own / each[:, None, :] / each[:, :, None]
        inside: Numbers = np.asarray(np.linalg.inv(own + damping * np.eye(OF_CARD)), np.float64)
        lean = inside @ across.transpose(0, 2, 1)
        rest = common + damping * np.eye(len(common)) - np.sum(across @ lean, axis=0)
        size = np.asarray(np.concatenate((first, each.ravel())), dtype=np.float64)
        return Inverse(size, inside, lean, np.linalg.inv((rest + rest.T) / 2))


class Corners:
    """The corners sorted by cards."""

    def __init__(self, card: Indices, cards: int) -> None:
        """Sort them.

        Args:
            card: Which card each corner is on, (n,).
            cards: How many cards there are.
        """
        self._card = card
        counts = np.bincount(card, minlength=cards)
        order = np.argsort(card, kind="stable")
        self._slot = np.empty_like(card)
        self._slot[order] = np.arange(len(card)) - np.repeat(np.cumsum(counts) - counts, counts)
        self._shape = (cards, int(counts.max()))

    def _sorted(self, values: Numbers) -> Numbers:
        out = np.zeros((*self._shape, *values.shape[1:]))
        out[self._card, self._slot] = values
        return out

    def normal(self, moves: Numbers, told: Numbers) -> Normal:
        """The normal matrix.

        Args:
            moves: How corners move with what is common and their own card, over their deviation,
                (n, 2, common + own).
            told: The information of the prior, (unknowns, unknowns).
        """
        count = moves.shape[2] - OF_CARD
        rows = self._sorted(moves).reshape(self._shape[0], -1, moves.shape[2])
        blocks = rows.transpose(0, 2, 1) @ rows
        own = blocks[:, count:, count:]
        for card in range(len(own)):
            at = slice(count + card * OF_CARD, count + (card + 1) * OF_CARD)
            own[card] += told[at, at]
        common = blocks[:, :count, :count].sum(axis=0) + told[:count, :count]
        return Normal(common, blocks[:, :count, count:], own)

    def pull(self, moves: Numbers, left: Numbers) -> Numbers:
        """How the corners pull at all unknowns; `left` is what is left over their deviation."""
        count = moves.shape[2] - OF_CARD
        each = np.sum(moves * left[:, :, None], axis=1)
        own = self._sorted(each[:, count:]).sum(axis=1)
        return np.concatenate((each[:, :count].sum(axis=0), own.ravel()))
