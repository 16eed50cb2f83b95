"""A bar and a rule give a scale, and an interval that holds the true one 19 times of 20."""

from __future__ import annotations

import math

import numpy as np
import pytest

from tests.layout.scale.simulated import read_by_hand
from tiler.layout.papers import find_paper
from tiler.layout.scale import Printer, Reading, Rule
from tiler.layout.tiles import PageSetup
from tiler.pattern.affine import Point
from tiler.pattern.errors import MeasureError

DRAWS = 10_000
#: Bars of an A4 page and of the shortest page that is printed (A5), millimetres.
BARS = (180.0, 270.0)
each_rule = pytest.mark.parametrize("division", [0.5, 1.0])


@each_rule
@pytest.mark.parametrize("noise", [0.0, 0.1, 0.25])
@pytest.mark.parametrize("bar", BARS)
def test_the_true_scale_lies_within_the_stated_uncertainty(
    division: float, noise: float, bar: float
) -> None:
    """True scales from 0.95 to 1.05; in 95 % of 10,000 draws, by counting."""
    rng = np.random.default_rng(5)
    true = rng.uniform(0.95, 1.05, DRAWS)
    read = read_by_hand(true * bar, division, rng, noise)
    rule = Rule(division)
    axes = [Reading(bar, length, rule).axis for length in read]
    inside = [abs(axis.scale - s) <= axis.pm for axis, s in zip(axes, true, strict=True)]
    assert np.mean(inside) >= 0.95


@each_rule
def test_it_holds_for_an_eye_that_is_anywhere_within_half_a_division(division: float) -> None:
    """The coarsest aim that still is one, at each end of the bar and on top of the rounding."""
    rng = np.random.default_rng(8)
    true = rng.uniform(0.95, 1.05, DRAWS) * 180
    ends = rng.uniform(-0.5, 0.5, (2, DRAWS)) * division
    begin = rng.uniform(0, division, DRAWS)
    first = np.round((begin + ends[0]) / division) * division
    last = np.round((begin + true + ends[1]) / division) * division
    assert np.mean(np.abs(last - first - true) <= 2 * Rule(division).uncertainty) >= 0.95


@each_rule
def test_the_interval_is_no_wider_than_it_need_be(division: float) -> None:
    """For an eye sure to a quarter of a division at most an eighth wider than by counting."""
    rng = np.random.default_rng(6)
    true = rng.uniform(0.95, 1.05, 40_000) * 180
    off = np.abs(read_by_hand(true, division, rng) - true)
    assert 2 * Rule(division).uncertainty <= 1.125 * np.quantile(off, 0.95)


@each_rule
def test_a_compensated_page_measures_true_within_the_uncertainty(division: float) -> None:
    """Sent through the same simulated printer; lengths across and up, 95 % of 10,000 each."""
    rng = np.random.default_rng(7)
    setup = PageSetup(find_paper("a4"))
    true = rng.uniform(0.95, 1.05, (DRAWS, 2))
    read = read_by_hand(true * BARS, division, rng)
    rule, inside = Rule(division), np.zeros(2)
    for (sx, sy), (across, up) in zip(true, read, strict=True):
        one, other = Reading(BARS[0], across, rule).axis, Reading(BARS[1], up, rule).axis
        printer = Printer("home", one.scale, other.scale, one.pm, other.pm, "a4")
        sent = printer.compensation(setup)
        wide = (sent(Point(200, 50)).x - sent(Point(20, 50)).x) * sx
        high = (sent(Point(20, 280)).y - sent(Point(20, 10)).y) * sy
        inside += [abs(wide / 180 - 1) <= one.pm, abs(high / 270 - 1) <= other.pm]
    assert (inside / DRAWS >= 0.95).all()


def test_reading_errors_follow_the_rectangular_law() -> None:
    """GUM (JCGM 100:2008) 4.3.7: u = a / sqrt 3; a = 0.5 gives 0.2887 (1 / sqrt 12 in any table).

    Two readings and two aims of three tenths of a division each, added in quadrature, by hand:
    2 x 0.08333 + 2 x 0.09 = 0.34667, and its root is 0.58878.
    """
    assert Rule(1.0).uncertainty == pytest.approx(0.58878, abs=1e-5)
    assert Rule(0.5).uncertainty == pytest.approx(0.58878 / 2, abs=1e-5)


def test_the_rule_s_own_class_is_added_when_it_is_given() -> None:
    """Class II, 0.5 mm up to 1 m: 0.5 / sqrt 3 = 0.28868; root of 0.34667 + 0.08333: 0.65574."""
    assert Rule(1.0, "2").uncertainty == pytest.approx(0.65574, abs=5e-6)


def test_a_very_fine_rule_does_not_make_the_eye_finer() -> None:
    """Callipers of 0.02 mm: the eye still sets each end to 0.1 mm; root 2 x 0.1 = 0.1414."""
    assert Rule(0.02).uncertainty == pytest.approx(0.1414 * 1.001, rel=2e-3)


def test_a_longer_bar_tells_more() -> None:
    short, long = (Reading(bar, bar, Rule(1)).axis.pm for bar in (100.0, 250.0))
    assert short / long == pytest.approx(2.5)


@pytest.mark.parametrize("division", [0.0, -1.0, 300.0, 1e-6, math.nan, math.inf])
def test_a_rule_that_there_is_not_is_refused(division: float) -> None:
    with pytest.raises(MeasureError, match="ruler"):
        Rule(division)


def test_an_unknown_class_is_refused() -> None:
    with pytest.raises(MeasureError, match="accuracy class"):
        Rule(1.0, "9")


@pytest.mark.parametrize("length", [0.0, -3.0, math.nan, math.inf])
def test_a_length_that_there_is_not_is_refused(length: float) -> None:
    with pytest.raises(MeasureError, match="a bar cannot measure"):
        Reading(180.0, length, Rule(1))
