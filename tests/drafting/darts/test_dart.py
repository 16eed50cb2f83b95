"""Darts of all kinds: legs, middles, drill points.

Outside values: triangles solved by hand.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.drafting.darts.shapes import WORKED, anywhere, darts, moved
from tiler.drafting.darts.dart import Dart, FisheyeDart, dart_on_fold, trued_legs
from tiler.drafting.darts.forms import angle, leg_length
from tiler.drafting.unfold.mirror import Axis
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Role


@given(darts(), anywhere())
def test_a_dart_has_its_measures_wherever_it_lies(dart: Dart, by: Affine) -> None:
    there = moved(dart, by)
    length = dart.left.y
    assert there.legs == pytest.approx([leg_length(dart.intake, length)] * 2, rel=1e-9)
    assert there.intake == pytest.approx(dart.intake, rel=1e-9)
    assert there.angle == pytest.approx(angle(dart.intake, length), rel=1e-7)
    assert there.closing(there.right).to(there.left) < 1e-9
    assert there.closing(there.tip).to(there.tip) < 1e-9
    assert there.closing.determinant == pytest.approx(1)


@given(darts(), st.floats(0.5, 2), anywhere())
def test_trued_legs_are_the_mean_and_keep_tip_and_angle(
    dart: Dart, share: float, by: Affine
) -> None:
    longer = Point(dart.right.x * share, dart.right.y * share)
    uneven = moved(Dart(dart.left, dart.tip, longer), by)
    true = trued_legs(uneven)
    mean = sum(uneven.legs) / 2
    assert true.legs == pytest.approx((mean, mean), rel=1e-9)
    assert true.tip == uneven.tip
    assert true.angle == pytest.approx(uneven.angle, abs=1e-6)


def test_legs_of_100_and_104_become_102() -> None:
    uneven = Dart(Point(-28, 96), Point(0, 0), Point(40, 96))
    assert uneven.legs == (100, 104)
    true = trued_legs(uneven)
    assert true.left == pytest.approx((-28 * 1.02, 96 * 1.02))
    assert true.right == pytest.approx((40 * 102 / 104, 96 * 102 / 104))


def test_the_line_runs_from_leg_to_leg() -> None:
    assert WORKED.line.role is Role.DART
    assert list(WORKED.line.path.nodes()) == [(-15, 100), (0, 0), (15, 100)]


@given(darts(), st.floats(0, 50), anywhere())
def test_the_drill_point_is_on_the_middle_short_of_the_tip(
    dart: Dart, short: float, by: Affine
) -> None:
    mark = moved(dart, by).drill_point(short)
    assert mark.role is Role.DRILL
    assert mark.at.to(by(Point(0, short))) < 1e-9
    assert mark.path.bounds.centre.to(mark.at) < 1e-9


@pytest.mark.parametrize("short", [-1.0, 100.0, 150.0, math.nan])
def test_a_drill_point_outside_of_the_dart_is_refused(short: float) -> None:
    with pytest.raises(PatternError, match="is not within the dart"):
        WORKED.drill_point(short)


@pytest.mark.parametrize(
    "places",
    [
        ((0, 0), (0, 0), (15, 100)),
        ((0, 50), (0, 0), (0, 100)),
        ((-10, 0), (0, 0), (10, 0)),
        ((-10, math.nan), (0, 0), (10, 0)),
    ],
)
def test_three_points_that_are_no_triangle_are_refused(
    places: tuple[tuple[float, float], ...],
) -> None:
    with pytest.raises(PatternError, match="make a triangle"):
        Dart(*(Point(*place) for place in places))


class TestOnFold:
    """A half piece shows one leg of a dart on its fold."""

    @given(darts(), st.booleans(), anywhere())
    def test_the_other_leg_is_the_mirror_image(self, dart: Dart, left: bool, by: Affine) -> None:
        there = moved(dart, by)
        fold = Axis(by(Point(0, -50)), by(Point(0, 400)))
        whole = dart_on_fold(there.left if left else there.right, there.tip, fold)
        assert whole.left.to(there.left) < 1e-9
        assert whole.right.to(there.right) < 1e-9

    def test_a_tip_beside_the_fold_is_refused(self) -> None:
        with pytest.raises(PatternError, match="lies 2 mm off the fold"):
            dart_on_fold(Point(15, 100), Point(2, 0), Axis(Point(0, -50), Point(0, 400)))


class TestFisheye:
    """A dart with two tips is two darts that share their width."""

    dart = FisheyeDart(Point(-12, 0), Point(12, 0), (Point(0, -140), Point(0, 110)))

    def test_both_halves_take_in_the_same(self) -> None:
        lower, upper = self.dart.halves
        assert self.dart.intake == lower.intake == upper.intake == 24
        assert lower.legs == pytest.approx([leg_length(24, 140)] * 2)
        assert upper.legs == pytest.approx([leg_length(24, 110)] * 2)
        # From the upper tip, looking at the waist, left is where x grows.
        assert upper.left == (12, 0)

    def test_its_line_is_one_ring(self) -> None:
        line = self.dart.line
        assert line.role is Role.DART
        assert line.path.closed
        assert abs(line.path.area) == 24 * 250 / 2

    def test_drill_points_lie_inside_of_all_four_ends(self) -> None:
        places = [mark.at for mark in self.dart.drill_points(3)]
        assert places == [(0, -137), (-9, 0), (0, 107), (9, 0)]

    def test_drill_points_need_room(self) -> None:
        with pytest.raises(PatternError, match="less than 12 mm"):
            self.dart.drill_points(12)

    def test_ends_in_one_line_are_refused(self) -> None:
        with pytest.raises(PatternError, match="make a triangle"):
            FisheyeDart(Point(-12, 0), Point(12, 0), (Point(0, -140), Point(0, 0)))
