"""Arcs and circles.

What must hold: the cubics lie within 0.01 mm of the true curve at the size on paper, whatever the
scale, and their ends are exact. Judged by closed forms.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tiler.intake.svg.arcs import arc_between, to_cubics, unit_error
from tiler.intake.svg.subpath import Arc
from tiler.pattern.affine import Affine, Point

#: What the reader promises, in millimetres.
BOUND = 0.01


def _radii(cubics, centre, count=200):
    return [c.at(i / count).to(centre) for c in cubics for i in range(count + 1)]


@pytest.mark.parametrize("radius", [0.5, 3, 30, 300, 3000, 30000])
def test_circles_keep_to_the_bound(read, radius):
    size = f'width="{2 * radius}mm" height="{2 * radius}mm" viewBox="-1 -1 2 2"'
    (drawn,) = read('<circle r="1"/>', size).paths
    centre = Point(radius, radius)
    off = max(abs(r - radius) for r in _radii(drawn.path.segments, centre))
    assert off <= BOUND
    assert drawn.path.closed
    # Area of a circle; a bound on the radius bounds the area to 2 pi r times it.
    assert abs(abs(drawn.path.area) - math.pi * radius**2) <= 2 * math.pi * radius * BOUND


def test_small_circles_need_no_more_than_four_cubics(read):
    assert len(read('<circle cx="30" cy="30" r="20"/>').paths[0].path.segments) == 4


@pytest.mark.parametrize("degrees", [5, 30, 45, 90, 120])
def test_error_of_one_cubic_is_the_known_one(degrees):
    """2/27 sin^6(a/4)/cos^2(a/4) (Goldapp 1991); measured here on the curve itself."""
    angle = math.radians(degrees)
    unit = Affine()
    start, end = Point(1.0, 0.0), Point(math.cos(angle), math.sin(angle))
    cubics = to_cubics(Arc(start, end, unit, 0.0, angle), unit, bound=1.0)
    if degrees <= 90:
        assert len(cubics) == 1
    measured = max(abs(r - 1) for r in _radii(cubics, Point(0, 0), 2000))
    assert measured == pytest.approx(unit_error(angle / len(cubics)), rel=1e-2, abs=1e-12)


def test_quarter_circle_error_is_the_published_one():
    """0.0273 % of the radius for a quarter circle (Goldapp 1991)."""
    assert unit_error(math.pi / 2) == pytest.approx(2.73e-4, rel=2e-3)


_NUMBER = st.floats(-500, 500).map(lambda v: round(v, 2))
_SIZE = st.floats(0.1, 800).map(lambda v: round(v, 2))


@given(
    _NUMBER,
    _NUMBER,
    _NUMBER,
    _NUMBER,
    _SIZE,
    _SIZE,
    st.integers(-400, 400),
    st.booleans(),
    st.booleans(),
    st.floats(0.1, 20),
)
def test_arcs_lie_on_their_ellipse(x0, y0, x1, y1, rx, ry, tilt, large, right, scale):
    """Its implicit equation holds; the ends are as drawn, the direction as asked."""
    start, end = Point(x0, y0), Point(x1, y1)
    arc = arc_between(start, (rx, ry), tilt, large, right, end)
    if start == end:
        assert arc is None
        return
    assert isinstance(arc, Arc)
    assert (arc.sweep > 0) is right
    assert (abs(arc.sweep) > math.pi + 1e-6) <= large
    # The half axes keep their proportion, and grow only when the ends are too far apart for them.
    grown = math.hypot(arc.frame.a, arc.frame.b) / rx
    assert math.hypot(arc.frame.c, arc.frame.d) / ry == pytest.approx(grown)
    assert grown >= 1 - 1e-9
    turned = math.atan2(arc.frame.b, arc.frame.a) - math.radians(tilt)
    assert math.sin(turned) == pytest.approx(0, abs=1e-9)
    to_mm = Affine(scale, 0, 0, -scale, 3, 900)
    cubics = to_cubics(arc, to_mm)
    assert cubics[0].start == to_mm(start)
    assert cubics[-1].end == to_mm(end)
    frame = arc.frame.then(to_mm)
    for cubic in cubics:
        for i in range(11):
            assert _distance_to_ellipse(frame, cubic.at(i / 10)) <= BOUND * 1.001 + 1e-6


def _distance_to_ellipse(frame: Affine, point: Point) -> float:
    """At most this far: the distance to the point of the ellipse at the same angle."""
    size = frame.determinant
    x, y = point.x - frame.e, point.y - frame.f
    u, v = (frame.d * x - frame.c * y) / size, (frame.a * y - frame.b * x) / size
    length = math.hypot(u, v)
    return point.to(frame(Point(u / length, v / length)))


def test_half_circle_by_hand(read):
    """M 10 40 A 30 30 0 0 1 70 40 goes over the top: centre (40, 40), highest at y = 10."""
    path = read('<path d="M 10 40 A 30 30 0 0 1 70 40"/>').paths[0].path
    assert path.bounds.top == pytest.approx(80 - 10, abs=BOUND)
    assert path.bounds.bottom == pytest.approx(40, abs=1e-9)
    assert path.length == pytest.approx(30 * math.pi, abs=0.02)


def test_radii_too_small_are_grown(read):
    """SVG 2, 9.5.1: the ellipse is grown until it just reaches, here to a half circle."""
    path = read('<path d="M 10 40 A 1 1 0 0 1 70 40"/>').paths[0].path
    assert path.length == pytest.approx(30 * math.pi, abs=0.02)


def test_stretched_circles_keep_to_the_bound(read):
    """The bound holds after the transform: a circle that the page stretches to 400 by 100 mm."""
    size = 'width="800mm" height="200mm" viewBox="-1 -1 2 2" preserveAspectRatio="none"'
    (drawn,) = read('<circle r="1"/>', size).paths
    frame = Affine(400, 0, 0, 100, 400, 100)
    for cubic in drawn.path.segments:
        for i in range(101):
            assert _distance_to_ellipse(frame, cubic.at(i / 100)) <= BOUND
