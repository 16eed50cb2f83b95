"""A stretch of line is fitted to the line that was meant, not to the shaking of it."""

import math
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.intake.photo.ink.inked import Array, arc, bezier, ellipse, shaken, spaced, straight
from tiler.intake.photo.curves.stretches import fit_stretch
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic, Segment, Straight, turn_between

ARMHOLE = np.vstack(
    (
        bezier((0, 0), (60, 0), (75, 40), (80, 90)),
        bezier((80, 90), (85, 140), (60, 160), (95, 230))[1:],
    )
)
#: A skirt's side: straight up to the hip, then a quarter turn of radius 70 without a corner.
GOES_OVER = np.vstack((straight((-200, 0), (0, 0)), arc(70, -90, 10, (0, 70))[1:]))
OPEN: dict[str, tuple[Array, int]] = {
    "arc of 30": (arc(30, 10, 100), 1),
    "half circle of 30": (arc(30, 0, 200), 2),
    "arc of 60": (arc(60, 10, 100), 1),
    "arc of 120": (arc(120, 10, 100), 1),
    "arc of 400": (arc(400, 10, 60), 1),
    "side seam with a bow of 3 mm": (bezier((0, 0), (4, 150), (4, 300), (0, 450)), 1),
    "side seam with a bow of 0.6 mm": (bezier((0, 0), (0.8, 150), (0.8, 300), (0, 450)), 1),
    "neckline": (bezier((0, 0), (0, -60), (30, -80), (80, -80)), 1),
    "sleeve head": (bezier((0, 0), (120, 10), (60, 150), (180, 150)), 1),
    "armhole of two cubics": (ARMHOLE, 2),
    "straight that goes over into an arc": (GOES_OVER, 3),
}


def off(true: Array, segments: tuple[Segment, ...], *, closed: bool = False) -> tuple[float, float]:
    """Root mean square and worst distance between a fit and the truth, looked at from both."""
    drawn = np.array(Path(segments, closed).flattened(0.002))
    from_true = shapely.distance(shapely.points(spaced(true)), shapely.LineString(drawn))
    from_drawn = shapely.distance(shapely.points(drawn), shapely.LineString(true))
    rms = math.sqrt(float(np.mean(from_true**2)))
    return rms, float(max(from_true.max(), from_drawn.max()))


@pytest.mark.parametrize("noise", [0.05, 0.1, 0.15])
@pytest.mark.parametrize("name", OPEN)
def test_the_fit_is_nearer_to_the_true_line_than_the_points_are(name: str, noise: float) -> None:
    true, most = OPEN[name]
    found = fit_stretch(shaken(spaced(true), noise, 7))
    rms, worst = off(true, found.segments)
    assert rms < 0.01 + 0.5 * noise
    assert worst < 1.5 * noise + 0.03
    assert len(found.segments) <= most


@pytest.mark.parametrize("name", OPEN)
def test_without_noise_the_fit_is_a_tenth_of_a_millimetre_off_at_most(name: str) -> None:
    true, most = OPEN[name]
    found = fit_stretch(spaced(true))
    assert off(true, found.segments)[1] < 0.1
    assert len(found.segments) <= most
    assert all(isinstance(segment, Cubic) for segment in found.segments)


@pytest.mark.parametrize("noise", [0.05, 0.1, 0.15])
@pytest.mark.parametrize(
    ("true", "most"),
    [(ellipse(150, 90), 5), (ellipse(60, 60), 4), (ellipse(400, 250), 6)],
    ids=["ellipse", "circle", "large ellipse"],
)
def test_a_smooth_ring_is_closed_smoothly(true: Array, most: int, noise: float) -> None:
    points = shaken(spaced(true)[:-1], noise, 11, closed=True)
    segments = fit_stretch(points, closed=True).segments
    rms, worst = off(true, segments, closed=True)
    assert rms < 0.05 + 0.2 * noise
    assert worst < 1.5 * noise + 0.05
    assert len(segments) <= most
    assert segments[-1].end == segments[0].start
    for before, after in zip(segments, segments[1:] + segments[:1], strict=True):
        assert abs(turn_between(before, after)) < 1e-4


