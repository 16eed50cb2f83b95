"""The intake of a sewn dart, read off a cloth with checks or stripes."""

from __future__ import annotations

import math
from dataclasses import dataclass

from tiler.drafting.darts.forms import refuse_not_positive
from tiler.pattern.errors import PatternError

#: How far (millimetres) a reading off a cloth may be out. Common practice, no source.
READING = 0.5


@dataclass(frozen=True, slots=True)
class CheckIntake:
    """An intake that was read off a check cloth.

    Args:
        value: Millimetres.
        uncertainty: Millimetres either way.
    """

    value: float
    uncertainty: float

    @property
    def within(self) -> tuple[float, float]:
        """The least and the most that the readings allow."""
        return self.value - self.uncertainty, self.value + self.uncertainty


def intake_from_check(
    flat: float, sewn: float, repeats: int, *, flat_over: int = 1, sewn_over: int = 1
) -> CheckIntake:
    """The intake from the spacing of the cloth's lines, flat and across the sewn dart.

    value = repeats x (flat - sewn). A reading is out by at most 0.5 mm, and a spacing that was
    read over n repeats and divided by n is out by 0.5 / n. Both add in root of squares: the law
    of propagation of uncertainty for independent readings (JCGM 100:2008, 5.1.2; clause from
    memory).

    It holds for woven cloth only, where the lines lie along the dart on both sides and are not
    stretched or eased.

    Args:
        flat: One repeat in millimetres, where the same cloth lies flat.
        sewn: One repeat, as the mean over the sewn dart, along the seam.
        repeats: How many repeats lie between the two lines beside the dart.
        flat_over: Over how many repeats `flat` was read.
        sewn_over: Over how many repeats `sewn` was read; `repeats` when it was one reading
            right across.

    Raises:
        PatternError: A measure or a count is not positive, or the dart takes nothing in.
    """
    refuse_not_positive(flat_spacing=flat, sewn_spacing=sewn)
    for count in (repeats, flat_over, sewn_over):
        if count < 1:
            raise PatternError(
                f"{count} repeats cannot be measured", remedy="Count at least one whole repeat."
            )
    if sewn >= flat:
        raise PatternError(
            f"the repeat measures {sewn:g} mm across the sewn dart and {flat:g} mm flat, so "
            "nothing is taken in",
            remedy="Measure across the dart, along the seam, and flat beside it.",
        )
    uncertainty = repeats * math.hypot(READING / flat_over, READING / sewn_over)
    return CheckIntake(repeats * (flat - sewn), uncertainty)
