"""The cap lies on the seam when the dart is folded.

Outside values: the worked dart (30 wide, 100 long, level seam: the cap's peak is 15 tan(17.0615) =
4.6036 above the chord and 15.6905 from each leg end), solved by hand; distances of points from
curves by scipy's root finder.
"""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.strategies import DataObject
from scipy.optimize import brentq

from tests.drafting.darts.shapes import LEFT, RIGHT, WORKED, anywhere, darts, moved, seams
from tiler.drafting.darts.cap import Pressed, dart_cap, half_cap
from tiler.drafting.darts.dart import Dart
from tiler.drafting.unfold.mirror import Axis
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import PatternError
from tiler.pattern.path import Path, polyline
from tiler.pattern.segment import Cubic, Segment, direction

both_ways = pytest.mark.parametrize("pressed", list(Pressed))


def distance_from(path: Path, place: Point) -> float:
    """The least distance of a point from a path that goes on straight at both ends.

    By scipy: where the way there is square to the path, bracketed in 64 steps and solved.
    """
    least = math.inf
    for segment in path.segments:

        def along(t: float, s: Segment = segment) -> float:
            (x, y), (u, v) = s.at(t), s.speed(t)
            return (x - place.x) * u + (y - place.y) * v

        steps = [n / 64 for n in range(65)]
        turns = [(a, b) for a, b in pairwise(steps) if along(a) * along(b) <= 0]
        feet = [float(brentq(along, a, b, xtol=1e-15)) for a, b in turns]
        least = min([least, *(segment.at(t).to(place) for t in (0.0, 1.0, *feet))])
    for segment, t, way in ((path.segments[0], 0.0, -1), (path.segments[-1], 1.0, 1)):
        x, y = direction(segment, t)
        end = segment.at(t)
        along = way * (x * (place.x - end.x) + y * (place.y - end.y))
        if along >= 0:
            least = min(least, abs(x * (place.y - end.y) - y * (place.x - end.x)))
    return least


@both_ways
def test_the_worked_dart(pressed: Pressed) -> None:
    cap = dart_cap(LEFT, RIGHT, WORKED, pressed)
    assert (cap.start, cap.end) == (WORKED.left, WORKED.right)
    left, peak, right = cap.nodes()
    assert peak.x == pytest.approx(0, abs=1e-9)
    assert peak.y - 100 == pytest.approx(4.604, abs=0.001)
    assert peak.y == pytest.approx(104.6036, abs=1e-4)
    assert left.to(peak) == pytest.approx(15.6905, abs=1e-4)
    assert peak.to(right) == pytest.approx(15.6905, abs=1e-4)


def test_the_worked_seam_breaks_by_the_angle_of_the_dart() -> None:
    """Interior angles of 98.5308 at both legs: 197.0615 together, 17.0615 over a straight line."""
    inside = math.degrees(math.atan2(100, 15))
    angles = 2 * (180 - inside)
    assert angles == pytest.approx(197.0615, abs=1e-4)
    assert angles - 180 == pytest.approx(WORKED.angle, abs=1e-9)


@both_ways
@given(darts(), anywhere(), st.booleans())
def test_the_peak_over_a_level_seam_by_trigonometry(
    pressed: Pressed, dart: Dart, by: Affine, flipped: bool
) -> None:
    """It stands (intake / 2) tan(angle) above the chord, whichever way up the dart lies."""
    if flipped:
        by = Affine.scale(-1, 1).then(by)
    level = dart.left.y
    left = polyline([Point(-400, level), dart.left]).moved(by)
    right = polyline([dart.right, Point(400, level)]).moved(by)
    if flipped:
        left, right = right.reversed(), left.reversed()
    cap = dart_cap(left, right, moved(dart, by), pressed)
    peak = level + dart.intake / 2 * math.tan(math.radians(dart.angle))
    assert list(cap.nodes())[1].to(by(Point(0, peak))) < 1e-7


@both_ways
@given(st.data(), anywhere())
def test_folded_the_cap_lies_on_the_seam(pressed: Pressed, data: DataObject, by: Affine) -> None:
    drawn = data.draw(darts())
    left, right = (path.moved(by) for path in data.draw(seams(drawn)))
    dart = moved(drawn, by)
    cap = dart_cap(left, right, dart, pressed)
    leg, seam = (dart.left, left) if pressed is Pressed.LEFT else (dart.right, right)
    half = cap if pressed is Pressed.LEFT else cap.reversed()
    lean = Axis(dart.tip, leg).mirror
    for segment in half.segments:
        for t in (0.0, 0.3, 0.7, 1.0):
            place = segment.at(t)
            on_this_side = place.to(leg) <= dart.middle.mirror(place).to(leg) + 1e-9
            # The other half lies on the middle's mirror image when folded.
            folded = lean(place if on_this_side else dart.middle.mirror(place))
            assert distance_from(seam, folded) < 1e-6


