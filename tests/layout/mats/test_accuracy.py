"""What a mat promises is what many measurements of it give."""

from __future__ import annotations

import numpy as np
import pytest

from tests.layout.mats.simulated import GRID, Projector, measured
from tiler.layout.mats.accuracy import accuracy_of
from tiler.layout.mats.homography import Homography
from tiler.layout.mats.mat import Mat
from tiler.layout.mats.measured import measured as lay
from tiler.layout.mats.quadrilateral import nearest_quadrilateral
from tiler.layout.mats.usable import usable_rectangle

MAT = Mat("floor", 1920, 1080, 1200, 700)


def test_a_square_picture_has_pixels_of_its_width_over_their_number() -> None:
    """1200 mm / 1920 = 0.625 mm; a line of two pixels 1.25 mm; arithmetic."""
    mat, _ = lay(MAT, measured(Projector(1.25, distance=1500).onto(GRID)))
    accuracy = accuracy_of(mat)
    assert accuracy.pixel_sizes == pytest.approx([0.625] * 4, abs=1e-6)
    assert accuracy.smallest_line == pytest.approx(1.25, abs=1e-6)
    assert 0.3125 < accuracy.error < 2


def test_the_promised_error_is_that_of_many_measurements() -> None:
    """Noise of 1 mm, 150 times: the corner that is worst, laid on the true one as well as can be.

    The promise holds half a pixel more.
    """
    rng = np.random.default_rng(31)
    points = Projector(1.4, about_x=10, about_y=-7, distance=1700).onto(GRID)
    true = measured(points)
    mat, _ = lay(MAT, true)
    frame = np.array(usable_rectangle(mat).corners())
    places = mat.to_pixels()(frame)
    off = []
    for _ in range(150):
        drawn = nearest_quadrilateral({k: v + rng.normal() for k, v in true.items()})
        assert mat.corners is not None
        # Shift and turn are of no matter: cloth is laid where the picture is.
        a, b = drawn.corners, np.array(mat.corners)
        u, _, vt = np.linalg.svd((a - a.mean(axis=0)).T @ (b - b.mean(axis=0)))
        back = (Homography.through(GRID, a)(places) - a.mean(axis=0)) @ (u @ vt) + b.mean(axis=0)
        off.append(((back - frame) ** 2).sum(axis=1))
    worst = float(np.sqrt(np.mean(off, axis=0)).max())
    accuracy = accuracy_of(mat)
    half_pixel = accuracy.smallest_line / 4
    assert accuracy.error - half_pixel == pytest.approx(worst, rel=0.2)
