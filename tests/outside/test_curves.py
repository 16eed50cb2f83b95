"""Lengths and areas of curves against closed forms.

Sources: the circle by four cubics, largest radial error 0.0273 % (Goldapp 1991, value also found
by maximising the radius in closed form); arc length of y = x^2, sqrt(5)/2 + asinh(2)/4 (any
calculus handbook); Ramanujan's second formula for the ellipse; Green's theorem.
"""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.polynomial import Polynomial
from scipy.integrate import quad

from tests.strategies import lengths
from tiler.pattern.affine import Affine, Point
from tiler.pattern.path import Path, circle, polyline
from tiler.pattern.segment import Cubic, parameter_at


def test_a_circle_of_cubics_is_at_most_0_0273_percent_too_large() -> None:
    ring = circle(Point(3, -2), 100)
    radii = [
        segment.at(step / 500).to(Point(3, -2)) for segment in ring.segments for step in range(501)
    ]
    assert max(radii) == pytest.approx(100 * 1.000273, abs=1e-4)
    assert min(radii) >= 100 - 1e-9


def test_circumference_and_area_of_a_circle() -> None:
    ring = circle(Point(0, 0), 80)
    # The cubics run 0.0140 % long and enclose 0.0280 % too much.
    assert ring.length == pytest.approx(2 * math.pi * 80, rel=1.5e-4)
    assert ring.area == pytest.approx(math.pi * 80**2, rel=2.9e-4)


def test_length_of_a_parabola() -> None:
    parabola = Cubic(Point(0, 0), Point(1 / 3, 0), Point(2 / 3, 1 / 3), Point(1, 1))
    assert parabola.length == pytest.approx(math.sqrt(5) / 2 + math.asinh(2) / 4, abs=1e-10)


def test_length_of_a_cubic_that_is_known_exactly() -> None:
    """x' and y' of this arch give a speed of 300 (1 - 2 t + 2 t^2), whose integral is 200."""
    arch = Cubic(Point(0, 0), Point(0, 100), Point(100, 100), Point(100, 0))
    assert arch.length == pytest.approx(200, abs=1e-8)


@pytest.mark.parametrize(("a", "b"), [(2.0, 1.0), (5.0, 3.0), (160.0, 110.0)])
def test_circumference_of_an_ellipse(a: float, b: float) -> None:
    h = ((a - b) / (a + b)) ** 2
    ramanujan = math.pi * (a + b) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h)))
    ellipse = circle(Point(0, 0), 1).moved(Affine.scale(a, b))
    assert ellipse.length == pytest.approx(ramanujan, rel=3e-4)


def test_area_by_the_shoelace_formula() -> None:
    """(3,4) (5,11) (12,8) (9,5) (5,6) encloses 30: a worked example found in many handbooks."""
    corners = [Point(3, 4), Point(5, 11), Point(12, 8), Point(9, 5), Point(5, 6)]
    ring = polyline(corners, closed=True)
    assert abs(ring.area) == pytest.approx(30)
    mirrored = ring.moved(Affine.scale(-1, 1))
    assert mirrored.area == pytest.approx(-ring.area)


def test_area_under_a_parabola_is_a_third() -> None:
    parabola = Cubic(Point(0, 0), Point(1 / 3, 0), Point(2 / 3, 1 / 3), Point(1, 1))
    ring = Path((parabola, *polyline([Point(1, 1), Point(1, 0), Point(0, 0)]).segments), True)
    assert abs(ring.area) == pytest.approx(1 / 3, abs=1e-12)


_PLACES = st.builds(Point, lengths(-900, 900), lengths(-900, 900))
_CUBICS = st.builds(Cubic, _PLACES, _PLACES, _PLACES, _PLACES)


def _length(curve: Cubic, to: float) -> float:
    """By scipy's adaptive quadrature (QUADPACK), an independent library.

    In parts, split where the curve turns back in x: a rule may step over the kink of a cusp.
    """
    (x0, _), (x1, _), (x2, _), (x3, _) = curve
    slope = Polynomial([x1 - x0, 2 * (x2 - 2 * x1 + x0), x3 - 3 * x2 + 3 * x1 - x0])
    turns = [float(t.real) for t in slope.roots() if abs(t.imag) < 1e-9 and 0 < t.real < to]
    cuts = sorted({to * step / 32 for step in range(33)} | set(turns))
    return sum(
        quad(
            lambda t: math.hypot(*curve.speed(t)), low, high, epsabs=1e-6, epsrel=1e-10, limit=200
        )[0]
        for low, high in pairwise(cuts)
    )


@given(_CUBICS)
def test_lengths_agree_with_numerical_quadrature(curve: Cubic) -> None:
    assert curve.length == pytest.approx(_length(curve, 1), abs=1e-4)


@given(_CUBICS, lengths(0.01, 1))
def test_a_distance_along_a_curve_leads_to_its_place(curve: Cubic, share: float) -> None:
    at = parameter_at(curve, curve.length * share, curve.length)
    assert _length(curve, at) == pytest.approx(curve.length * share, abs=1e-4)
