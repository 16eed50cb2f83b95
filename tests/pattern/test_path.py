"""What can be measured on a path.

Outside values: bounds and lengths of cubics by the svgelements library; the polygon of a
flattened ring by shapely; Steiner's formula for a convex shape grown by d, area A + P d + pi d^2
and perimeter P + 2 pi d.
"""

import math
from itertools import pairwise

import pytest
import svgelements
from hypothesis import given
from hypothesis import strategies as st
from shapely import LineString, Polygon
from shapely import Point as Dot

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import Path, circle, polyline, rectangle
from tiler.pattern.segment import Cubic, Segment, Straight, direction, turn_between

numbers = st.floats(-500, 500).map(lambda x: round(x, 3))
points = st.builds(Point, numbers, numbers)
straights = st.builds(Straight, points, points)
cubics = st.builds(Cubic, points, points, points, points)
segments = st.one_of(straights, cubics)
fractions = st.floats(0, 1)


def outside_cubic(cubic: Cubic) -> svgelements.CubicBezier:
    return svgelements.CubicBezier(*(complex(*point) for point in cubic))


def grown_square(side: float, by: float) -> Path:
    """A square with all that is nearer than `by`: four sides and four quarter circles."""
    corner = circle(Point(0, 0), by).segments
    places = ((side, side), (0, side), (0, 0), (side, 0))
    parts: list[Segment] = []
    for quarter, (x, y) in zip(corner, places, strict=True):
        parts.append(type(quarter)(*(Affine.move(x, y)(point) for point in quarter)))
    sides = [Straight(a.end, b.start) for a, b in zip(parts, parts[1:] + parts[:1], strict=True)]
    return Path(tuple(s for pair in zip(parts, sides, strict=True) for s in pair), closed=True)


def test_a_square_grown_all_round_obeys_steiner() -> None:
    """100 mm square, 15 mm: 16706.858 mm2 and 494.248 mm; arcs of cubics run 0.03 % over."""
    ring = grown_square(100, 15)
    assert ring.area == pytest.approx(100**2 + 400 * 15 + math.pi * 15**2, abs=0.25)
    assert ring.length == pytest.approx(400 + 2 * math.pi * 15, abs=0.02)
    assert ring.bounds == pytest.approx((-15, -15, 115, 115))


@given(cubics)
def test_bounds_agree_with_another_library(cubic: Cubic) -> None:
    left, bottom, right, top = outside_cubic(cubic).bbox()
    # That library samples turning points only to about six digits.
    assert Path((cubic,)).bounds == pytest.approx((left, bottom, right, top), abs=1e-3)


@pytest.mark.parametrize(
    "cubic",
    [
        Cubic(Point(0, 0), Point(10, 80), Point(90, -40), Point(100, 30)),
        Cubic(Point(171, 8), Point(76, 171), Point(83, 104), Point(113, 26)),
        Cubic(Point(0, 0), Point(0, 0), Point(50, 90), Point(120, 90)),
    ],
)
def test_length_agrees_with_chords_made_by_another_library(cubic: Cubic) -> None:
    """The chords of n even steps fall short by c / n^2, so two counts give the limit."""
    curve = outside_cubic(cubic)

    def chords(n: int) -> float:
        places = [curve.point(i / n) for i in range(n + 1)]
        return sum(math.hypot(b.x - a.x, b.y - a.y) for a, b in pairwise(places))

    limit = (4 * chords(4000) - chords(2000)) / 3
    assert cubic.length == pytest.approx(limit, abs=1e-6)


@given(segments, fractions)
def test_a_split_keeps_place_and_length(segment: Segment, t: float) -> None:
    before, after = segment.split(t)
    assert before.start == segment.start
    assert before.end == after.start == pytest.approx(segment.at(t), abs=1e-9)
    assert after.end == pytest.approx(segment.end, abs=1e-9)
    assert before.length + after.length == pytest.approx(segment.length, rel=1e-6, abs=1e-6)


@given(segments, fractions, fractions)
def test_a_split_keeps_the_shape(segment: Segment, t: float, u: float) -> None:
    before, after = segment.split(t)
    assert before.at(u) == pytest.approx(segment.at(t * u), abs=1e-9)
    assert after.at(u) == pytest.approx(segment.at(t + (1 - t) * u), abs=1e-9)