@pytest.mark.parametrize("noise", [0.0, 0.05, 0.12])
@pytest.mark.parametrize("end", [(30, 5), (300, 420), (0, -900)])
def test_a_straight_edge_is_one_straight_line(noise: float, end: tuple[float, float]) -> None:
    points = shaken(spaced(straight((0, 0), end)), noise, 3)
    (only,) = fit_stretch(points).segments
    assert isinstance(only, Straight)
    assert (only.start, only.end) == ((0, 0), end)


@pytest.mark.parametrize("bow", [0.5, 1.0, 3.0])
@pytest.mark.parametrize("noise", [0.05, 0.15])
def test_a_slightly_curved_seam_stays_curved(bow: float, noise: float) -> None:
    # A parabola by its control points: the middle of the chord is `bow` off.
    true = bezier((0, 0), (4 / 3 * bow, 150), (4 / 3 * bow, 300), (0, 450))
    found = fit_stretch(shaken(spaced(true), noise, 5))
    assert all(isinstance(segment, Cubic) for segment in found.segments)
    assert off(true, found.segments)[0] < 0.5 * noise


def test_an_edge_on_the_fold_is_straight_although_the_hand_was_not() -> None:
    true = bezier((0, 0), (0.8, 150), (0.8, 300), (0, 450))
    (only,) = fit_stretch(shaken(spaced(true), 0.1, 5), on_fold=True).segments
    assert isinstance(only, Straight)


def test_a_slow_wobble_of_the_hand_is_followed_no_further_than_it_must() -> None:
    true = arc(120, 0, 90)
    found = fit_stretch(shaken(spaced(true), 0.08, 2, wobble=0.2))
    assert len(found.segments) <= 3
    assert off(true, found.segments)[1] < 0.45


@pytest.mark.parametrize("count", [2, 3, 4, 6])
def test_a_few_points_are_enough(count: int) -> None:
    points = spaced(arc(20, 0, 40))[:count]
    segments = fit_stretch(points).segments
    assert segments[0].start == tuple(points[0])
    assert segments[-1].end == tuple(points[-1])


def test_points_that_stand_still_do_no_harm() -> None:
    points = spaced(arc(60, 0, 90))
    found = fit_stretch(np.vstack((points[:1], points[:30], points[29:], points[-1:])))
    assert off(arc(60, 0, 90), found.segments)[1] < 0.1


ahead, aside = st.floats(0.12, 0.45), st.floats(-0.5, 0.5)


@settings(max_examples=40)
@given(
    st.tuples(ahead, aside, ahead, aside),
    st.floats(80, 400),
    st.sampled_from([0.03, 0.1]),
    st.integers(0, 999),
)
def test_any_gentle_cubic_is_found_again(
    handles: tuple[float, float, float, float], length: float, noise: float, seed: int
) -> None:
    shares = np.array(handles) * length
    first, last = (shares[0], shares[1]), (length - shares[2], shares[3])
    true = bezier((0, 0), first, last, (length, 0))
    # Lines of garments bend no more sharply than this, but at corners.
    way = np.gradient(spaced(true), axis=0)
    turn = np.abs(np.diff(np.unwrap(np.arctan2(way[:, 1], way[:, 0]))))
    assume(turn[1:-1].max() < 1 / 15)
    segments = fit_stretch(shaken(spaced(true), noise, seed)).segments
    rms, worst = off(true, segments)
    assert rms < 0.03 + 0.6 * noise
    assert worst < 0.1 + 2 * noise
    for before, after in pairwise(segments):
        assert abs(turn_between(before, after)) < 1e-4
    drawn = shapely.LineString(Path(segments).flattened(0.05))
    assert drawn.is_simple == shapely.LineString(true).is_simple
