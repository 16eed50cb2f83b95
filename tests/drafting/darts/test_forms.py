"""The closed forms of a dart.

Outside values: an isosceles triangle solved by hand (legs by Pythagoras, angle by the arc tangent),
and the same triangle measured by shapely.
"""

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from tiler.drafting.darts.forms import angle, intake_at, intake_of, leg_length
from tiler.pattern.errors import PatternError


@pytest.mark.parametrize(
    ("intake", "length", "leg", "degrees"),
    [
        (30, 100, 101.119, 17.0615),
        (25, 120, 120.649, 11.894),
        (40, 140, 141.421, 16.260),
        (200, 100, 100 * math.sqrt(2), 90),
        (200, 100 * math.sqrt(3), 200, 60),
    ],
)
def test_leg_and_angle(intake: float, length: float, leg: float, degrees: float) -> None:
    assert leg_length(intake, length) == pytest.approx(leg, abs=5e-4)
    assert angle(intake, length) == pytest.approx(degrees, abs=5e-4)


@given(st.floats(1, 100), st.floats(20, 300))
def test_against_a_triangle_measured_by_shapely(intake: float, length: float) -> None:
    tip = shapely.Point(0, 0)
    left, right = shapely.Point(-intake / 2, length), shapely.Point(intake / 2, length)
    a, b = tip.distance(left), left.distance(right)
    assert leg_length(intake, length) == pytest.approx(a, rel=1e-12)
    # Law of cosines.
    cosine = (2 * a * a - b * b) / (2 * a * a)
    assert math.cos(math.radians(angle(intake, length))) == pytest.approx(cosine, rel=1e-9)


@given(st.floats(1, 100), st.floats(20, 300), st.floats(20, 300))
def test_the_angle_stays_when_a_dart_is_moved_to_another_length(
    intake: float, length: float, other: float
) -> None:
    moved = intake_of(angle(intake, length), other)
    assert moved == pytest.approx(intake * other / length, rel=1e-9)
    assert angle(moved, other) == pytest.approx(angle(intake, length), rel=1e-9)


@pytest.mark.parametrize(("distance", "taken"), [(0, 0), (50, 15), (25, 7.5), (100, 30)])
def test_what_is_taken_in_grows_evenly_from_the_tip(distance: float, taken: float) -> None:
    assert intake_at(distance, 30, 100) == pytest.approx(taken, abs=1e-12)


def test_an_angle_read_off_the_sewn_cloth_gives_the_intake() -> None:
    """2 x 100 x tan(17.06 / 2) = 29.997."""
    assert intake_of(17.06, 100) == pytest.approx(29.997, abs=5e-4)


@pytest.mark.parametrize("bad", [0.0, -5.0, math.nan, math.inf])
def test_measures_that_make_no_dart_are_refused(bad: float) -> None:
    for wrong in (
        lambda: leg_length(bad, 100),
        lambda: leg_length(30, bad),
        lambda: angle(bad, 100),
        lambda: angle(30, bad),
        lambda: intake_of(bad, 100),
        lambda: intake_at(10, 30, bad),
    ):
        with pytest.raises(PatternError, match="Give a number greater than 0"):
            wrong()


@pytest.mark.parametrize("distance", [-1.0, 100.5, math.nan])
def test_a_place_outside_of_the_dart_is_refused(distance: float) -> None:
    with pytest.raises(PatternError, match="is not within a dart of 100 mm"):
        intake_at(distance, 30, 100)


def test_an_angle_that_no_dart_has_is_refused() -> None:
    with pytest.raises(PatternError, match="less than 180 degrees"):
        intake_of(180, 100)
