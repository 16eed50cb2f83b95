"""What is unknown when photos of cards are measured, and what was seen of it, as plain arrays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.cards import HEIGHT, WIDTH
from tiler.intake.photo.model import Camera, Numbers, Points, Sighting

Indices = NDArray[np.int64]

#: The unknowns of a card, in order: how its middle lies on the table; how high it stands there,
#: how far its right and upper edges stand above the middle, and how it is bent (millimetres); by
#: what share it is larger, longer than high, and sheared against the other cards.
X, Y, TURN, LIFT, TIP_X, TIP_Y, BEND_XX, BEND_XY, BEND_YY, GROWN, LONGER, SHEARED = range(12)
OF_CARD = 12
#: The first two unknowns of all: logarithms of the print scale along the cards' two sides.
ACROSS, UP = 0, 1


@dataclass(frozen=True, eq=False)
class Seen:
    """Every corner that was found, of all cards in all photos.

    Args:
        cards: Numbers of the cards.
        photo: Index of the photo, (n,).
        card: Index into `cards`, (n,).
        on_card: From the card's middle, at true size, millimetres.
        in_photo: Pixels.
    """

    cards: tuple[int, ...]
    photo: Indices
    card: Indices
    on_card: Points
    in_photo: Points

    def of(self, photo: int, card: int) -> NDArray[np.bool_]:
        """Which corners are of this card in this photo."""
        return np.asarray((self.photo == photo) & (self.card == card))


def seen_of(sightings: Sequence[Sighting]) -> Seen:
    """All sightings as one set of arrays."""
    cards = tuple(sorted({sighting.card for sighting in sightings}))
    counts = [len(sighting.in_photo) for sighting in sightings]
    return Seen(
        cards,
        np.repeat(np.array([s.photo for s in sightings], dtype=np.int64), counts),
        np.repeat(np.array([cards.index(s.card) for s in sightings], dtype=np.int64), counts),
        np.concatenate([s.on_card for s in sightings]) - (WIDTH / 2, HEIGHT / 2),
        np.concatenate([s.in_photo for s in sightings]),
    )


@dataclass(frozen=True, eq=False)
class State:
    """A value for every unknown.

    Args:
        values: All in one row; those that turn a camera are 0, for `turns` holds the whole turn.
        turns: Rotation from table to camera of each photo, (photos, 3, 3).
    """

    values: Numbers
    turns: Numbers = field(repr=False)

    def with_values(self, values: Numbers) -> State:
        """The same with other values."""
        return replace(self, values=values)


@dataclass(frozen=True, eq=False)
class Prior:
    """What is known before looking.

    Args:
        mean: Of every unknown.
        sd: Standard deviation of it; infinite where nothing is known.
        ties: Differences of two unknowns, neither of a card: first, second, mean of second - first,
            its deviation.
    """

    mean: Numbers
    sd: Numbers
    ties: tuple[tuple[int, int, float, float], ...] = ()

    def information(self) -> Numbers:
        """Inverse of the covariance, (unknowns, unknowns)."""
        matrix = np.diag(self.sd**-2.0)
        for first, second, _, sd in self.ties:
            matrix[[first, second], [first, second]] += sd**-2.0
            matrix[[first, second], [second, first]] -= sd**-2.0
        return matrix

    def pull(self, values: Numbers) -> Numbers:
        """Minus the slope of half the squared misfit."""
        pull = (self.mean - values) * self.sd**-2.0
        for first, second, mean, sd in self.ties:
            left = (mean - (values[second] - values[first])) * sd**-2.0
            pull[second] += left
            pull[first] -= left
        return pull

    def cost(self, values: Numbers) -> float:
        """Half the squared misfit."""
        cost = float(np.sum(((self.mean - values) / self.sd) ** 2)) / 2
        for first, second, mean, sd in self.ties:
            cost += ((mean - (values[second] - values[first])) / sd) ** 2 / 2
        return cost


class View(Protocol):
    """How unknowns make pixels: photos (`photographed.py`) or scans (`scanned.py`)."""

    @property
    def size(self) -> int:
        """How many unknowns there are."""
        ...

    def card(self, card: int) -> int:
        """Where the unknowns of a card begin (index into `Seen.cards`)."""
        ...

    def camera(self, state: State, photo: int, /) -> Camera:
        """How a photo sees the table."""
        ...

    def look(self, state: State, seen: Seen) -> tuple[Points, Numbers]:
        """Pixels of all corners (NaN behind a camera), and how they move, (n, 2, common + own).

        They move with the unknowns that all cards have in common, which come first, and with those
        of their own card.
        """
        ...

    def table(self, state: State, photo: int, points: Points) -> tuple[Numbers, Numbers]:
        """How pixels of table points move: with the points (n, 2, 2), and with what is common."""
        ...

    def moved(self, state: State, step: Numbers) -> State:
        """The state after a step."""
        ...


def on_table(
    values: Numbers, blocks: Indices, on_card: Points, common: int
) -> tuple[Numbers, Numbers]:
    """Where corners of cards are on and above the table, and how they move with the unknowns.

    Args:
        values: Of all unknowns.
        blocks: Where the unknowns of each corner's card begin, (n,).
        on_card: From the card's middle at true size, (n, 2).
        common: How many unknowns there are before those of the cards.

    Returns:
        Millimetres (n, 3) and slopes (n, 3, common + own).
    """
    own = values[blocks[:, None] + np.arange(OF_CARD)]
    wide = on_card[:, 0] * np.exp(values[ACROSS])
    high = on_card[:, 1] * np.exp(values[UP])
    u, v = on_card[:, 0] / (WIDTH / 2), on_card[:, 1] / (HEIGHT / 2)
    right, above = 1 + own[:, GROWN] + own[:, LONGER], 1 + own[:, GROWN] - own[:, LONGER]
    x = wide * right + own[:, SHEARED] * high
    y = high * above + own[:, SHEARED] * wide
    c, s = np.cos(own[:, TURN]), np.sin(own[:, TURN])
    heights = np.column_stack((np.ones_like(u), u, v, u * u - 1 / 3, u * v, v * v - 1 / 3))
    place = np.column_stack(
        (
            own[:, X] + c * x - s * y,
            own[:, Y] + s * x + c * y,
            np.sum(heights * own[:, LIFT : BEND_YY + 1], axis=1),
        )
    )
    slopes = np.zeros((len(on_card), 3, common + OF_CARD))

    def turned(unknown: int, dx: Numbers, dy: Numbers) -> None:
        slopes[:, 0, unknown] = c * dx - s * dy
        slopes[:, 1, unknown] = s * dx + c * dy

    slopes[:, 0, common + X] = 1
    slopes[:, 1, common + Y] = 1
    turned(common + TURN, -y, x)
    slopes[:, 2, common + LIFT : common + BEND_YY + 1] = heights
    turned(common + GROWN, wide, high)
    turned(common + LONGER, wide, -high)
    turned(common + SHEARED, high, wide)
    turned(ACROSS, wide * right, own[:, SHEARED] * wide)
    turned(UP, own[:, SHEARED] * high, high * above)
    return place, slopes
