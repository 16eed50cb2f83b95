"""Lengths that shops sell; worked by hand."""

from fractions import Fraction

import pytest

from tiler.layout.cloth.buying import metric, yards


@pytest.mark.parametrize(
    ("length", "tens", "eighths"),
    [
        (1730.0, 1800.0, Fraction(2)),  # 1.892 yd
        (1730.0 / 0.9, 2000.0, Fraction(17, 8)),  # 1922 mm: 2.102 yd
        (1800.0, 1800.0, Fraction(2)),
        (914.4, 1000.0, Fraction(1)),
        (914.5, 1000.0, Fraction(9, 8)),
    ],
)
def test_a_length_is_rounded_up(length: float, tens: float, eighths: Fraction) -> None:
    assert metric(length) == pytest.approx(tens)
    assert yards(length) == eighths
