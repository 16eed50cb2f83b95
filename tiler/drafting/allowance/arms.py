"""One side of a corner, seen by someone who leaves the corner along the edge."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from tiler.drafting.allowance.curves import Bit, Vector, along
from tiler.pattern.affine import Point

#: Where a curve is looked at before a root is bracketed.
_LOOKS = 48


@dataclass(frozen=True, slots=True)
class Arm:
    """An edge as it leaves a corner, with its offset.

    Both arms of a corner leave it, so that one rule serves an edge that ends here and one that
    begins here.

    Args:
        owner: Number of the edge in its ring.
        corner: The stitch corner.
        heading: Unit direction in which the stitch line leaves.
        outward: Unit normal towards the cut line.
        width: Allowance in millimetres.
        bits: The edge's offset, leaving the corner.
        keeps: Whether neighbours end on its straight continuation (`Side.keeps`).
    """

    owner: int
    corner: Point
    heading: Vector
    outward: Vector
    width: float
    bits: tuple[Bit, ...]
    keeps: bool = False

    @property
    def foot(self) -> Point:
        """Where the offset begins, square to the stitch corner."""
        return along(self.corner, self.outward, self.width)

    def run_on(self, length: float) -> Point:
        """The point on the offset's straight continuation past the corner."""
        return along(self.foot, self.heading, -length)


@dataclass(frozen=True, slots=True)
class Place:
    """A place on bits: which one, and how far along it (0 to 1)."""

    index: int
    s: float


@dataclass(frozen=True, slots=True)
class End:
    """How one arm of a finished corner leaves it.

    Args:
        stub: From the cut line's corner to `place`.
        place: Where the edge's own offset takes over.
    """

    stub: tuple[Bit, ...] = ()
    place: Place = Place(0, 0.0)


def first_root(bits: Sequence[Bit], measure: Callable[[Point], float]) -> Place | None:
    """The first place along bits at which a measure of the point changes its sign, or None."""
    for index, bit in enumerate(bits):
        looks = 16 if bit.straight else _LOOKS
        low, before = 0.0, measure(bit.at(0.0))
        for step in range(1, looks + 1):
            high = step / looks
            after = measure(bit.at(high))
            if (before < 0) != (after < 0):
                return Place(index, _bisected(bit, measure, low, high, before < 0))
            low, before = high, after
    return None


def _bisected(
    bit: Bit, measure: Callable[[Point], float], low: float, high: float, negative_first: bool
) -> float:
    for _ in range(60):
        middle = (low + high) / 2
        if (measure(bit.at(middle)) < 0) == negative_first:
            low = middle
        else:
            high = middle
        if high - low < 1e-15:
            break
    return (low + high) / 2
