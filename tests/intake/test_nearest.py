"""The nearest place on a path.

Outside values: the distance from a polyline by shapely; the foot of the perpendicular on a
straight line and on a circle in closed form.
"""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString
from shapely import Point as Dot

from tiler.intake.nearest import Seeker, covered, evenly, nearest, nearest_of
from tiler.pattern.affine import Point
from tiler.pattern.path import Path, circle, polyline

numbers = st.floats(-300, 300).map(lambda x: round(x, 2))
points = st.builds(Point, numbers, numbers)


@given(st.lists(points, min_size=2, max_size=30), points)
def test_distance_from_a_polyline_agrees_with_another_library(
    nodes: list[Point], to: Point
) -> None:
    near = nearest(polyline(nodes), to)
    outside = LineString(nodes).distance(Dot(to)) if len(set(nodes)) > 1 else nodes[0].to(to)
    assert near.distance == pytest.approx(outside, abs=1e-9)
    assert near.point.to(to) == near.distance


@given(st.floats(0, 360), st.floats(0.2, 3))
def test_the_foot_on_a_circle_lies_on_the_ray_from_its_centre(angle: float, share: float) -> None:
    """Four cubics bulge out of the true circle by 0 to 0.0273 % (Goldapp 1991)."""
    ray = Point(math.cos(math.radians(angle)), math.sin(math.radians(angle)))
    near = nearest(circle(Point(0, 0), 100), Point(share * 100 * ray.x, share * 100 * ray.y))
    assert near.distance == pytest.approx(abs(share - 1) * 100, abs=0.028)
    assert 100 - 1e-9 <= near.point.to(Point(0, 0)) <= 100.0273


@given(st.integers(0, 3), st.floats(0, 1))
def test_a_point_on_the_path_is_its_own_nearest(index: int, t: float) -> None:
    ring = circle(Point(40, 50), 75)
    place = ring.segments[index].at(t)
    near = nearest(ring, place)
    assert near.distance < 1e-6
    assert ring.segments[near.segment].at(near.t) == near.point


@given(st.lists(points, min_size=1, max_size=5))
def test_a_seeker_can_be_asked_again(places: list[Point]) -> None:
    seeker = Seeker(circle(Point(0, 0), 100))
    again = [seeker.nearest(place) for place in places]
    assert again == [nearest(seeker.path, place) for place in places]


@given(st.lists(points, min_size=2, max_size=9), points, st.floats(0, 200))
def test_looking_no_further_than_asked_finds_the_same_if_it_is_there(
    nodes: list[Point], to: Point, within: float
) -> None:
    seeker = Seeker(polyline(nodes))
    whole, near = seeker.nearest(to), seeker.nearest(to, within)
    assert near == whole if whole.distance <= within else near.distance > within


@given(st.lists(st.lists(points, min_size=2, max_size=4), min_size=1, max_size=5), points)
def test_the_nearest_of_several_paths_is_the_first_that_is_as_near(
    chains: list[list[Point]], to: Point
) -> None:
    seekers = [Seeker(polyline(nodes)) for nodes in chains]
    distances = [seeker.nearest(to).distance for seeker in seekers]
    index, near = nearest_of(seekers, to)
    assert (index, near.distance) == (distances.index(min(distances)), min(distances))


@given(st.lists(points, min_size=2, max_size=6, unique=True), st.floats(1, 50))
def test_even_points_are_never_further_apart_than_the_step(nodes: list[Point], step: float) -> None:
    path = polyline(nodes)
    places = list(evenly(path, step))
    assert places[0] == path.start
    assert places[-1] == path.end
    assert all(a.to(b) <= step + 1e-9 for a, b in pairwise(places))


@pytest.mark.parametrize(("reach", "share"), [(100, 1.0), (50, 0.5), (0.1, 0.0)])
def test_the_covered_share_of_an_edge(reach: float, share: float) -> None:
    edge = polyline([Point(0, 0), Point(100, 0)])
    line: Path = polyline([Point(-5, 0.3), Point(reach, 0.3)])
    assert covered(edge, line, within=0.5) == pytest.approx(share, abs=0.025)
