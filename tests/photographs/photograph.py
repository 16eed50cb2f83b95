"""A photo of a scene, from the same seed always the same."""

from __future__ import annotations

import numpy as np

from tests.photographs.camera import Camera
from tests.photographs.develop import Taking, developed, fringed, jpeg, random_taking
from tests.photographs.light import Light, random_light
from tests.photographs.render import seen
from tests.photographs.scene import Scene


def photograph(
    scene: Scene,
    camera: Camera,
    seed: int,
    *,
    taking: Taking | None = None,
    light: Light | None = None,
) -> bytes:
    """The JPEG file that a phone writes.

    Args:
        scene: What lies there.
        camera: Where it stands; its pixels are the sensor's, before they are turned upright.
        seed: Of all that is left to chance.
        taking: How it is taken; by chance when not given.
        light: What lights it; by chance when not given.
    """
    taking = taking or random_taking(seed)
    size = float(np.ptp(scene.paper, axis=0).max()) + 250
    light = light or random_light(seed, scene.paper.mean(axis=0), size)
    rays = fringed(seen(scene, camera, light, seed), taking.fringe)
    return jpeg(developed(rays, taking, seed), taking, camera.focal)
