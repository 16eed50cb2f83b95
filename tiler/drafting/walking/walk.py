"""Two stitch lines walked against one another, notch by notch."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from tiler.drafting.rings import refuse_not_finite
from tiler.pattern.errors import PatternError
from tiler.pattern.path import Path
from tiler.pattern.units import format_mm

#: Stitch lines that differ by no more (millimetres) agree. Common practice, no source. (A sewing
#: magazine keeps its own patterns within 1/16 in, 1.6 mm, and says that many take 1/8 in.)
AGREES = 1.0
#: Up to here (millimetres) a difference is worth a note, beyond it somebody has to say whether
#: it is ease, gathers or an error. Common practice, no source.
NOTED = 3.0
#: A notch may lie so far (millimetres) beyond the end of its line and still mean the end.
_BEYOND = 0.05
#: Rounding that must not turn a difference of exactly 1 mm into a note.
_ROUNDING = 1e-6


class Agreement(StrEnum):
    """AGREES: sew it. NOTE: within what cloth takes up. ASK: ease, gathers or an error?"""

    AGREES = "agrees"
    NOTE = "note"
    ASK = "ask"


@dataclass(frozen=True, slots=True)
class Stretch:
    """A part of both lines, between two partner notches or ends.

    Args:
        first: Where it starts and ends on the first line, in millimetres from its start.
        second: The same on the second line.
        agreement: What the difference means, given the ease that is meant.
    """

    first: tuple[float, float]
    second: tuple[float, float]
    agreement: Agreement

    @property
    def lengths(self) -> tuple[float, float]:
        """Millimetres on the first and on the second line."""
        return self.first[1] - self.first[0], self.second[1] - self.second[0]

    @property
    def difference(self) -> float:
        """Millimetres by which the second line is longer; negative when it is shorter."""
        one, other = self.lengths
        return other - one


@dataclass(frozen=True, slots=True)
class Landing:
    """Where a notch of the first line would stand on the second, in millimetres from its start.

    Args:
        notch: The notch on the first line.
        from_start: Where it lands when the lines are walked from their starts.
        from_end: Where it lands when they are walked from their ends.
        even: Where it lands when the whole difference is shared out evenly.
    """

    notch: float
    from_start: float
    from_end: float
    even: float


@dataclass(frozen=True, slots=True)
class Walk:
    """What came of walking two stitch lines.

    Args:
        whole: Both lines from end to end.
        stretches: Between partner notches, in order. Without notches, or when the lines do not
            carry as many, it is the whole alone.
        landings: For each notch of the first line, in order.
        notches: How many each line carries.
        ease: The least and the most (millimetres) by which the second line is meant to be
            longer.
    """

    whole: Stretch
    stretches: tuple[Stretch, ...]
    landings: tuple[Landing, ...]
    notches: tuple[int, int]
    ease: tuple[float, float]

    @property
    def paired(self) -> bool:
        """Whether every notch has a partner."""
        return self.notches[0] == self.notches[1]

    @property
    def agreement(self) -> Agreement:
        """The worst of the whole and its stretches; notches without partners have to be asked."""
        told = {self.whole.agreement, *(stretch.agreement for stretch in self.stretches)}
        if not self.paired or Agreement.ASK in told:
            return Agreement.ASK
        return Agreement.NOTE if Agreement.NOTE in told else Agreement.AGREES


def walk(
    first: Path,
    second: Path,
    notches_first: Sequence[float] = (),
    notches_second: Sequence[float] = (),
    ease: tuple[float, float] = (0.0, 0.0),
) -> Walk:
    """Walk two stitch lines against one another.

    Both run the same way along the seam: their starts are sewn together. Folded darts and
    pleats have to be shut before. The whole has to differ by the ease; a stretch may
    take up any part of it, so equal totals cannot hide +5 and -5.

    Args:
        first: A stitch line, open.
        second: The line that it is sewn to.
        notches_first: Millimetres from the start of the first line, in any order; a double
            notch is one place, its middle (`walking.notches.middles`).
        notches_second: The same on the second line; the n-th notches are partners.
        ease: The least and the most (millimetres) by which the second is meant to be longer.

    Raises:
        PatternError: A notch that is not on its line, an ease that is not a range, or a
            coordinate that is not a number.
    """
    least, most = ease
    if not (math.isfinite(least) and math.isfinite(most) and least <= most):
        raise PatternError(
            f"an ease from {least:g} to {most:g} mm is not a range",
            remedy="Give the smaller length first.",
        )
    refuse_not_finite(first, "the first stitch line")
    refuse_not_finite(second, "the second stitch line")
    ends = first.length, second.length
    one = _ordered(notches_first, ends[0], "first")
    other = _ordered(notches_second, ends[1], "second")
    whole = _stretch((0.0, ends[0]), (0.0, ends[1]), ease)
    stretches: tuple[Stretch, ...] = (whole,)
    if one and len(one) == len(other):
        # A stretch may take up any part of the ease, or none of it.
        part = min(0.0, least), max(0.0, most)
        stretches = tuple(
            _stretch(a, b, part)
            for a, b in zip(
                pairwise((0.0, *one, ends[0])), pairwise((0.0, *other, ends[1])), strict=True
            )
        )
    landings = tuple(
        Landing(d, d, ends[1] - (ends[0] - d), d * ends[1] / ends[0] if ends[0] else 0.0)
        for d in one
    )
    return Walk(whole, stretches, landings, (len(one), len(other)), (least, most))


def _ordered(notches: Sequence[float], length: float, which: str) -> list[float]:
    for distance in notches:
        if not -_BEYOND <= distance <= length + _BEYOND:
            raise PatternError(
                f"a notch {distance:g} mm along is not on the {which} line, which is "
                f"{format_mm(length)} long",
                remedy="Give distances along the stitch line, from its start.",
            )
    return sorted(min(max(distance, 0.0), length) for distance in notches)


def _stretch(
    first: tuple[float, float], second: tuple[float, float], ease: tuple[float, float]
) -> Stretch:
    difference = (second[1] - second[0]) - (first[1] - first[0])
    off = max(ease[0] - difference, difference - ease[1], 0.0)
    agreement = Agreement.ASK
    if off <= NOTED + _ROUNDING:
        agreement = Agreement.AGREES if off <= AGREES + _ROUNDING else Agreement.NOTE
    return Stretch(first, second, agreement)
