"""The usable rectangle is the largest one that the picture covers."""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import minimize
from shapely import Polygon, box

from tests.layout.mats.simulated import GRID, measured, projectors
from tiler.layout.mats.grid import picture_corners_px
from tiler.layout.mats.mat import Mat
from tiler.layout.mats.quadrilateral import nearest_quadrilateral
from tiler.layout.mats.usable import laid, largest_upright, usable_rectangle
from tiler.pattern.affine import Point
from tiler.pattern.errors import ProjectionError

Array = npt.NDArray[np.float64]
wander = st.tuples(*[st.floats(-0.25, 0.25)] * 8)


def _by_scipy(corners: Array, most_width: float, most_height: float) -> float:
    """The largest area: a concave function (its logarithm) under linear conditions, by SLSQP."""
    edges = list(pairwise([*corners, corners[0]]))

    def room(x: Array) -> Array:
        left, bottom, wide, tall = x
        free = [most_width - wide, most_height - tall]
        for a, b in edges:
            for p in ((0, 0), (1, 0), (1, 1), (0, 1)):
                place = np.array([left + p[0] * wide, bottom + p[1] * tall])
                along, off = (b - a) / np.hypot(*(b - a)), place - a
                free.append(along[0] * off[1] - along[1] * off[0])
        return np.array(free)

    middle = corners.mean(axis=0)
    found = minimize(
        lambda x: -math.log(max(x[2], 1e-9)) - math.log(max(x[3], 1e-9)),
        [*(middle - 1), 2.0, 2.0],
        constraints={"type": "ineq", "fun": room},
        method="SLSQP",
        options={"maxiter": 500, "ftol": 1e-12},
    )
    return float(found.x[2] * found.x[3]) if found.success else 0.0


@given(off=wander)
@settings(max_examples=12, deadline=None)
def test_no_larger_one_is_found_by_scipy(off: tuple[float, ...]) -> None:
    corners = (np.array([(0, 0), (1, 0), (1, 1), (0, 1)]) + np.reshape(off, (4, 2))) * (1200, 700)
    found = largest_upright(corners, 2000, 2000)
    assert Polygon(corners).buffer(1e-3).covers(box(*found))
    assert found.width * found.height >= _by_scipy(corners, 2000, 2000) * (1 - 1e-4)


def test_in_a_trapezoid_it_is_the_one_that_differentiation_gives() -> None:
    """Lower side 12, upper 4, height 10: at height h the width is 12 - 0.8 h, so h = 7.5."""
    corners = np.array([(0, 0), (1200, 0), (800, 1000), (400, 1000)], dtype=float)
    found = largest_upright(corners, 5000, 5000)
    assert found == pytest.approx((300, 0, 900, 750), abs=0.5)


def test_it_is_not_larger_than_the_mat_and_lies_in_the_middle_of_the_picture() -> None:
    corners = np.array([(0, 0), (1400, 0), (1400, 900), (0, 900)], dtype=float)
    assert largest_upright(corners, 1200, 700) == pytest.approx((100, 100, 1300, 800), abs=1e-3)
    assert largest_upright(corners, 2000, 700) == pytest.approx((0, 100, 1400, 800), abs=1e-3)


def test_the_frame_begins_at_its_corner_and_keeps_every_distance() -> None:
    for projector in projectors(21, 12, offset=0.5):
        points = projector.onto(GRID)
        found = nearest_quadrilateral(measured(points)).corners
        mat = laid(Mat("floor", 1920, 1080, 1200, 700), [Point(*map(float, p)) for p in found])
        frame = usable_rectangle(mat)
        assert (frame.left, frame.bottom) == pytest.approx((0, 0), abs=1e-5)
        assert 300 < frame.width <= 1200
        assert 200 < frame.height <= 700
        assert mat.corners is not None
        kept = measured(np.array(mat.corners))
        assert kept == pytest.approx(measured(points), abs=1e-3)
        picture = mat.to_mat()(picture_corners_px(1920, 1080))
        assert Polygon(picture).buffer(1e-3).covers(box(*frame))


def test_a_mat_that_was_not_measured_says_what_to_do() -> None:
    with pytest.raises(ProjectionError, match="not measured yet") as refused:
        usable_rectangle(Mat("floor", 1920, 1080, 1200, 700))
    assert "blocksheet mat grid" in refused.value.remedy
