"""What is known of the size at which the cards were printed."""

from __future__ import annotations

import math
from dataclasses import dataclass

#: How far the two directions of a page usually differ, and how far an unmeasured print is from its
#: true size; common practice, no source.
_APART, _UNMEASURED = 0.004, 0.01


@dataclass(frozen=True, slots=True)
class Printed:
    """Printed over nominal length of the cards.

    Args:
        across: Along their long side; None when not measured.
        up: Along their short side; None when not measured.
        u: Standard uncertainty of both.
    """

    across: float | None
    up: float | None
    u: float

    @property
    def scale(self) -> tuple[float, float]:
        """Both, the unmeasured one like the other."""
        across = self.across or self.up or 1.0
        return across, self.up or across

    def known(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """Logarithm of each and its standard deviation, infinite where not measured."""
        if self.across is None and self.up is None:
            return (0.0, _UNMEASURED), (0.0, _UNMEASURED)
        across, up = self.scale
        return (
            (math.log(across), math.inf if self.across is None else self.u / across),
            (math.log(up), math.inf if self.up is None else self.u / up),
        )

    def tie(self) -> float:
        """How far the logarithms may differ, as far as is not said by `known`."""
        return _APART if self.across is None or self.up is None else math.inf
