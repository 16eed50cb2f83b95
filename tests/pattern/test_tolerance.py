"""Tolerances stand in one place, and each says where it comes from."""

from __future__ import annotations

import pytest

from tiler.pattern import tolerance
from tiler.pattern.tolerance import TOLERANCES, Tolerance

PRACTICE = "common practice, no source"


def test_the_table_holds_every_tolerance_of_the_module() -> None:
    named = [value for value in vars(tolerance).values() if isinstance(value, Tolerance)]
    assert set(TOLERANCES) == set(named)
    assert len(TOLERANCES) == len(named)


@pytest.mark.parametrize("found", TOLERANCES, ids=lambda found: f"{found.what} {found.limit}")
def test_each_has_a_limit_a_unit_a_use_and_a_source(found: Tolerance) -> None:
    assert found.limit > 0
    assert found.unit in ("mm", "%", "times", "px", "deg")
    assert found.what
    assert found.use
    assert found.source == PRACTICE or len(found.source) > len("ISO 216")


def test_percent_are_handed_out_as_shares_and_millimetres_are_not() -> None:
    assert tolerance.PRINT_ASK.share == 0.005
    with pytest.raises(ValueError, match="mm is not a share"):
        _ = tolerance.GIRTH.share


def test_the_bands_of_the_print_scale_follow_one_another() -> None:
    """Common practice: 0.5 mm on a bar of 180 mm is true; compensating ends at 1.5 %."""
    limits = [tolerance.PRINT_TRUE, tolerance.PRINT_ASK, tolerance.PRINT_COMPENSABLE]
    assert [band.limit for band in limits] == sorted(band.limit for band in limits)
    assert limits[0].share * 180 <= 0.5
    assert limits[2].limit == 1.5


def test_rules_have_the_errors_that_the_law_allows_them() -> None:
    """UK SI 2016/1153, schedule 1I (as Directive 2014/32/EU): a + b L in mm, L whole metres."""
    law = {"1": (0.1, 0.1), "2": (0.3, 0.2), "3": (0.6, 0.4)}
    ours = {
        "1": tolerance.RULE_CLASS_1,
        "2": tolerance.RULE_CLASS_2,
        "3": tolerance.RULE_CLASS_3,
    }
    for grade, (a, b) in law.items():
        assert ours[grade].limit == pytest.approx(a + b * 1)
