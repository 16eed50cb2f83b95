"""Measured lengths give the quadrilateral that they were measured on."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import least_squares
from scipy.stats import chi2

from tests.layout.mats.simulated import GRID, MIDDLES, Projector, measured, projectors
from tiler.layout.mats.lengths import NAMES, lengths_between
from tiler.layout.mats.quadrilateral import covariance, most_misfit, nearest_quadrilateral
from tiler.pattern.errors import ProjectionError


def test_diagonals_alone_cannot_see_a_tilt_about_one_axis() -> None:
    """A picture 1200 x 675 mm from 1500 mm above the mat, tilted by 2 degrees: 1191.4 and 1210.2
    at its ends, and both diagonals 1377.9 (plane trigonometry, worked by hand)."""
    tilted = Projector(about_x=2.0, distance=1500 / math.cos(math.radians(2)))
    corners = tilted.onto(np.array([(0, 1080), (1920, 1080), (1920, 0), (0, 0)], dtype=float))
    lengths = measured(corners)
    assert sorted((lengths["lower"], lengths["upper"])) == pytest.approx([1191.4, 1210.2], abs=0.05)
    assert lengths["rising"] == pytest.approx(1377.9, abs=0.05)
    assert lengths["falling"] == pytest.approx(lengths["rising"])
    found = nearest_quadrilateral(lengths)
    assert lengths_between(found.corners, ("lower", "upper")) == pytest.approx(
        [lengths["lower"], lengths["upper"]]
    )


@pytest.mark.parametrize("with_middles", [False, True])
def test_sound_lengths_are_fitted_without_a_rest(with_middles: bool) -> None:
    """For projectors tilted by up to 25 degrees: each corner where it was, but for shift and turn.

    The middle lines are seen by the simulated projector and not by our formula.
    """
    for projector in projectors(5, 60, offset=0.6):
        points = projector.onto(GRID)
        middles = projector.onto(MIDDLES) if with_middles else None
        found = nearest_quadrilateral(measured(points, middles))
        assert found.misfit < 1e-4
        assert found.freedom == (3 if with_middles else 1)
        assert found.corners[0] == pytest.approx((0, 0), abs=1e-9)
        assert found.corners[1][1] == pytest.approx(0, abs=1e-9)
        side = points[1] - points[0]
        turn = np.array([side, (-side[1], side[0])]) / np.hypot(*side)
        assert np.allclose(found.corners, (points - points[0]) @ turn.T, atol=1e-3)


def test_noisy_lengths_are_fitted_as_scipy_fits_them() -> None:
    rng = np.random.default_rng(1006)
    for projector in projectors(6, 15):
        points, middles = projector.onto(GRID), projector.onto(MIDDLES)
        lengths = {k: v + rng.normal(0, 2) for k, v in measured(points, middles).items()}
        wanted = np.array([lengths[name] for name in NAMES])
        theirs = least_squares(
            lambda x, w=wanted: lengths_between(x.reshape(4, 2), NAMES) - w,
            points.ravel(),
            xtol=1e-12,
            ftol=1e-12,
        )
        found = nearest_quadrilateral(lengths)
        assert found.misfit == pytest.approx(np.sqrt(2 * theirs.cost), rel=1e-5)


@pytest.mark.parametrize("freedom", [1, 2, 3])
def test_the_limit_is_exceeded_by_chance_once_in_two_thousand(freedom: int) -> None:
    """scipy.stats.chi2."""
    assert most_misfit(2.0, freedom) ** 2 / 4 == pytest.approx(chi2.isf(0.0005, freedom), rel=1e-4)


def test_the_misfit_of_noise_alone_is_spread_as_chi_squared() -> None:
    """One number too many: mean 1, and 95 % below 3.84."""
    rng = np.random.default_rng(1007)
    squares = []
    for projector in projectors(7, 200):
        lengths = {k: v + rng.normal() for k, v in measured(projector.onto(GRID)).items()}
        found = nearest_quadrilateral(lengths)
        squares.append(found.misfit**2)
    assert np.mean(squares) == pytest.approx(1.0, abs=0.25)
    assert np.mean(np.array(squares) < chi2.isf(0.05, 1)) == pytest.approx(0.95, abs=0.035)


def test_the_expected_error_is_that_of_many_draws() -> None:
    """Corners of 250 noisy fits, turned and shifted onto the true ones (Procrustes)."""
    rng = np.random.default_rng(1008)
    points = Projector(about_x=12, about_y=-9).onto(GRID)
    true = measured(points)
    centred = points - points.mean(axis=0)
    off = []
    for _ in range(250):
        found = nearest_quadrilateral({k: v + rng.normal() for k, v in true.items()}).corners
        found = found - found.mean(axis=0)
        u, _, vt = np.linalg.svd(found.T @ centred)
        off.append((found @ (u @ vt) - centred).ravel())
    drawn = np.array(off).var(axis=0)
    assert np.diag(covariance(points, 1.0)) == pytest.approx(drawn, rel=0.3, abs=0.05)


@pytest.mark.parametrize("wrong", [0.0, -5.0, float("nan"), float("inf")])
def test_what_is_no_length_is_refused_by_name(wrong: float) -> None:
    lengths = measured(Projector().onto(GRID))
    with pytest.raises(ProjectionError, match="the upper side cannot be"):
        nearest_quadrilateral({**lengths, "upper": wrong})
    del lengths["falling"]
    with pytest.raises(ProjectionError, match="the falling diagonal is missing"):
        nearest_quadrilateral(lengths)
