"""A smooth line goes through the points that were measured, and nowhere that surprises."""

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from tiler.intake.points.curve import smooth_through
from tiler.pattern.affine import Affine, Point
from tiler.pattern.path import Path
from tiler.pattern.segment import Straight, moved, turn_between

places = st.builds(Point, st.floats(-500, 500), st.floats(-500, 500))


@st.composite
def measured(draw: st.DrawFn, least: int = 3) -> list[Point]:
    """Points as somebody may write them, none upon the one before it or the one after next."""
    points = draw(st.lists(places, min_size=least, max_size=9))
    count = len(points)
    assume(all(points[i].to(points[i - k]) > 1 for i in range(count) for k in (1, 2)))
    return points


@given(measured(), st.booleans())
def test_the_line_goes_exactly_through_all_points(points: list[Point], closed: bool) -> None:
    segments = smooth_through(points, closed=closed)
    assert [segment.start for segment in segments] == points[: len(segments)]
    assert segments[-1].end == (points[0] if closed else points[-1])
    assert all(before.end == after.start for before, after in pairwise(segments))


@given(measured(), st.booleans())
def test_it_has_one_direction_at_every_point(points: list[Point], closed: bool) -> None:
    segments = smooth_through(points, closed=closed)
    joints = list(pairwise(segments))
    if closed:
        joints.append((segments[-1], segments[0]))
    assert all(abs(turn_between(before, after)) < 0.01 for before, after in joints)


@given(measured(), st.floats(0, 360), st.booleans(), st.booleans())
def test_turned_or_mirrored_points_give_the_turned_or_mirrored_line(
    points: list[Point], angle: float, mirror: bool, closed: bool
) -> None:
    by = Affine.scale(-1 if mirror else 1, 1).then(Affine.turn(angle)).then(Affine.move(40, -7))
    first = [moved(segment, by) for segment in smooth_through(points, closed=closed)]
    second = smooth_through([by(point) for point in points], closed=closed)
    for one, other in zip(first, second, strict=True):
        assume(type(one) is type(other))
        assert all(a.to(b) < 1e-3 for a, b in zip(one, other, strict=True))


@given(measured())
def test_it_does_not_matter_from_which_end_was_measured(points: list[Point]) -> None:
    there = Path(smooth_through(points))
    back = Path(smooth_through(points[::-1])).reversed()
    for one, other in zip(there.segments, back.segments, strict=True):
        assume(type(one) is type(other))
        assert all(a.to(b) < 1e-3 for a, b in zip(one, other, strict=True))


@pytest.mark.parametrize("radius", [30, 100, 400])
@pytest.mark.parametrize("degrees", [[0, 45, 90], [0, 10, 60, 75, 130], [5, 95, 100, 180]])
def test_points_of_a_circle_give_the_circle(radius: float, degrees: list[float]) -> None:
    # A cubic over a quarter circle is off by 0.0273 % of the radius at most (Goldapp, 1991).
    points = [
        Point(radius * math.cos(math.radians(d)), radius * math.sin(math.radians(d)))
        for d in degrees
    ]
    segments = smooth_through(points)
    drawn = np.array([segment.at(t) for segment in segments for t in np.linspace(0, 1, 200)])
    off = np.abs(np.hypot(drawn[:, 0], drawn[:, 1]) - radius)
    assert off.max() < 0.0003 * radius


@pytest.mark.parametrize("way", [(10, 0), (3, 4), (-7, 0.3)])
def test_points_on_a_straight_line_give_straight_lines(way: tuple[float, float]) -> None:
    steps = (0.0, 1.0, 1.5, 9.0, 20.0)
    segments = smooth_through([Point(5 + way[0] * s, 7 + way[1] * s) for s in steps])
    line = shapely.LineString([segments[0].start, segments[-1].end])
    drawn = shapely.points([segment.at(t) for segment in segments for t in (0.2, 0.5, 0.9)])
    assert shapely.distance(drawn, line).max() < 1e-9


def test_two_points_give_exactly_one_straight_line() -> None:
    assert smooth_through([Point(0, 0), Point(3, 4)]) == (Straight(Point(0, 0), Point(3, 4)),)


def test_short_steps_beside_long_ones_do_not_make_the_long_ones_bulge() -> None:
    # Round the lower corner of a pocket: two long sides and a quick turn between them.
    points = [Point(*p) for p in ((0, 0), (100, 0), (104, 1), (106, 5), (106, 105))]
    drawn = shapely.LineString(Path(smooth_through(points)).flattened(0.01))
    polygon = shapely.LineString(points)
    assert drawn.hausdorff_distance(polygon) < 12
    assert drawn.is_simple


def test_an_armhole_is_met_and_better_with_more_points() -> None:
    # Cubic by Bernstein's polynomials, 150 mm long, measured at uneven steps.
    control = np.array([(0, 0), (60, 0), (75, 40), (80, 120)], dtype=float)

    def at(t: np.ndarray) -> np.ndarray:
        u, t = 1 - t[:, None], t[:, None]
        rows = (u**3, 3 * u * u * t, 3 * u * t * t, t**3)
        return np.asarray(sum(r * c for r, c in zip(rows, control, strict=True)))

    def off(steps: np.ndarray) -> float:
        points = [Point(float(x), float(y)) for x, y in at(steps)]
        drawn = shapely.LineString(Path(smooth_through(points)).flattened(0.005))
        return float(shapely.distance(shapely.points(at(np.linspace(0, 1, 500))), drawn).max())

    six = np.array([0, 0.15, 0.3, 0.5, 0.7, 1])
    eleven = np.sort(np.concatenate((six, (six[1:] + six[:-1]) / 2)))
    assert off(six) < 1.5
    # Directions from three points: the error falls with the third power of the steps.
    assert off(eleven) < off(six) / 4


def test_a_drop_has_its_one_corner() -> None:
    points = [
        Point(*p) for p in ((0, 0), (12, 40), (22, 60), (0, 80), (-22, 60), (-12, 40), (0, 0))
    ]
    segments = smooth_through(points)
    assert len(segments) == 6
    assert segments[0].start == segments[-1].end == (0, 0)
    assert abs(turn_between(segments[-1], segments[0])) > 45
