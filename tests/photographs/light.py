"""Light on the table: a window, a lamp, and the shadow of who takes the photo."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tests.photographs.scene import Array, Colour


@dataclass(frozen=True)
class Light:
    """Where light comes from.

    Args:
        towards: Unit vector on the table towards the window, times how low it stands (0 to 1).
        window: Of its light, linear red, green, blue.
        fall: Share of its light that is lost over a metre away from it.
        lamp: Where a lamp hangs: x, y, height.
        warm: Of the lamp's light, linear red, green, blue.
        shadow: Centre x, y, radius, softness and depth of a soft shadow.
    """

    towards: tuple[float, float]
    window: Colour
    fall: float
    lamp: tuple[float, float, float]
    warm: Colour
    shadow: tuple[float, float, float, float, float]

    def on(self, x: Array, y: Array) -> Array:
        """Light at points of the table, (…, 3), about 1."""
        tx, ty = np.array(self.towards) / (np.hypot(*self.towards) + 1e-9)
        window = np.exp(np.clip((tx * x + ty * y) * self.fall / 1000, -1.5, 0.7))
        lx, ly, high = self.lamp
        d2 = (x - lx) ** 2 + (y - ly) ** 2 + high**2
        lamp = (high * high / d2) ** 1.5
        sx, sy, radius, soft, depth = self.shadow
        away = (np.hypot(x - sx, (y - sy) * 0.7) - radius) / soft
        free = 1 - depth / (1 + np.exp(np.clip(away, -30, 30)))
        return np.asarray(
            free[..., None]
            * (window[..., None] * np.array(self.window) + lamp[..., None] * np.array(self.warm))
        )


def random_light(seed: int, middle: Array, size: float) -> Light:
    """Light for a table of about `size` mm round `middle`."""
    chance = np.random.default_rng([seed, 72])
    angle = chance.uniform(0, 2 * np.pi)
    low = chance.uniform(0.3, 1.0)
    share = chance.uniform(0.4, 0.95)
    far = chance.uniform(0.2, 1.2) * size
    turn = chance.uniform(0, 2 * np.pi)
    beyond = chance.uniform(0.5, 0.9) * size
    side = chance.uniform(0, 2 * np.pi)
    return Light(
        (low * np.cos(angle), low * np.sin(angle)),
        (0.95 * share, 1.0 * share, 1.08 * share),
        float(chance.uniform(0.1, 0.75)),
        (
            float(middle[0] + far * np.cos(turn)),
            float(middle[1] + far * np.sin(turn)),
            float(chance.uniform(1200, 2300)),
        ),
        (1.15 * (1 - share), 0.98 * (1 - share), 0.72 * (1 - share)),
        (
            float(middle[0] + beyond * np.cos(side)),
            float(middle[1] + beyond * np.sin(side)),
            float(chance.uniform(0.25, 0.5) * size),
            float(chance.uniform(25, 90)),
            float(chance.choice([0.0, chance.uniform(0.1, 0.4)])),
        ),
    )