@given(cubics, st.sampled_from([0.5, 0.1, 0.02]), fractions)
def test_chords_stay_within_the_tolerance(cubic: Cubic, tolerance: float, t: float) -> None:
    chords = Path((cubic,)).flattened(tolerance)
    line = LineString(chords) if len(set(chords)) > 1 else Dot(chords[0])
    assert line.distance(Dot(cubic.at(t))) <= tolerance + 1e-9


@given(segments, fractions)
def test_no_part_lies_outside_of_the_bounds(segment: Segment, t: float) -> None:
    box = Path((segment,)).bounds.grown(1e-9)
    x, y = segment.at(t)
    assert box.left <= x <= box.right
    assert box.bottom <= y <= box.top


@given(st.lists(segments, min_size=1, max_size=4))
def test_reversing_twice_gives_the_path_back(parts: list[Segment]) -> None:
    path = Path(tuple(parts))
    assert path.reversed().reversed() == path
    assert path.reversed().area == pytest.approx(-path.area, abs=1e-6)
    assert path.reversed().length == pytest.approx(path.length, rel=1e-6)


@given(st.floats(1, 300), st.floats(-180, 180), numbers, numbers)
def test_moving_and_turning_keep_length_and_area(
    radius: float, degrees: float, x: float, y: float
) -> None:
    ring = circle(Point(5, 7), radius)
    moved = ring.moved(Affine.turn(degrees).then(Affine.move(x, y)))
    assert moved.length == pytest.approx(ring.length)
    assert moved.area == pytest.approx(ring.area, rel=1e-6)
    assert ring.moved(Affine.scale(-1, 1)).area == pytest.approx(-ring.area)


def test_area_agrees_with_a_polygon_of_another_library() -> None:
    ring = grown_square(80, 30)
    assert Polygon(ring.flattened(0.0005)).area == pytest.approx(ring.area, rel=1e-5)


@given(st.floats(0, 1))
def test_a_point_a_way_along_a_circle(share: float) -> None:
    ring = circle(Point(0, 0), 100)
    point, (dx, dy) = ring.point_at(share * ring.length)
    angle = math.degrees(math.atan2(point.y, point.x)) % 360
    assert min(abs(angle - 360 * share), 360 - abs(angle - 360 * share)) < 0.05
    assert abs(dx * point.x + dy * point.y) < 0.15


@pytest.mark.parametrize("turn", [-170, -90, -30, 0, 31, 90, 179])
def test_the_turn_between_two_segments(turn: int) -> None:
    before = Straight(Point(-50, 0), Point(0, 0))
    end = Affine.turn(turn)(Point(40, 0))
    assert turn_between(before, Straight(Point(0, 0), end)) == pytest.approx(turn)


def test_a_handle_without_length_does_not_hide_the_direction() -> None:
    """A cubic whose handle lies on its start sets out towards its other handle."""
    curve = Cubic(Point(0, 0), Point(0, 0), Point(30, 30), Point(90, 30))
    dx, dy = direction(curve, 0.0)
    assert math.degrees(math.atan2(dy, dx)) == pytest.approx(45, abs=0.05)
    before = Straight(Point(-50, 0), Point(0, 0))
    assert turn_between(before, curve) == pytest.approx(45, abs=0.05)


def test_boxes_meet_only_when_they_share_more_than_an_edge() -> None:
    box = Bounds(0, 0, 10, 10)
    assert box.meets(Bounds(9, 9, 20, 20))
    assert not box.meets(Bounds(10, 0, 20, 10))
    assert box.joined(Bounds(-5, 2, 3, 30)) == (-5, 0, 10, 30)
    assert rectangle(box).bounds == box
    assert box.centre == (5, 5)
    assert box.moved(Affine.turn(90)) == (-10, 0, 0, 10)


def test_a_polyline_closes_itself_once() -> None:
    corners = [Point(0, 0), Point(4, 0), Point(0, 3)]
    assert len(polyline(corners, closed=True).segments) == 3
    assert len(polyline([*corners, corners[0]], closed=True).segments) == 3
    assert len(polyline(corners).segments) == 2
