"""What lies on an invented floor: a paper with marker lines, and cards.

Everything is in millimetres of the flat table, x to the right, y up, z towards the camera.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Colour = tuple[float, float, float]


class Lift(StrEnum):
    """How a card stands off what it lies on."""

    WHOLE = "whole"
    END = "end"
    CURL = "curl"


@dataclass(frozen=True)
class CardOnTable:
    """A card that was cut out and laid down.

    Args:
        number: Which one.
        x: Of the lower left corner of its squares.
        y: Likewise.
        turn: Degrees anticlockwise.
        along: Printed over nominal length, along the long side.
        across: Likewise along the short side.
        lift: How far it stands up, at its highest.
        manner: All of it; one end, straight; or one end, as a parabola.
        far: Whether the lifted end is the one at large x of the card.
    """

    number: int
    x: float
    y: float
    turn: float
    along: float = 1.0
    across: float = 1.0
    lift: float = 0.0
    manner: Lift = Lift.WHOLE
    far: bool = True

    def to_table(self, on_card: Array) -> Array:
        """Table points of points in the card's own nominal millimetres."""
        c, s = np.cos(np.radians(self.turn)), np.sin(np.radians(self.turn))
        u, v = on_card[..., 0] * self.along, on_card[..., 1] * self.across
        return np.stack((self.x + c * u - s * v, self.y + s * u + c * v), axis=-1)

    def to_card(self, on_table: Array) -> Array:
        """The inverse of `to_table`."""
        c, s = np.cos(np.radians(self.turn)), np.sin(np.radians(self.turn))
        dx, dy = on_table[..., 0] - self.x, on_table[..., 1] - self.y
        return np.stack(((c * dx + s * dy) / self.along, (c * dy - s * dx) / self.across), axis=-1)

    def stands(self, u: Array, width: float) -> Array:
        """How far it stands off at `u` of its `width` nominal millimetres."""
        if self.manner is Lift.WHOLE:
            return np.full_like(u, self.lift)
        share = u / width if self.far else 1 - u / width
        return self.lift * (share if self.manner is Lift.END else np.clip(share, 0, None) ** 2)


@dataclass(frozen=True, eq=False)
class MarkerLine:
    """A line drawn with a marker.

    Args:
        points: Along the middle of the nib's way, at most 2 mm apart; (n, 2).
        closed: Whether it comes back to its first point, which is not repeated.
        width: Of the round nib.
        colour: Light that the ink lets through, linear red, green, blue.
        name: What it is for: `outline`, `inside`, `notch`, `grain`, ….
        style: Of nested styles, which one.
        gaps: Stretches left out, as distances from the first point: (from, to).
    """

    points: Array = field(repr=False)
    closed: bool
    width: float = 4.0
    colour: Colour = (0.03, 0.03, 0.035)
    name: str = "outline"
    style: str = ""
    gaps: tuple[tuple[float, float], ...] = ()


@dataclass(frozen=True, eq=False)
class Waves:
    """A paper that does not lie flat: a sum of sinusoids, its lowest place on the floor.

    Args:
        numbers: Wave numbers, radians a millimetre, (n, 2).
        heights: Amplitudes.
        phases: Radians.
        base: Added to the sum.
    """

    numbers: Array = field(default_factory=lambda: np.zeros((0, 2)))
    heights: Array = field(default_factory=lambda: np.zeros(0))
    phases: Array = field(default_factory=lambda: np.zeros(0))
    base: float = 0.0

    def at(self, x: Array, y: Array) -> Array:
        """Heights."""
        height = np.full(np.broadcast(x, y).shape, self.base)
        for (kx, ky), a, phase in zip(self.numbers, self.heights, self.phases, strict=True):
            height += a * np.sin(kx * x + ky * y + phase)
        return height

    def slope(self, x: Array, y: Array) -> Array:
        """Slopes along x and y, (…, 2)."""
        slope = np.zeros((*np.broadcast(x, y).shape, 2))
        for (kx, ky), a, phase in zip(self.numbers, self.heights, self.phases, strict=True):
            rise = a * np.cos(kx * x + ky * y + phase)
            slope[..., 0] += kx * rise
            slope[..., 1] += ky * rise
        return slope


def waves(seed: int, paper: Array, peak_to_peak: float) -> Waves:
    """Waves whose highest place on the paper is `peak_to_peak` over the lowest."""
    if not peak_to_peak:
        return Waves()
    chance = np.random.default_rng([seed, 71])
    count = int(chance.integers(3, 6))
    lengths = chance.uniform(180, 600, count)
    angles = chance.uniform(0, np.pi, count)
    numbers = 2 * np.pi / lengths[:, None] * np.c_[np.cos(angles), np.sin(angles)]
    raw = Waves(numbers, chance.uniform(0.4, 1, count), chance.uniform(0, 2 * np.pi, count))
    (left, low), (right, high) = paper.min(axis=0), paper.max(axis=0)
    x, y = np.meshgrid(np.linspace(left, right, 80), np.linspace(low, high, 80))
    z = raw.at(x, y)
    scale = peak_to_peak / (z.max() - z.min())
    return Waves(numbers, raw.heights * scale, raw.phases, -float(z.min()) * scale)


@dataclass(frozen=True, eq=False)
class Floor:
    """What the paper lies on.

    Args:
        kind: `boards`, `tiles` or `plain`.
        colour: Linear red, green, blue.
        turn: Degrees of its seams.
        pitch: From seam to seam.
    """

    kind: str = "boards"
    colour: Colour = (0.22, 0.13, 0.07)
    turn: float = 7.0
    pitch: float = 125.0


@dataclass(frozen=True, eq=False)
class Print:
    """What a printer has put on the paper, all of it in black.

    Args:
        light: Share of the light that comes back from white paper, 0 to 255, row 0 above.
        px_per_mm: Its pixels to the millimetre.
        left: x of its left edge.
        top: y of its upper edge.
    """

    light: NDArray[np.uint8] = field(repr=False)
    px_per_mm: float
    left: float
    top: float


@dataclass(frozen=True, eq=False)
class Scene:
    """All of it.

    Args:
        paper: Corners of the paper, (n, 2).
        lines: What is drawn on it, in the order of drawing.
        cards: What lies round it.
        tint: Of the paper, linear red, green, blue.
        floor: What it lies on.
        waves: How the paper does not lie flat.
        creases: Faint folds of the paper: ends of lines, (n, 2, 2).
        ragged: Standard deviation of the cut edge across itself.
        printed: What stands on the paper besides the marker lines; None for a bare one.
    """

    paper: Array
    lines: tuple[MarkerLine, ...]
    cards: tuple[CardOnTable, ...]
    tint: Colour = (0.80, 0.74, 0.60)
    floor: Floor = Floor()
    waves: Waves = Waves()
    creases: tuple[Array, ...] = ()
    ragged: float = 0.3
    printed: Print | None = None

    def of(self, name: str, style: str | None = None) -> list[MarkerLine]:
        """The lines of that name, and of one style where it is given."""
        return [
            line
            for line in self.lines
            if line.name == name and (style is None or line.style == style)
        ]
