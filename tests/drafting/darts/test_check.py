"""The intake read off a check cloth.

Outside values: a worked example (checks of 12.5, ten of them, 125 flat and 95 across the dart), and
the spread of simulated readings (numpy).
"""

import numpy as np
import pytest

from tiler.drafting.darts.check import READING, intake_from_check
from tiler.pattern.errors import PatternError


def test_the_worked_example() -> None:
    """Two readings of 125 and 95, each 0.5 out at most: 30, and 0.5 x sqrt(2) either way."""
    intake = intake_from_check(12.5, 9.5, 10, flat_over=10, sewn_over=10)
    assert intake.value == pytest.approx(30)
    assert intake.uncertainty == pytest.approx(0.7071, abs=5e-5)
    assert intake.within == pytest.approx((29.2929, 30.7071), abs=5e-5)


def test_a_single_repeat_read_for_ten_is_ten_times_less_sure() -> None:
    """10 x 0.5 x sqrt(2)."""
    assert intake_from_check(12.5, 9.5, 10).uncertainty == pytest.approx(7.0711, abs=5e-5)


def test_the_uncertainty_is_the_spread_of_many_readings() -> None:
    """Readings with a standard deviation of 0.5, simulated: the result's is the uncertainty."""
    random = np.random.default_rng(20)
    flat = 25 + random.normal(0, READING, 200_000) / 5
    sewn = 19 + random.normal(0, READING, 200_000) / 4
    told = intake_from_check(25, 19, 4, flat_over=5, sewn_over=4)
    assert float(np.std(4 * (flat - sewn))) == pytest.approx(told.uncertainty, rel=0.01)
    assert float(np.mean(4 * (flat - sewn))) == pytest.approx(told.value, abs=0.01)


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ((12.5, 12.5, 10), "nothing is taken in"),
        ((9.5, 12.5, 10), "nothing is taken in"),
        ((0.0, 9.5, 10), "flat spacing is 0"),
        ((12.5, -1.0, 10), "sewn spacing is -1"),
        ((float("nan"), 9.5, 10), "flat spacing is nan"),
        ((12.5, 9.5, 0), "at least one whole repeat"),
    ],
)
def test_readings_that_cannot_be_are_refused(values: tuple[float, float, int], words: str) -> None:
    with pytest.raises(PatternError, match=words):
        intake_from_check(*values)


def test_a_reading_over_no_repeat_is_refused() -> None:
    with pytest.raises(PatternError, match="at least one whole repeat"):
        intake_from_check(12.5, 9.5, 10, flat_over=0)
