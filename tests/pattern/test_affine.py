"""Affine maps keep the laws of a group, and act on points in the order that is written."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tiler.pattern.affine import Affine, Point

numbers = st.floats(-100, 100)
points = st.builds(Point, numbers, numbers)
maps = st.builds(Affine, numbers, numbers, numbers, numbers, numbers, numbers)


def near(one: tuple[float, ...], other: tuple[float, ...]) -> None:
    assert tuple(one) == pytest.approx(tuple(other), rel=1e-9, abs=1e-6)


@given(maps, maps, points)
def test_then_does_the_first_map_first(first: Affine, second: Affine, point: Point) -> None:
    near(first.then(second)(point), second(first(point)))


@given(maps, maps, maps)
def test_it_does_not_matter_how_three_maps_are_bracketed(a: Affine, b: Affine, c: Affine) -> None:
    near(a.then(b).then(c), a.then(b.then(c)))


@given(maps)
def test_the_plain_map_changes_nothing(by: Affine) -> None:
    assert by.then(Affine()) == by
    assert Affine().then(by) == by


@given(maps, maps)
def test_areas_grow_by_the_product(a: Affine, b: Affine) -> None:
    assert a.then(b).determinant == pytest.approx(a.determinant * b.determinant, abs=1e-4)


@given(st.floats(-720, 720), points)
def test_a_turn_and_its_opposite_cancel(degrees: float, point: Point) -> None:
    near(Affine.turn(degrees).then(Affine.turn(-degrees))(point), point)


@pytest.mark.parametrize(
    ("degrees", "place"),
    [(0, (1, 0)), (90, (0, 1)), (180, (-1, 0)), (270, (0, -1)), (-90, (0, -1))],
)
def test_quarter_turns_are_exact(degrees: int, place: tuple[int, int]) -> None:
    assert Affine.turn(degrees)(Point(1, 0)) == place


def test_a_turn_goes_anticlockwise() -> None:
    near(Affine.turn(30)(Point(2, 0)), (math.sqrt(3), 1))


def test_distance_of_a_three_four_five_triangle() -> None:
    assert Point(1, 1).to(Point(4, 5)) == 5
