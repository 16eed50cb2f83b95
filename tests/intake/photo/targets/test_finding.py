"""Cards are found in photos whose homographies are known, to a few hundredths of a pixel."""

from __future__ import annotations

import functools

import cv2
import numpy as np
import pytest

from tests.intake.photo.targets.cardpictures import picture, placed, truth
from tiler.intake.photo.model import Photo, Sighting
from tiler.intake.photo.problem import CaptureError, Doubts
from tiler.intake.photo.targets.finding import sightings

FOUR = [
    (1, placed(280, 240, 0.3, 2.2, (2e-4, 1e-4))),
    (2, placed(1150, 260, 2.0, 2.4, (1e-4, -2e-4))),
    (3, placed(1180, 830, -2.6, 2.0)),
    (4, placed(300, 800, -1.2, 2.3, (-2e-4, 1e-4))),
]


@functools.cache
def plain() -> tuple[Sighting, ...]:
    return sightings([Photo("smock.jpg", picture(FOUR))], Doubts())


def found(pixels: np.ndarray, name: str = "smock.jpg") -> dict[int, tuple[np.ndarray, np.ndarray]]:
    seen = sightings([Photo(name, pixels)], Doubts())
    return {each.card: (each.corners, each.in_photo) for each in seen}


def worst(pixels: np.ndarray, cards: list[tuple[int, np.ndarray]]) -> float:
    seen = found(pixels)
    assert sorted(seen) == [number for number, _ in cards]
    return max(
        float(np.abs(seen[number][1] - truth(matrix)[seen[number][0]]).max())
        for number, matrix in cards
    )


@pytest.mark.parametrize(
    "how",
    [
        {"light": 0.08, "noise": 2.0},
        {"cast": (1.0, 0.7, 0.35)},
        {"light": 1.6, "noise": 1.0},
    ],
    ids=["dark", "yellow", "overexposed"],
)
def test_corners_are_where_the_homography_puts_them(how: dict[str, float]) -> None:
    assert worst(picture(FOUR, **how), FOUR) < 0.12


def test_corners_of_a_good_photo_are_within_hundredths_of_a_pixel() -> None:
    for each in plain():
        off = each.in_photo - truth(dict(FOUR)[each.card])[each.corners]
        assert len(off) == 28
        assert np.abs(off).max() < 0.08


def test_the_first_pixel_has_its_middle_at_nought() -> None:
    # OpenCV's warpPerspective takes pixel middles for whole numbers too.
    off = [each.in_photo - truth(dict(FOUR)[each.card])[each.corners] for each in plain()]
    assert np.abs(np.concatenate(off).mean(axis=0)).max() < 0.01


def test_points_stand_beside_their_places_on_the_card() -> None:
    for each in plain():
        matrix, _ = cv2.findHomography(each.on_card, each.in_photo)
        truly = dict(FOUR)[each.card]
        assert np.allclose(matrix, truly / truly[2, 2], rtol=0.02, atol=0.3)


def test_blur_is_measured() -> None:
    soft = sightings([Photo("smock.jpg", picture(FOUR, blur=2.0))], Doubts())
    # Averaging three pixels to one, and a pixel's own width, blur a little more than asked for.
    for blur, seen in ((0.9, plain()), (2.0, soft)):
        for each in seen:
            assert each.blur_px == pytest.approx(blur, rel=0.25)


def test_a_half_covered_card_gives_the_corners_that_show() -> None:
    pixels = picture(FOUR)
    cv2.circle(pixels, (1150, 300), 75, (60, 70, 90), -1)
    seen = found(pixels)
    assert 6 <= len(seen[2][0]) < 28
    assert np.abs(seen[2][1] - truth(FOUR[1][1])[seen[2][0]]).max() < 0.15


def test_a_card_cut_off_by_the_edge_gives_the_corners_that_show() -> None:
    cards = [*FOUR, (5, placed(700, 20, 0.1, 2.2))]
    seen = found(picture(cards))
    assert 6 <= len(seen[5][0]) < 28
    assert np.abs(seen[5][1] - truth(cards[4][1])[seen[5][0]]).max() < 0.15


def refused(pixels: np.ndarray) -> CaptureError:
    with pytest.raises(CaptureError) as raised:
        found(pixels)
    return raised.value


def test_two_cards_are_too_few_and_are_drawn() -> None:
    error = refused(picture(FOUR[:2]))
    assert error.code == "few-cards"
    assert [spot.label for spot in error.spots] == ["card 1", "card 2"]


def test_a_photo_without_cards_is_named() -> None:
    rng = np.random.default_rng(4)
    pixels = rng.integers(0, 255, (110, 150, 3), dtype=np.uint8).repeat(10, 0).repeat(10, 1)
    error = refused(pixels)
    assert error.code == "no-cards"
    assert "smock.jpg" in str(error)
    assert error.spots


def test_a_page_printed_twice_is_recognised_and_both_are_drawn() -> None:
    error = refused(picture([*FOUR[:3], (2, FOUR[3][1])]))
    assert error.code == "card-twice"
    assert len(error.spots) == 2
    places = sorted(spot.points.mean(axis=0)[0] for spot in error.spots)
    assert places[0] == pytest.approx(300, abs=40)
    assert places[1] == pytest.approx(1150, abs=40)


@pytest.mark.parametrize("moved", [False, True], ids=["out of focus", "moved"])
def test_a_blurred_photo_is_told_from_one_without_cards(moved: bool) -> None:
    pixels = picture(FOUR)
    pixels = cv2.blur(pixels, (31, 3)) if moved else cv2.GaussianBlur(pixels, (0, 0), 6)
    error = refused(pixels)
    assert error.code == "blurred"
    assert error.spots


def test_cards_are_read_whose_squares_are_small_in_a_small_photo() -> None:
    far = [(5, placed(760, 200, 0.5, 1.2)), (6, placed(750, 860, 2.5, 1.2))]
    assert worst(picture([*FOUR, *far], blur=0.7), [*FOUR, *far]) < 0.1
