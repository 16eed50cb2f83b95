"""The camera is the one that OpenCV's documentation describes: pinhole, Brown's distortion."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from tests.photographs.arranging import random_camera, random_scene
from tests.photographs.camera import Camera

SEEDS = range(6)


def camera(seed: int) -> Camera:
    return random_camera(seed, random_scene(seed), width=2000, height=1500)


@pytest.mark.parametrize("seed", SEEDS)
def test_it_projects_as_opencv_does(seed: int) -> None:
    eye = camera(seed)
    points = np.random.default_rng(seed).uniform((-500, -400, 0), (500, 400, 5), (200, 3))
    turn, _ = cv2.Rodrigues(eye.turning)
    matrix = np.array([[eye.focal, 0, eye.centre[0]], [0, eye.focal, eye.centre[1]], [0, 0, 1]])
    lens = np.array([eye.k[0], eye.k[1], *eye.p, eye.k[2]])
    theirs, _ = cv2.projectPoints(points, turn, -eye.turning @ eye.place, matrix, lens)
    assert np.abs(eye.project(points) - theirs[:, 0]).max() < 1e-6


@pytest.mark.parametrize("seed", SEEDS)
def test_a_ray_through_a_pixel_meets_what_is_seen_there(seed: int) -> None:
    eye = camera(seed)
    columns, rows = np.arange(0, 2000.0, 37), np.arange(0, 1500.0, 41)
    start, sight = eye.rays(columns, rows)
    along = -eye.place[2] / sight[..., 2]
    back = eye.project(start + along[..., None] * sight)
    assert np.abs(back - np.stack(np.meshgrid(columns, rows), axis=-1)).max() < 1e-5


def test_all_that_must_show_is_in_the_picture() -> None:
    """And the tilt is what was asked for."""
    for seed in range(20):
        scene = random_scene(seed)
        eye = random_camera(seed, scene, tilt=25.0)
        assert eye.tilt == pytest.approx(25.0)
        for card in scene.cards:
            px = eye.project(card.to_table(np.array([(-6, -6), (174, -6), (174, 111), (-6, 111)])))
            assert (px > 0).all()
            assert (px < (eye.width, eye.height)).all()
