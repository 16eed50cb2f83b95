"""Corners of cards as a made-up camera sees them, by arithmetic of its own.

The lens is that of Brown, "Close-range camera calibration", Photogrammetric Engineering, 1971, with
a third radial term; how far phones stray (tilt, principal point, bending) is a guess of ours.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from tiler.intake.photo.model import Photo, Sighting

SIZE = (4000, 3000)


@dataclass(frozen=True)
class Camera:
    focal: float
    middle: tuple[float, float]
    bending: tuple[float, float, float, float, float]  # k1 k2 p1 p2 k3, in the usual order
    turn: np.ndarray
    at: np.ndarray

    def shoot(self, points: np.ndarray) -> np.ndarray:
        """Pixels of points in space (n, 3)."""
        seen = (points - self.at) @ self.turn.T
        x, y = seen[:, 0] / seen[:, 2], seen[:, 1] / seen[:, 2]
        k1, k2, p1, p2, k3 = self.bending
        r = x**2 + y**2
        radial = 1 + k1 * r + k2 * r**2 + k3 * r**3
        u = x * radial + 2 * p1 * x * y + p2 * (r + 2 * x**2)
        v = y * radial + p1 * (r + 2 * y**2) + 2 * p2 * x * y
        return np.column_stack((u, v)) * self.focal + self.middle


def camera(
    rng: np.random.Generator,
    tilt: float,
    target: tuple[float, float] = (0.0, 0.0),
    wide: float = 1550.0,
    lens: tuple[float, tuple[float, float], tuple[float, ...]] | None = None,
) -> Camera:
    """One that looks at a place from above, tilted by `tilt` degrees to any side.

    Args:
        wide: Millimetres across the picture at that place.
    """
    focal, middle, bending = lens or any_lens(rng)
    away = rng.uniform(0, 2 * np.pi)
    distance = wide * focal / SIZE[0] * (1 + 0.5 * np.sin(np.radians(tilt)))
    lean = np.radians(tilt)
    down = -np.array([np.sin(lean) * np.cos(away), np.sin(lean) * np.sin(away), np.cos(lean)])
    roll = rng.normal(0, 0.1)
    right = np.array([np.cos(roll), np.sin(roll), 0.0])
    right -= down * (down @ right)
    right /= np.linalg.norm(right)
    turn = np.vstack((right, np.cross(down, right), down))
    at = np.array([*target, 0.0]) - down * distance
    return Camera(focal, middle, bending, turn, at)


def any_lens(rng: np.random.Generator) -> tuple[float, tuple[float, float], tuple[float, ...]]:
    focal = rng.uniform(0.62, 1.2) * SIZE[0]
    middle = (
        SIZE[0] / 2 - 0.5 + rng.normal(0, 0.006 * SIZE[0]),
        SIZE[1] / 2 - 0.5 + rng.normal(0, 0.006 * SIZE[0]),
    )
    k1, k2, k3 = rng.uniform(-0.12, 0.12), rng.uniform(-0.05, 0.05), rng.normal(0, 0.01)
    return focal, middle, (k1, k2, *rng.normal(0, 2e-4, 2), k3)


@dataclass
class Table:
    """Cards on a table.

    Args:
        at: Card -> x, y of its middle, and its turn.
        height: Card -> function of the card's own x and y, millimetres.
        scale: Card -> printed over nominal size.
    """

    at: dict[int, tuple[float, float, float]]
    height: dict[int, object] = field(default_factory=dict)
    scale: dict[int, tuple[float, float]] = field(default_factory=dict)
    usual: tuple[float, float] = (1.0, 1.0)

    def corners(self, card: int) -> np.ndarray:
        """The inner corners of a card in space, row by row from the upper left."""
        nominal = nominal_corners() - (84.0, 52.5)
        x, y = (nominal * self.scale.get(card, self.usual)).T
        height = self.height.get(card, lambda u, v: 0 * u)
        z = height(nominal[:, 0], nominal[:, 1])
        middle_x, middle_y, turn = self.at[card]
        c, s = np.cos(turn), np.sin(turn)
        return np.column_stack((middle_x + c * x - s * y, middle_y + s * x + c * y, z))


def nominal_corners() -> np.ndarray:
    """In the card's frame: squares of 21 mm, 8 by 5, counted from the upper left."""
    return np.array([((i % 7 + 1) * 21.0, 105 - (i // 7 + 1) * 21.0) for i in range(28)])


def corner_cards(
    rng: np.random.Generator, field: tuple[float, float] = (1200.0, 900.0), more: int = 0
) -> Table:
    """Cards near the corners of a field, turned anyhow; `more` others along its edges."""
    wide, high = field
    spots = [(-1, -1), (1, -1), (1, 1), (-1, 1), (0, 1), (0, -1), (1, 0), (-1, 0)][: 4 + more]
    return Table(
        {
            number: (
                x * wide / 2 + rng.uniform(-40, 40),
                y * high / 2 + rng.uniform(-40, 40),
                rng.uniform(-np.pi, np.pi),
            )
            for number, (x, y) in enumerate(spots, start=1)
        }
    )


def sighted(
    rng: np.random.Generator,
    table: Table,
    cameras: list[Camera],
    noise: float,
    common: float = 0.0,
) -> list[Sighting]:
    """What is found in the photos.

    Args:
        noise: Of each corner, pixels.
        common: Of the smooth part of the error that neighbours on a card share, pixels.
    """
    found = []
    for index, each in enumerate(cameras):
        for card in table.at:
            pixels = each.shoot(table.corners(card))
            u, v = ((nominal_corners() - (84, 52.5)) / (84, 52.5)).T
            shapes = np.column_stack((np.ones(28), u, v, u * u - 0.3, u * v, v * v - 0.3))
            pixels = pixels + rng.normal(0, noise, (28, 2))
            pixels += shapes @ rng.normal(0, common, (6, 2)) / np.sqrt(6)
            inside = np.all((pixels > 5) & (pixels < np.array(SIZE) - 6), axis=1)
            # Six corners, and not all in one row or column.
            if inside.sum() >= 6 and np.ptp(nominal_corners()[inside], axis=0).min() > 0:
                number = np.flatnonzero(inside)
                found.append(
                    Sighting(index, card, number, nominal_corners()[inside], pixels[inside], 1.0)
                )
    return found


def photos(count: int, focal: float | None = None) -> list[Photo]:
    """Pictures of the right size that nobody looks at."""
    nothing = np.broadcast_to(np.zeros(3, dtype=np.uint8), (SIZE[1], SIZE[0], 3))
    return [Photo(f"photo{i + 1}.jpg", nothing, focal) for i in range(count)]


def region(field: tuple[float, float] = (1200.0, 900.0)) -> np.ndarray:
    """Points all over the field."""
    x, y = np.meshgrid(np.linspace(-0.46, 0.46, 25), np.linspace(-0.46, 0.46, 19))
    return np.column_stack((x.ravel() * field[0], y.ravel() * field[1]))


def aligned_error(found: np.ndarray, truth: np.ndarray) -> np.ndarray:
    """Distances after the best turn and shift (Kabsch, Acta Crystallographica A 32, 1976)."""
    a, b = found - found.mean(axis=0), truth - truth.mean(axis=0)
    left, _, right = np.linalg.svd(a.T @ b)
    flip = np.diag([1.0, np.sign(np.linalg.det(left @ right))])
    return np.hypot(*(a @ left @ flip @ right - b).T)
