"""Lines that lie where a page just about shows them: none is lost between two pages."""

from __future__ import annotations

import numpy as np
import pytest

from tiler.layout.ink import Floats, moved
from tiler.layout.papers import find_paper
from tiler.layout.settle import RIM, settle
from tiler.layout.tiles import PageSetup
from tiler.pattern.affine import Affine

A4 = PageSetup(find_paper("a4"))
(ACROSS, DOWN), PAST = A4.pitch, A4.bleed - RIM


def hollow(width: float, height: float) -> Floats:
    """The outline of a rectangle with its lower left corner at the origin, as chords."""
    corners = np.array([(0, 0), (0, height), (width, height), (width, 0)], dtype=float)
    return np.stack([corners, np.roll(corners, -1, axis=0)], axis=1)


@pytest.mark.parametrize("off", [0.0, 1e-13, -1e-13, 1e-9, -1e-9, 5e-7, -5e-7, 2e-6, -2e-6])
@pytest.mark.parametrize("beyond", [0.0, PAST, -PAST])
@pytest.mark.parametrize("axis", [0, 1])
def test_an_edge_that_runs_along_a_joint_is_on_a_page(axis: int, beyond: float, off: float) -> None:
    """The edge lies on the joint, or as far from it as a page shows, give or take rounding."""
    size = [4 * ACROSS - 30.0, 4 * DOWN - 30.0]
    for near in (True, False):
        joint = ((ACROSS, DOWN)[axis]) * (0 if near else 4)
        corner = [15.0, 15.0]
        corner[axis] = joint + beyond + off - (0 if near else size[axis])
        lines = hollow(*size)
        settled = settle(A4, [lines], [Affine.move(*corner)])
        windows = [settled.grid.window(cell) for cell in settled.cells]
        ends = moved(lines, settled.at[0])
        steps = np.linspace(0, 1, 400)[:, None, None]
        points = (ends[:, 0] * (1 - steps) + ends[:, 1] * steps).reshape(-1, 2)
        x, y = points.T
        shown = [(x > w.left) & (x < w.right) & (y > w.bottom) & (y < w.top) for w in windows]
        assert np.any(shown, axis=0).all()