@given(st.data())
def test_both_layers_of_the_folded_dart_lie_on_one_another(data: DataObject) -> None:
    dart = data.draw(darts())
    left, right = data.draw(seams(dart))
    cap = dart_cap(left, right, dart, Pressed.LEFT)
    count = len(cap.segments)
    first = Path(cap.segments[: count // 2])
    second = Path(cap.segments[count // 2 :]).moved(dart.closing).reversed()
    lean = Axis(dart.tip, dart.left).mirror
    for a, b in zip(first.nodes(), second.nodes(), strict=True):
        assert lean(a).to(b) < 1e-7


@given(st.data())
def test_pressed_the_other_way_is_the_mirror_image(data: DataObject) -> None:
    dart = data.draw(darts())
    left, right = data.draw(seams(dart))
    flip = Affine.scale(-1, 1)
    other = dart_cap(
        right.moved(flip).reversed(), left.moved(flip).reversed(), moved(dart, flip), Pressed.LEFT
    )
    cap = dart_cap(left, right, dart, Pressed.RIGHT).moved(flip).reversed()
    for a, b in zip(cap.nodes(), other.nodes(), strict=True):
        assert a.to(b) < 1e-7


def test_a_dart_that_points_up_has_its_cap_below() -> None:
    by = Affine.turn(180)
    cap = dart_cap(LEFT.moved(by), RIGHT.moved(by), moved(WORKED, by), Pressed.LEFT)
    assert list(cap.nodes())[1].y == pytest.approx(-104.6036, abs=1e-4)


def test_a_short_seam_goes_on_straight() -> None:
    short = polyline([Point(-18, 100), WORKED.left])
    _, end, peak, *_ = dart_cap(short, RIGHT, WORKED, Pressed.LEFT).nodes()
    assert end.to(WORKED.left) == pytest.approx(3)
    assert peak.y == pytest.approx(104.6036, abs=1e-4)


def test_a_seam_that_is_square_to_both_legs_runs_smoothly_over_the_cap() -> None:
    """Square to the legs: the seam of a dart that was opened about its tip has no corner there."""
    sine, cosine = 15 / WORKED.legs[0], 100 / WORKED.legs[0]
    start = Point(WORKED.left.x - 80 * cosine, WORKED.left.y - 80 * sine)
    left = polyline([start, WORKED.left])
    cap = dart_cap(left, RIGHT, WORKED, Pressed.LEFT)
    x, y = direction(cap.segments[0], 0)
    assert (x, y) == pytest.approx((cosine, sine))


class TestHalf:
    """On the fold of a half piece the cap ends on the fold."""

    fold = Axis(Point(0, -50), Point(0, 300))

    def test_the_worked_dart(self) -> None:
        half = half_cap(RIGHT, Point(0, 0), self.fold)
        assert half.start == (15, 100)
        assert half.end == pytest.approx((0, 104.6036), abs=1e-4)

    def test_it_is_half_of_the_whole(self) -> None:
        curve = Cubic(Point(15, 100), Point(40, 103), Point(80, 110), Point(120, 130))
        right = Path((curve,))
        left = right.moved(Affine.scale(-1, 1)).reversed()
        whole = dart_cap(left, right, WORKED, Pressed.RIGHT)
        half = half_cap(right, Point(0, 0), self.fold)
        back = whole.reversed().segments[: len(half.segments)]
        for a, b in zip(half.segments, back, strict=True):
            assert all(p.to(q) < 1e-9 for p, q in zip(a, b, strict=True))


class TestRefused:
    """Darts and seams that cannot be folded."""

    def test_unequal_legs(self) -> None:
        uneven = Dart(Point(-15, 100), Point(0, 0), Point(15, 103))
        with pytest.raises(PatternError, match=r"101\.12 mm and 104\.09 mm\. True the legs"):
            dart_cap(LEFT, RIGHT, uneven, Pressed.LEFT)

    def test_a_seam_whose_coordinates_are_no_numbers(self) -> None:
        broken = polyline([Point(-200, math.nan), WORKED.left])
        with pytest.raises(PatternError, match="left of the dart: a coordinate is not a number"):
            dart_cap(broken, RIGHT, WORKED, Pressed.LEFT)

    def test_a_seam_beside_its_leg(self) -> None:
        away = polyline([Point(-200, 100), Point(-17, 100)])
        with pytest.raises(PatternError, match="begins 2 mm away from the dart's leg"):
            dart_cap(away, RIGHT, WORKED, Pressed.LEFT)

    def test_a_seam_that_runs_along_the_dart(self) -> None:
        along = polyline([Point(-45, 300), WORKED.left])
        with pytest.raises(PatternError, match="does not cross the folded dart"):
            dart_cap(along, RIGHT, WORKED, Pressed.LEFT)
