"""Cameras and cards are found again from corners that a simulation of its own has projected."""

from __future__ import annotations

import functools

import cv2
import numpy as np
import pytest

from tests.intake.photo.camera.cardpoints import (
    SIZE,
    Table,
    aligned_error,
    camera,
    corner_cards,
    nominal_corners,
    photos,
    region,
    sighted,
)
from tiler.intake.photo.camera.lens import Lens, LensCamera
from tiler.intake.photo.camera.solving import Printed, solve
from tiler.intake.photo.model import Photo, Sighting
from tiler.intake.photo.problem import CaptureError, Doubts

KNOWN = Printed(1.0, 1.0, 3e-4)


def errors(table: Table, cameras: list, found: list[Sighting], **how: object) -> tuple:
    """95th percentiles of the true error and of the stated spread over a field, millimetres."""
    solved = solve(photos(len(cameras)), found, KNOWN, Doubts())
    points = region()
    pixels = cameras[0].shoot(np.column_stack((points, np.zeros(len(points)))))
    inside = np.all((pixels > 0) & (pixels < SIZE), axis=1)
    back = solved.cameras[0].to_table(pixels[inside])
    true = aligned_error(back, points[inside])
    return float(np.percentile(true, 95)), float(np.percentile(solved.spread(back), 95))


@functools.cache
def simulated(lifted: bool) -> np.ndarray:
    """True error and spread of ten photos tilted by 0 to 30 degrees."""
    out = []
    for seed in range(10):
        rng = np.random.default_rng(seed)
        table = corner_cards(rng)
        if lifted:
            for card in table.at:
                high = rng.uniform(0, 1)
                table.height[card] = lambda u, v, high=high: high + 0 * u
        eye = camera(rng, rng.uniform(0, 30))
        out.append(errors(table, [eye], sighted(rng, table, [eye], 0.05, 0.05)))
    return np.array(out)


def test_flat_cards_give_the_table_within_a_quarter_of_a_millimetre() -> None:
    true, _ = simulated(False).T
    assert np.median(true) < 0.25
    assert true.max() < 0.8


def test_lifted_cards_cost_little() -> None:
    true, _ = simulated(True).T
    assert np.median(true) < 0.6
    assert true.max() < 1.2


@pytest.mark.parametrize("lifted", [False, True])
def test_the_stated_spread_covers_the_truth(lifted: bool) -> None:
    true, spread = simulated(lifted).T
    assert np.mean(true <= 2 * spread) >= 0.9
    # And it is not merely wide.
    assert np.median(spread) < 0.7


def test_a_photo_straight_from_above_is_no_trouble() -> None:
    rng = np.random.default_rng(5)
    table = corner_cards(rng)
    eye = camera(rng, 0.0)
    true, spread = errors(table, [eye], sighted(rng, table, [eye], 0.05))
    assert true < 0.6
    assert spread < 1


def test_several_photos_are_one_table() -> None:
    rng = np.random.default_rng(6)
    table = corner_cards(rng, more=4)
    first = camera(rng, 8.0, (-250, 0), 1300)
    lens = (first.focal, first.middle, first.bending)
    second = camera(rng, 12.0, (250, 0), 1300, lens)
    eyes = [first, second]
    solved = solve(photos(2), sighted(rng, table, eyes, 0.05), KNOWN, Doubts())
    points = region((1000, 700))
    back = np.empty_like(points)
    for index, eye in enumerate(eyes):
        mine = (points[:, 0] < 0) == (index == 0)
        pixels = eye.shoot(np.column_stack((points[mine], np.zeros(mine.sum()))))
        back[mine] = solved.cameras[index].to_table(pixels)
    assert np.percentile(aligned_error(back, points), 95) < 0.5


def test_the_table_is_not_mirrored_and_x_runs_right() -> None:
    rng = np.random.default_rng(7)
    table = corner_cards(rng)
    eye = camera(rng, 15.0)
    solved = solve(photos(1), sighted(rng, table, [eye], 0.05), KNOWN, Doubts())
    middle = np.array([[2000.0, 1500], [2100, 1500], [2000, 1400]])
    at = solved.cameras[0].to_table(middle)
    assert at[1, 0] - at[0, 0] > 0
    assert at[2, 1] - at[0, 1] > 0
    assert abs(at[1, 1] - at[0, 1]) < 0.2 * (at[1, 0] - at[0, 0])


def test_it_projects_as_opencv_does() -> None:
    # cv2.projectPoints, an independent library.
    vector = np.array([3.0, 0.1, 0.2])
    turn, _ = cv2.Rodrigues(vector)
    shift = np.array([20.0, -30, 1300])
    lens = Lens(3100.0, (1990.0, 1510.0), (-0.11, 0.04, 0.01), (3e-4, -2e-4))
    points = region()
    bending = np.array([-0.11, 0.04, 3e-4, -2e-4, 0.01])
    matrix = np.array([[3100, 0, 1990], [0, 3100, 1510], [0, 0, 1.0]])
    flat = np.column_stack((points, np.zeros(len(points))))
    expected, _ = cv2.projectPoints(flat, vector, shift, matrix, bending)
    own = LensCamera(lens, turn, shift)
    assert np.allclose(own.to_photo(points), expected.reshape(-1, 2), atol=1e-6)
    assert np.allclose(own.to_table(own.to_photo(points)), points, atol=1e-6)


def test_above_the_horizon_there_is_no_table() -> None:
    turn, _ = cv2.Rodrigues(np.array([2.0, 0.0, 0.0]))
    eye = LensCamera(Lens(3000.0, (2000.0, 1500.0)), turn, np.array([0.0, 0, 1000]))
    assert np.isnan(eye.to_table(np.array([[2000.0, -3000.0], [2000.0, 6000.0]]))).any()


