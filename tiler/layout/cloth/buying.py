"""Lengths as shops sell them."""

from __future__ import annotations

import math
from fractions import Fraction

#: Shops sell by the 10 cm, and by the eighth of a yard (common practice, no source).
METRIC_STEP = 100.0
YARD = 914.4
#: Less than this over a step is rounding, millimetres.
_ROUNDING = 1e-6


def metric(length: float) -> float:
    """Millimetres to ask for: up to the next 10 cm."""
    return math.ceil((length - _ROUNDING) / METRIC_STEP) * METRIC_STEP


def yards(length: float) -> Fraction:
    """Yards to ask for: up to the next eighth.

    Args:
        length: Millimetres.
    """
    return Fraction(math.ceil((length - _ROUNDING) / (YARD / 8)), 8)
