"""The table from straight above, against a table whose every point has a known shade."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest

from tiler.intake.photo.ink.flattening import flatten
from tiler.intake.photo.model import Lying, Photo, Solved
from tiler.intake.photo.problem import CaptureError, Doubts


@dataclass(frozen=True)
class Tilted:
    """A camera without a lens' faults: a homography from the table to pixels."""

    matrix: np.ndarray

    @property
    def centre(self) -> tuple[float, float, float]:
        return (0.0, 0.0, 1000.0)

    def to_photo(self, on_table: np.ndarray) -> np.ndarray:
        flat = np.column_stack((on_table, np.ones(len(on_table)))) @ self.matrix.T
        return flat[:, :2] / flat[:, 2:]

    def to_table(self, in_photo: np.ndarray) -> np.ndarray:
        flat = np.column_stack((in_photo, np.ones(len(in_photo)))) @ np.linalg.inv(self.matrix).T
        return flat[:, :2] / flat[:, 2:]


def camera(px_mm: float, middle: tuple[float, float], lean: float = 0.0) -> Tilted:
    """Looks at the table with `px_mm` pixels a millimetre where it is nearest its middle."""
    return Tilted(
        np.array(
            [
                [px_mm, 0, 300 - px_mm * middle[0]],
                [0, -px_mm, 200 + px_mm * middle[1]],
                [0, lean, 1 - lean * middle[1]],
            ]
        )
    )


def shade(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Waves of 40 and 60 mm, so that a place is known by its shade."""
    return 128 + 50 * np.sin(x * 2 * np.pi / 40) + 50 * np.cos(y * 2 * np.pi / 60)


def photo(view: Tilted, gain: float = 1.0, size: tuple[int, int] = (600, 400)) -> Photo:
    down, across = np.mgrid[: size[1], : size[0]]
    place = view.to_table(np.column_stack((across.ravel(), down.ravel())).astype(float))
    value = gain * shade(place[:, 0], place[:, 1]).reshape(down.shape)
    grey = (np.clip(value, 0, 255) + 0.5).astype(np.uint8)
    return Photo("photo.jpg", np.dstack((grey, grey, grey)))


def solved(*views: Tilted) -> Solved:
    cards = (Lying(1, -100, -70, 0.0, 0.05), Lying(2, 0, 0, 0.3, 0.05))
    return Solved(views, cards, (1.0, 1.0), lambda points: np.full(len(points), 0.05))


def expected(flat: object) -> np.ndarray:
    rows, columns = flat.seen.shape  # type: ignore[attr-defined]
    down, across = np.mgrid[:rows, :columns]
    place = flat.to_table(  # type: ignore[attr-defined]
        np.column_stack((across.ravel(), down.ravel())).astype(float)
    )
    return shade(place[:, 0], place[:, 1]).reshape(rows, columns)


@pytest.mark.parametrize("lean", [0.0, 4e-4])
def test_each_pixel_shows_its_place_on_the_table(lean: float) -> None:
    view = camera(1.6, (20, 10), lean)
    flat = flatten((photo(view),), solved(view), Doubts(), pitch=0.5)
    assert flat.pitch == 0.5
    assert flat.seen.mean() > 0.6
    # A millimetre of shift would change the shade by up to eight.
    off = (flat.pixels[..., 0] - expected(flat))[flat.seen]
    assert np.abs(off).max() < 2
    assert abs(off.mean()) < 0.1


def test_what_no_photo_shows_is_not_seen() -> None:
    view = camera(3.0, (20, 10))
    flat = flatten((photo(view),), solved(view), Doubts(), pitch=0.5)
    rows, columns = np.nonzero(~flat.seen)
    place = view.to_photo(flat.to_table(np.column_stack((columns, rows)).astype(float)))
    inside = (place[:, 0] > 5) & (place[:, 0] < 594) & (place[:, 1] > 5) & (place[:, 1] < 394)
    assert not inside.any()


def test_fine_texture_is_averaged_and_not_sampled() -> None:
    view = camera(8.0, (20, 10))
    pixels = np.zeros((400, 600, 3), np.uint8)
    pixels[:, ::2] = 200
    flat = flatten((Photo("scan.png", pixels),), solved(view), Doubts(), pitch=0.5)
    assert flat.pixels[flat.seen].std() < 12
    assert flat.pixels[flat.seen].mean() == pytest.approx(100, abs=4)


def test_several_photos_make_one_table_without_steps() -> None:
    left, right = camera(2.2, (-40, 0)), camera(2.2, (110, 0))
    photos = photo(left), photo(right, gain=0.8)
    flat = flatten(photos, solved(left, right), Doubts(), pitch=0.5)
    assert set(np.unique(flat.taken_from[flat.seen])) == {0, 1}
    ratio = flat.pixels[..., 0][flat.seen] / expected(flat)[flat.seen]
    assert ratio.std() < 0.03
    # The seam lies where both photos show the table well, far from their frames.
    seam = np.argwhere(np.diff(flat.taken_from.astype(int), axis=1) != 0)
    place = flat.to_table(seam[:, ::-1].astype(float))
    for view in (left, right):
        px = view.to_photo(place)
        assert px[:, 0].min() > 15
        assert px[:, 0].max() < 585


def test_the_finer_photo_is_taken_where_both_show_the_place() -> None:
    near, far = camera(3.0, (20, 10)), camera(1.2, (20, 10))
    flat = flatten((photo(far), photo(near)), solved(far, near), Doubts(), pitch=0.5)
    middle = flat.to_pixels(np.array([[20.0, 10.0]])).round().astype(int)[0]
    assert flat.taken_from[middle[1], middle[0]] == 1


def test_a_large_table_gets_coarser_pixels_and_that_is_told() -> None:
    view = camera(0.5, (20, 10))
    doubts = Doubts()
    flat = flatten((photo(view),), solved(view), doubts, pitch=0.03)
    assert flat.pitch > 0.03
    assert flat.seen.size < 41_000_000
    assert [doubt.code for doubt in doubts.found] == ["coarse"]


def test_photos_of_something_else_are_refused() -> None:
    view = camera(2.0, (5000, 5000))
    with pytest.raises(CaptureError, match="nothing of the table"):
        flatten((photo(view),), solved(view), Doubts())
