"""The picture over the photo shows every line where it was found, and can be read."""

from __future__ import annotations

import io

import numpy as np
import pytest
from PIL import Image

from tests.output.capture.invented import (
    BOTTOM,
    CLOSED,
    DOUBTED,
    LEFT,
    PAPER,
    RIGHT,
    TOP,
    WORST,
    in_photo,
    invented,
    photo,
)
from tiler.intake.photo.model import Photo
from tiler.intake.photo.problem import Spot
from tiler.output.capture.overlay import Letter, captured_picture
from tiler.output.capture.problempicture import faces_picture, problem_picture

CORNERS = np.array([(LEFT, BOTTOM), (RIGHT, BOTTOM), (RIGHT, TOP), (LEFT, TOP)])
LETTERS = (Letter("A", np.array([300.0, BOTTOM])), Letter("B", np.array([RIGHT, 300.0])))
WORDS = "Lines are within 0.4 mm (95 % of their length), worst 0.7 mm at the right."


def pixels(jpeg: bytes) -> np.ndarray:
    with Image.open(io.BytesIO(jpeg)) as picture:
        return np.asarray(picture.convert("RGB")).astype(int)


def near(picture: np.ndarray, at: np.ndarray, reach: int = 14) -> np.ndarray:
    """The pixels round a place."""
    x, y = np.round(at).astype(int)
    return picture[max(0, y - reach) : y + reach + 1, max(0, x - reach) : x + reach + 1].reshape(
        -1, 3
    )


def has(part: np.ndarray, colour: tuple[int, int, int]) -> bool:
    """JPEG keeps colours of thin lines to some tens only."""
    return bool((np.abs(part - colour).max(axis=1) < 70).any())


@pytest.fixture(scope="module")
def drawn() -> np.ndarray:
    return pixels(captured_picture(photo(), 0, invented(), LETTERS, CORNERS, WORDS))


def test_the_outline_runs_where_the_camera_sees_it(drawn: np.ndarray) -> None:
    """A bright core in a dark casing, along all four edges."""
    for one, other in zip(CORNERS, np.roll(CORNERS, -1, axis=0), strict=True):
        for share in (0.15, 0.35, 0.85):
            part = near(drawn, in_photo(one + share * (other - one))[0], 5)
            assert has(part, (64, 225, 255))
            assert has(part, (20, 24, 28))


@pytest.mark.parametrize(
    ("place", "colour"),
    [(WORST, (255, 96, 64)), (CLOSED, (255, 120, 225))],
    ids=["least sure", "closed gap"],
)
def test_what_is_to_be_looked_at_is_ringed(
    drawn: np.ndarray, place: tuple[float, float], colour: tuple[int, int, int]
) -> None:
    assert has(near(drawn, in_photo(place)[0], 30), colour)


def test_a_doubt_is_marked_in_the_photo(drawn: np.ndarray) -> None:
    assert has(near(drawn, np.array(DOUBTED), 30), (255, 180, 60))


def test_the_strip_below_holds_words_and_samples(drawn: np.ndarray) -> None:
    """Light on dark, below the photo's own rows."""
    strip = drawn[900:]
    assert len(strip) > 40
    assert np.median(strip) < 60
    assert has(strip.reshape(-1, 3), (255, 255, 255))
    assert has(strip.reshape(-1, 3), (64, 225, 255))


def test_words_lie_over_no_other_words(drawn: np.ndarray) -> None:
    """Each label has a ground of its own: as many dark boxes as labels, none joined to another."""
    blank = np.abs(drawn[:900] - PAPER).max(axis=2) < 25
    assert blank.mean() > 0.85, "the photo itself stays to be seen"


def test_a_large_photo_is_made_small_and_what_is_far_off_left_away() -> None:
    """At most 2,400 pixels of photo; nothing is lost of cards and lines."""
    shot = photo()
    wide = np.full((1800, 4800, 3), PAPER, dtype=np.uint8)
    wide[:900, :1200] = shot.pixels
    picture = pixels(
        captured_picture(Photo("wide.jpg", wide), 0, invented(), LETTERS, CORNERS, WORDS)
    )
    assert picture.shape[1] <= 2400
    assert has(picture.reshape(-1, 3), (64, 225, 255))


def test_a_problem_is_drawn_where_it_is() -> None:
    """A line, an area and a place, with a label beside it."""
    spots = (
        Spot(0, np.array([(100.0, 100), (300, 120)])),
        Spot(0, np.array([(500.0, 100), (700, 100), (700, 300), (500, 300)]), True, "card 3"),
        Spot(0, np.array([(900.0, 700)])),
    )
    picture = pixels(problem_picture(photo(), spots, "A card does not lie flat. Lay it flat."))
    for at in ((200, 110), (600, 100), (500, 200), (900 + 28, 700)):
        assert has(near(picture, np.array(at), 12), (255, 96, 64))
    assert not has(near(picture, np.array((900.0, 700)), 6), (255, 96, 64))


def test_places_outside_of_the_photo_do_no_harm() -> None:
    """A place may have no numbers where the camera sees it behind itself."""
    spots = (
        Spot(0, np.array([(np.nan, np.nan), (300, 120), (1e9, -1e9)]), False, "here"),
        Spot(0, np.array([(np.nan, np.nan)]), False, "nowhere"),
        Spot(0, np.array([(-500.0, 5000.0)]), True, "below"),
    )
    assert problem_picture(photo(), spots, "Words").startswith(b"\xff\xd8")


def test_areas_are_tinted_and_the_photo_is_brought_near() -> None:
    """Areas of 60 pixels are enlarged, so that their letters find room."""
    square = np.array([(500.0, 400), (560, 400), (560, 460), (500, 460)])
    spots = (Spot(0, square, True, "A"), Spot(0, square + np.array((60.0, 0)), True, "B"))
    picture = pixels(faces_picture(photo(), spots, "Which belong together?"))
    assert picture.shape[1] > 2 * 120
    middle = picture[60, picture.shape[1] // 4]
    assert np.abs(middle - PAPER).max() > 20
