"""The projection through four points is the one that an independent library finds."""

from __future__ import annotations

import cv2
import numpy as np
import numpy.typing as npt
import pytest

from tiler.layout.mats.homography import Homography
from tiler.pattern.errors import ProjectionError

Array = npt.NDArray[np.float64]
SQUARE = [(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]
TRAPEZOID = [(0.0, 0.0), (10.0, 0.0), (8.0, 6.0), (2.0, 6.0)]


def _quadrilaterals(seed: int, count: int) -> list[Array]:
    """A rectangle whose corners have each wandered by up to 30 % of its sides."""
    rng = np.random.default_rng(seed)
    wandering = rng.uniform(-0.3, 0.3, (count, 4, 2))
    return [(np.array(SQUARE) + off) * (1200, 700) for off in wandering]


def test_it_agrees_with_opencv_on_a_thousand_quadrilaterals() -> None:
    """OpenCV, cv2.findHomography on the four corners; to 1e-6 mm all over the picture.

    cv2.getPerspectiveTransform takes single precision, and misses its own corners by up to half a
    micrometre; there it agrees as far as that goes.
    """
    picture = np.array([(40, 1040), (1880, 1040), (1880, 40), (40, 40)], dtype=np.float32)
    probes = np.random.default_rng(1).uniform((0, 0), (1920, 1080), (50, 2))
    compared = 0
    for corners in _quadrilaterals(2, 1000):
        target = corners.astype(np.float32)
        ours = Homography.through(picture, target)
        theirs, _ = cv2.findHomography(picture.astype(float), target.astype(float), 0)
        wanted = cv2.perspectiveTransform(probes[None], theirs)[0]
        # Beyond the corners a strong keystone may reach for its horizon.
        near = probes @ theirs[2, :2] + theirs[2, 2] > 0.2
        assert np.allclose(ours(probes)[near], wanted[near], rtol=1e-9, atol=1e-6)
        assert np.allclose(ours.inverse()(wanted[near]), probes[near], rtol=1e-9, atol=1e-6)
        single = cv2.getPerspectiveTransform(picture, target)
        theirs_again = cv2.perspectiveTransform(picture[None].astype(float), single)[0]
        assert np.allclose(ours(picture), theirs_again, atol=2e-3)
        compared += int(near.sum())
    assert compared > 40_000


def test_with_more_points_it_is_the_nearest_as_opencv_finds_it() -> None:
    """cv2.findHomography, method 0: least squares of the distances in the target."""
    rng = np.random.default_rng(3)
    source = rng.uniform(0, 1000, (12, 2))
    for corners in _quadrilaterals(4, 40):
        true = Homography.through([(0, 0), (1000, 0), (1000, 1000), (0, 1000)], corners)
        target = true(source) + rng.normal(0, 1, source.shape)
        theirs, _ = cv2.findHomography(source, target, 0)
        ours = Homography.through(source, target)
        wanted = cv2.perspectiveTransform(source[None], theirs)[0]
        assert np.allclose(ours(source), wanted, atol=2e-3)
        off, reference = ours(source) - target, wanted - target
        assert (off**2).sum() <= (reference**2).sum() * (1 + 1e-9)


def test_the_middle_of_a_square_goes_to_the_crossing_of_the_diagonals() -> None:
    """Closed form: y of the crossing is 10 * 6 / 16; the mean of the corners would be (5, 3)."""
    onto = Homography.through(SQUARE, TRAPEZOID)
    assert np.allclose(onto([(0.5, 0.5)]), [(5, 3.75)], atol=1e-12)
    wanted = [[10, 10 / 3, 0], [0, 10, 0], [0, 2 / 3, 1]]
    assert np.allclose(onto.matrix, wanted, atol=1e-12)


def test_the_size_of_a_pixel_is_how_far_a_small_step_goes() -> None:
    """Against steps of a millionth in many directions."""
    onto = Homography.through(SQUARE, TRAPEZOID)
    for place in ((0.5, 0.5), (0.1, 0.9), (0.95, 0.05)):
        turns = np.linspace(0, np.pi, 721)
        steps = 1e-6 * np.column_stack([np.cos(turns), np.sin(turns)])
        gone = np.hypot(*(onto(np.array(place) + steps) - onto([place])).T) / 1e-6
        longest, shortest = onto.sizes_at(place)
        assert longest == pytest.approx(gone.max(), rel=1e-4)
        assert shortest == pytest.approx(gone.min(), rel=1e-4)
        slopes = (onto(np.array(place) + 1e-6 * np.eye(2)) - onto([place])).T / 1e-6
        assert np.allclose(onto.jacobian_at(place), slopes, rtol=1e-4, atol=1e-4)


def test_a_pixel_of_a_picture_1200_mm_wide_has_0_625_mm() -> None:
    """1200 mm / 1920 = 0.625 mm, arithmetic."""
    onto = Homography.through(
        [(0, 1080), (1920, 1080), (1920, 0), (0, 0)], [(0, 0), (1200, 0), (1200, 675), (0, 675)]
    )
    assert onto.sizes_at((400, 300)) == pytest.approx((0.625, 0.625))


@pytest.mark.parametrize(
    ("corners", "said"),
    [
        ([(0, 0), (5, 0), (10, 0), (0, 6)], "one line"),
        ([(0, 0), (0, 0), (8, 6), (2, 6)], "one line"),
        ([(0, 0), (8, 6), (10, 0), (2, 6)], "inward"),
        ([(0, 0), (10, 0), (3, 2), (2, 9)], "inward"),
        ([(0, 0), (10, 0), (float("nan"), 6), (2, 6)], "one line"),
        ([(0, 0), (10, 0), (8, 6)], "four points"),
    ],
)
def test_corners_that_make_no_picture_are_refused(
    corners: list[tuple[float, float]], said: str
) -> None:
    with pytest.raises(ProjectionError, match=said):
        Homography.through(SQUARE, corners)


def test_five_points_in_one_line_are_refused() -> None:
    line = [(float(k), float(k)) for k in range(5)]
    with pytest.raises(ProjectionError, match="do not fix"):
        Homography.through(line, line)