def scanned(rng: np.random.Generator, per_mm: tuple[float, float]) -> list[Sighting]:
    """Two strips of four cards, two in both, each strip a little turned."""
    table = Table(
        {
            1: (0, 0, 0.2),
            2: (20, 260, 1.4),
            3: (210, 10, -0.5),
            4: (200, 250, 2.0),
            5: (400, 0, 0.1),
            6: (410, 260, -1.2),
        }
    )
    out = []
    for strip, (cards, turn, shift) in enumerate(
        (((1, 2, 3, 4), 0.01, (1000, 3000)), ((3, 4, 5, 6), -0.02, (-600, 3100)))
    ):
        c, s = np.cos(turn), np.sin(turn)
        for card in cards:
            x, y = table.corners(card)[:, :2].T
            pixels = np.column_stack(
                (per_mm[0] * (c * x - s * y) + shift[0], -per_mm[1] * (s * x + c * y) + shift[1])
            )
            pixels += rng.normal(0, 0.05, pixels.shape)
            out.append(Sighting(strip, card, np.arange(28), nominal_corners(), pixels, 0.7))
    return out


def test_scanner_strips_are_joined_without_a_lens() -> None:
    nothing = np.broadcast_to(np.zeros(3, np.uint8), (4400, 3300, 3))
    strips = [Photo(f"strip{i}.png", nothing, None, 300.0) for i in (1, 2)]
    per_mm = (300 / 25.4, 300 / 25.4 * 1.002)
    solved = solve(strips, scanned(np.random.default_rng(1), per_mm), KNOWN, Doubts())
    assert solved.flat
    assert solved.cameras[0].centre is None
    cards = {card.card: card for card in solved.cards}
    apart = np.hypot(cards[1].x - cards[5].x, cards[1].y - cards[5].y)
    # Lower left corners of cards 1 and 5, by hand from where `scanned` lays them.
    corner = np.array([-84.0, -52.5])
    one, five = (
        np.array([[np.cos(a), -np.sin(a)], [np.sin(a), np.cos(a)]]) @ corner + (x, 0)
        for a, x in ((0.2, 0), (0.1, 400))
    )
    assert apart == pytest.approx(float(np.hypot(*(one - five))), abs=0.05)


@pytest.mark.parametrize("dpi", [100, 600])
def test_strips_are_known_for_scans_without_a_stated_resolution(dpi: int) -> None:
    nothing = np.broadcast_to(np.zeros(3, np.uint8), (4400, 3300, 3))
    strips = [Photo(f"strip{i}.png", nothing, None, None) for i in (1, 2)]
    per_mm = (dpi / 25.4, dpi / 25.4 * 0.999)
    assert solve(strips, scanned(np.random.default_rng(2), per_mm), KNOWN, Doubts()).flat


def refusal(
    table: Table, seed: int = 3, printed: Printed = KNOWN, tilt: float = 20
) -> CaptureError:
    rng = np.random.default_rng(seed)
    eye = camera(rng, tilt, wide=1700)
    with pytest.raises(CaptureError) as raised:
        solve(photos(1), sighted(rng, table, [eye], 0.05), printed, Doubts())
    return raised.value


def test_a_card_printed_larger_is_refused_and_drawn() -> None:
    table = corner_cards(np.random.default_rng(8), more=2)
    table.scale[2] = (1.012, 1.012)
    error = refusal(table)
    assert error.code == "card-scale"
    assert "card 2" in {spot.label for spot in error.spots}
    assert "1.2 % larger" in str(error)
    assert "mm higher" in str(error)


def test_a_curled_card_is_refused_and_drawn() -> None:
    table = corner_cards(np.random.default_rng(9), more=2)
    table.height[3] = lambda u, v: 9 * (u / 84) ** 2
    error = refusal(table)
    assert error.code in {"card-bent", "card-scale"}
    assert "card 3" in {spot.label for spot in error.spots}


def test_bars_that_contradict_the_cards_are_refused() -> None:
    table = corner_cards(np.random.default_rng(10), more=2)
    assert refusal(table, printed=Printed(1.01, 1.0, 3e-4)).code == "bars-contradict"


def test_an_unmeasured_side_is_found_from_the_other() -> None:
    rng = np.random.default_rng(11)
    table = corner_cards(rng, more=4)
    table.usual = (0.99, 0.992)
    eye = camera(rng, 20, wide=1700)
    found = sighted(rng, table, [eye], 0.03)
    solved = solve(photos(1), found, Printed(0.99, None, 3e-4), Doubts())
    assert solved.print_scale[1] == pytest.approx(0.992, abs=0.001)


def test_photos_that_share_no_card_are_named() -> None:
    rng = np.random.default_rng(12)
    table = corner_cards(rng)
    eye = camera(rng, 10, wide=1700)
    found = sighted(rng, table, [eye], 0.05)
    other = [Sighting(1, s.card + 10, s.corners, s.on_card, s.in_photo, s.blur_px) for s in found]
    with pytest.raises(CaptureError) as raised:
        solve(photos(2), found + other, KNOWN, Doubts())
    assert raised.value.code == "photos-apart"
    assert "photo2.jpg" in str(raised.value)


def test_three_cards_leave_a_doubt() -> None:
    rng = np.random.default_rng(13)
    table = corner_cards(rng)
    del table.at[4]
    eye = camera(rng, 10, wide=1700)
    doubts = Doubts()
    solve(photos(1), sighted(rng, table, [eye], 0.05), KNOWN, doubts)
    assert [doubt.code for doubt in doubts.found] == ["three-cards"]
