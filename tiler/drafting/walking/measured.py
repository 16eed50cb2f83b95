"""A declared seam, walked: lengths, stretches between partner notches, and what is left over."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from tiler.drafting.walking.pairs import Pairing, paired
from tiler.drafting.walking.seams import SewnSide, sewn_sides
from tiler.drafting.walking.sense import Ties
from tiler.pattern.model import Pattern, Seam


@dataclass(frozen=True, slots=True)
class SeamStretch:
    """A part of both sides, between two places that meet.

    Args:
        first: Where it starts and ends, in millimetres from the first side's start.
        second: The same on the second side.
    """

    first: tuple[float, float]
    second: tuple[float, float]

    @property
    def difference(self) -> float:
        """Millimetres by which the second side is longer."""
        return (self.second[1] - self.second[0]) - (self.first[1] - self.first[0])


@dataclass(frozen=True, slots=True)
class SeamWalk:
    """What came of walking a seam.

    Args:
        seam: As declared.
        style: The style that was walked, or empty.
        sides: Both sides, in the direction of the seam.
        pairing: Which notches are partners.
    """

    seam: Seam
    style: str
    sides: tuple[SewnSide, SewnSide]
    pairing: Pairing

    @property
    def whole(self) -> bool:
        """Whether only whole lengths can be compared: a side goes into the seam several times."""
        return self.seam.times != (1, 1)

    @property
    def totals(self) -> tuple[float, float]:
        """Millimetres of each side, as often as it goes into the seam."""
        (one, other), (first, second) = self.sides, self.seam.times
        return one.total * first, other.total * second

    @property
    def difference(self) -> float:
        """Millimetres by which the second side is longer; negative when it is shorter."""
        return self.totals[1] - self.totals[0]

    @property
    def off(self) -> float:
        """Millimetres outside of the ease that is meant: negative when the second is too short."""
        least, most = self.seam.ease
        difference = self.difference
        return difference - min(max(difference, least), most)

    @property
    def stretches(self) -> tuple[SeamStretch, ...]:
        """From partner to partner, ends included; the whole when there are none."""
        places = [(0.0, 0.0)]
        places += [(pair.first, pair.second) for pair in self.pairing.pairs]
        places.append((self.sides[0].total, self.sides[1].total))
        return tuple(
            SeamStretch((a, c), (b, d))
            for (a, b), (c, d) in pairwise(places)
            # A notch at an end makes no stretch.
            if c - a > 0.5 or d - b > 0.5
        )

    @property
    def name(self) -> str:
        """The maker's word for it and the edges."""
        edges = f"{self.sides[0]} – {self.sides[1]}"
        return f"{self.seam.name} ({edges})" if self.seam.name else edges


def walk_seam(pattern: Pattern, seam: Seam, style: str = "", ties: Ties | None = None) -> SeamWalk:
    """Walk a seam of a drafted pattern, notch by notch.

    Args:
        pattern: Drafted.
        seam: One of its seams.
        style: The style to walk.
        ties: What is sewn together in the pattern, where that is known already.

    Raises:
        PatternError: No such piece or edge, or a stitch line that is not known.
    """
    sides = sewn_sides(pattern, seam, style, ties)
    return SeamWalk(seam, style, sides, paired(*sides))
