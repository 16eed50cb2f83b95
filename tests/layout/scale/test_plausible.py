"""Readings that cannot be meant are refused, and what was probably meant is said."""

from __future__ import annotations

import pytest

from tiler.layout.scale import Reading, Rule
from tiler.layout.scale.plausible import refuse_implausible
from tiler.pattern.errors import MeasureError


def check(across: float, up: float) -> None:
    rule = Rule(1)
    refuse_implausible(Reading(180, across, rule), Reading(270, up, rule))


@pytest.mark.parametrize(
    ("across", "meant"),
    [
        (18.0, '"18 cm"'),
        (1795.0, '"179.5 mm"'),
        (7.09, '"7.09 in"'),
        (70.9, '"7.09 in"'),
        (7.09 * 25.4 * 2.54, '"18.01 cm"'),
        (180 * 25.4, '"180 mm"'),
    ],
)
def test_a_wrong_unit_is_suspected_and_the_right_one_offered(across: float, meant: str) -> None:
    with pytest.raises(MeasureError, match="the unit is probably wrong") as caught:
        check(across, 270)
    assert meant in str(caught.value)
    assert "the bar across" in str(caught.value)


def test_readings_that_are_swapped_are_told() -> None:
    with pytest.raises(MeasureError, match="probably swapped") as caught:
        check(269, 179.5)
    assert "short side" in str(caught.value)


@pytest.mark.parametrize(("across", "up"), [(1.0, 270), (180, 5000), (30, 40)])
def test_what_is_no_bar_at_all_is_refused(across: float, up: float) -> None:
    with pytest.raises(MeasureError):
        check(across, up)


@pytest.mark.parametrize("scale", [0.25, 0.5, 0.707, 0.75, 0.94, 1.0, 1.03, 1.333, 1.414, 2.0])
def test_whatever_a_print_setting_does_is_let_through(scale: float) -> None:
    check(180 * scale, 270 * scale)


def test_a_page_that_was_stretched_is_not_taken_for_a_swap() -> None:
    check(180 * 1.028, 270 * 0.9407)
