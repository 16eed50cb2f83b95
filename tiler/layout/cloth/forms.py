"""What the search lays: things, each in one of several forms."""

from __future__ import annotations

from dataclasses import dataclass

import shapely

from tiler.layout.cloth.halves import largest
from tiler.layout.cloth.ring import Floats, anticlockwise
from tiler.pattern.affine import Affine

#: A ring with so few corners stays as it is where pieces may touch.
_FEW = 60


@dataclass(frozen=True, eq=False)
class Ties:
    """Where a form may lie.

    Args:
        along: (first, step) of its places along, mm; None for anywhere.
        across: The same across; a step of 0 for one place only.
    """

    along: tuple[float, float] | None = None
    across: tuple[float, float] | None = None


FREE = Ties()


@dataclass(frozen=True, eq=False)
class Form:
    """One way of laying a thing.

    Args:
        at: Piece -> millimetres about the form's place.
        outline: What is cut, about its place, anticlockwise.
        gap: Least cloth between it and others, mm.
        ties: Where it may lie.
        clear: How far it keeps from where the room begins across, mm.
    """

    at: Affine
    outline: Floats
    gap: float
    ties: Ties = FREE
    clear: float = 0.0

    @property
    def low(self) -> tuple[float, float]:
        """Lower left corner of the outline."""
        x, y = self.outline.min(axis=0)
        return float(x), float(y)

    @property
    def high(self) -> tuple[float, float]:
        """Upper right corner of the outline."""
        x, y = self.outline.max(axis=0)
        return float(x), float(y)

    def body(self, simpler: float) -> Floats:
        """A ring round everything within half the gap, made simpler outwards by so much, mm."""
        if self.gap <= 0 and len(self.outline) <= _FEW:
            return anticlockwise(self.outline)
        # Round corners are made of chords: a little more, so that these stay outside.
        around = shapely.Polygon(self.outline).buffer(
            self.gap / 2 * 1.005 + simpler / 2, quad_segs=16
        )
        ring = largest(largest(around).simplify(simpler / 2 * 0.99)).exterior
        return anticlockwise(shapely.get_coordinates(ring)[:-1])


@dataclass(frozen=True, eq=False)
class Thing:
    """One cut, in any of its forms.

    Args:
        forms: At least one.
        area: Of its outline, square millimetres.
        tag: What it is, for whoever asked.
    """

    forms: tuple[Form, ...]
    area: float
    tag: object = None


@dataclass(frozen=True, slots=True)
class Spot:
    """Which form of a thing, and its place, mm."""

    form: int
    x: float
    y: float
