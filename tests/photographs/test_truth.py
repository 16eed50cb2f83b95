"""The measure itself: what turning and shifting can take away, and what it cannot."""

from __future__ import annotations

import numpy as np
import pytest

from tests.photographs.blocks import invented
from tests.photographs.truth import deviation


def turned(points: np.ndarray, degrees: float) -> np.ndarray:
    c, s = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
    return points @ np.array([[c, s], [-s, c]]) + (300, -120)


BLOCK = invented(np.random.default_rng(4)).points


@pytest.mark.parametrize("degrees", [0, 47, 180, -100])
def test_turning_and_shifting_is_taken_away(degrees: float) -> None:
    """Wherever the points on the line begin, and however many there are."""
    moved = np.roll(turned(BLOCK, degrees), 40, axis=0)
    found = deviation([(moved, True)], [(BLOCK, True)])
    assert found.worst < 1e-3


def test_scale_is_not() -> None:
    """A circle of 200 mm that is a thousandth too large is off by 0.2 mm everywhere."""
    angle = np.linspace(0, 2 * np.pi, 2000, endpoint=False)
    ring = 200 * np.c_[np.cos(angle), np.sin(angle)]
    found = deviation([(ring * 1.001, True)], [(ring, True)])
    assert found.p95 == pytest.approx(0.2, abs=0.005)
    assert found.worst == pytest.approx(0.2, abs=0.005)
    assert found.scale == pytest.approx(1 / 1.001, abs=1e-5)


def test_a_mirrored_line_is_far_off() -> None:
    assert deviation([(BLOCK * (-1, 1), True)], [(BLOCK, True)]).worst > 10


def test_what_is_missing_counts_and_so_does_what_is_too_much() -> None:
    part = [(BLOCK[: len(BLOCK) * 3 // 4], False)]
    assert deviation(part, [(BLOCK, True)]).worst > 30
    assert deviation([(BLOCK, True)], part, near_start=True).worst > 30


def test_a_dent_is_found_where_it_is() -> None:
    dented = BLOCK.copy()
    at = len(BLOCK) // 3
    along = BLOCK[at + 3] - BLOCK[at - 3]
    across = np.array([-along[1], along[0]]) / np.hypot(*along)
    dented[at - 2 : at + 3] += 2 * across
    found = deviation([(dented, True)], [(BLOCK, True)])
    assert found.worst == pytest.approx(2.0, abs=0.1)
    assert np.hypot(*(np.array(found.worst_at) - BLOCK[at])) < 4
    assert found.p95 < 0.1
