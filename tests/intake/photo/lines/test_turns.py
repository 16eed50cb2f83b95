"""Corners of noisy lines: found where the legs meet, and not in curves."""

import math

import numpy as np
import pytest
from numpy.typing import NDArray

from tiler.intake.photo.lines.turns import corners_of, with_corners

Floats = NDArray[np.float64]


#: Noise of single points (millimetres) -> how many hands must be read without a slip.
_OFTEN = {0.05: 1.0, 0.1: 1.0, 0.15: 0.85}


def turned(turn: float, radius: float = 0.0, bend: float = 0.0) -> tuple[Floats, Floats]:
    """Two legs of 60 mm, straight or bent, with a turn between; the points and the place.

    Args:
        turn: Degrees.
        radius: Of the curve in which it is done, millimetres; 0 for a corner.
        bend: Of both legs, one over millimetres.
    """
    step = 0.1
    places = [np.zeros(2)]
    angle = 0.0

    def go(length: float, curve: float) -> None:
        nonlocal angle
        for _ in range(round(length / step)):
            angle += curve * step
            places.append(places[-1] + step * np.array([math.cos(angle), math.sin(angle)]))

    go(60, bend)
    if radius:
        go(radius * math.radians(turn) / 2, 1 / radius)
        middle = places[-1]
        go(radius * math.radians(turn) / 2, 1 / radius)
    else:
        middle = places[-1]
        angle += math.radians(turn)
    go(60, bend)
    return np.array(places), middle


def by_hand(line: Floats, noise: float, seed: int) -> Floats:
    """A point a millimetre, with noise and slow waves across the line."""
    hand = np.random.default_rng(seed)
    s = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))))
    at = np.linspace(0, s[-1], round(float(s[-1])) + 1)
    even = np.column_stack([np.interp(at, s, line[:, n]) for n in (0, 1)])
    even += hand.normal(0, noise, even.shape)
    wave = 0.15 * np.sin(2 * np.pi * at / 30 + hand.uniform(0, 6))
    return even + np.column_stack((wave, wave[::-1]))


def found(turn: float, radius: float, bend: float, noise: float) -> float:
    """The share of eight hands in whose line there is just one corner, and at the turn."""
    line, middle = turned(turn, radius, bend)
    good = 0
    for seed in range(8):
        corners = corners_of(by_hand(line, noise, seed), closed=False)
        good += len(corners) == 1 and float(np.hypot(*(corners[0].at - middle))) < 2.5
    return good / 8


@pytest.mark.parametrize("noise", [0.05, 0.1, 0.15])
class TestACorner:
    @pytest.mark.parametrize("turn", [35, 60, 90, 120])
    def test_between_straight_legs(self, turn: float, noise: float) -> None:
        assert found(turn, 0, 0, noise) >= _OFTEN[noise]

    def test_rounded_by_the_marker(self, noise: float) -> None:
        assert found(90, 2, 0, noise) >= _OFTEN[noise]

    @pytest.mark.parametrize("bend", [1 / 30, -1 / 30])
    def test_between_curves(self, bend: float, noise: float) -> None:
        """An armhole or a neck that meets a seam."""
        assert found(90, 0, bend, noise) >= _OFTEN[noise]

    def test_that_is_blunt(self, noise: float) -> None:
        """150 degrees inside."""
        assert found(30, 0, 0, noise) >= 0.7


@pytest.mark.parametrize("noise", [0.05, 0.1, 0.15])
class TestNoCorner:
    @pytest.mark.parametrize(
        ("turn", "radius"), [(90, 10), (120, 10), (90, 14), (180, 30), (90, 30), (60, 20), (15, 0)]
    )
    def test_in_a_curve_or_a_slight_bend(self, turn: float, radius: float, noise: float) -> None:
        line, _ = turned(turn, radius)
        none = [not corners_of(by_hand(line, noise, seed), closed=False) for seed in range(8)]
        assert sum(none) >= 7

    def test_on_a_circle(self, noise: float) -> None:
        angles = np.linspace(0, 2 * np.pi, 189)
        ring = 30 * np.column_stack((np.cos(angles), np.sin(angles)))[:-1]
        moved = ring + np.random.default_rng(1).normal(0, noise, ring.shape)
        assert corners_of(moved, closed=True) == []


class TestThePlace:
    @pytest.mark.parametrize("turn", [40, 90, 130])
    def test_is_where_the_legs_meet(self, turn: float) -> None:
        line, middle = turned(turn, radius=1.5)
        tip = 1.5 * (1 / math.cos(math.radians(turn / 2)) - 1)
        off = [
            float(np.hypot(*(corners_of(by_hand(line, 0.08, seed), closed=False)[0].at - middle)))
            for seed in range(8)
        ]
        assert np.median(np.abs(np.array(off) - tip)) < 0.5

    def test_becomes_a_point_of_the_line(self) -> None:
        square = np.array([[0.0, 0], [80, 0], [80, 60], [0, 60], [0, 0]])
        points = by_hand(square, 0.08, 3)[:-1]
        made, corners, back = with_corners(points, closed=True)
        assert len(corners) == 4
        for index, place in zip(corners, sorted(map(tuple, square[:4])), strict=False):
            assert back[index] in range(len(points))
            assert min(np.hypot(*(made[list(corners)] - place).T)) < 0.8

    def test_beside_a_point_that_stays_is_that_point(self) -> None:
        square = np.array([[0.0, 0], [80, 0], [80, 60], [0, 60], [0, 0]])
        points = by_hand(square, 0.08, 3)[:-1]
        made, corners, back = with_corners(points, closed=True, kept=[80])
        assert any(back[index] == 80 and (made[index] == points[80]).all() for index in corners)
