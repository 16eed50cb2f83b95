"""A camera with a lens: a pinhole, and rays that bend away from it.

The bending is that of Brown, "Close-range camera calibration", Photogrammetric Engineering, 1971:
with x, y in focal lengths from the principal point and r² = x² + y²,

    x' = x (1 + k1 r² + k2 r⁴ + k3 r⁶) + 2 p1 x y + p2 (r² + 2 x²)
    y' = y (1 + k1 r² + k2 r⁴ + k3 r⁶) + p1 (r² + 2 y²) + 2 p2 x y
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from tiler.intake.photo.model import Numbers, Points

#: So many points are worked on at a time, to keep memory small.
_BATCH = 1 << 17


@dataclass(frozen=True, slots=True)
class Lens:
    """How rays become pixels.

    Args:
        focal_px: Focal length, pixels.
        middle: The principal point, pixels.
        radial: k1, k2, k3.
        tangential: p1, p2.
    """

    focal_px: float
    middle: tuple[float, float]
    radial: tuple[float, float, float] = (0.0, 0.0, 0.0)
    tangential: tuple[float, float] = (0.0, 0.0)

    def bent(self, rays: Points) -> Points:
        """Rays (n, 2), in focal lengths from the principal point, as the lens bends them."""
        k1, k2, k3 = self.radial
        p1, p2 = self.tangential
        x, y = rays[:, 0], rays[:, 1]
        square = x * x + y * y
        stretch = 1 + square * (k1 + square * (k2 + square * k3))
        return np.column_stack(
            (
                x * stretch + 2 * p1 * x * y + p2 * (square + 2 * x * x),
                y * stretch + p1 * (square + 2 * y * y) + 2 * p2 * x * y,
            )
        )

    def slopes(self, rays: Points) -> Numbers:
        """How bent rays move when rays do, (n, 2, 2)."""
        k1, k2, k3 = self.radial
        p1, p2 = self.tangential
        x, y = rays[:, 0], rays[:, 1]
        square = x * x + y * y
        stretch = 1 + square * (k1 + square * (k2 + square * k3))
        growth = 2 * (k1 + square * (2 * k2 + square * 3 * k3))
        out = np.empty((len(rays), 2, 2))
        out[:, 0, 0] = stretch + growth * x * x + 2 * p1 * y + 6 * p2 * x
        out[:, 1, 1] = stretch + growth * y * y + 6 * p1 * y + 2 * p2 * x
        out[:, 0, 1] = out[:, 1, 0] = growth * x * y + 2 * p1 * x + 2 * p2 * y
        return out

    def reach(self) -> float:
        """How far from the principal point, in focal lengths, rays still bend in good order.

        Beyond, the polynomial turns round and two rays would meet in one pixel.
        """
        k1, k2, k3 = self.radial
        roots = np.roots([7 * k3, 5 * k2, 3 * k1, 1.0])
        real = roots[(np.abs(roots.imag) < 1e-12) & (roots.real > 0)].real
        return float(np.sqrt(real.min())) if len(real) else float("inf")

    def straight(self, bent: Points) -> Points:
        """Rays that are bent so, (n, 2); NaN where there is none. Newton's method."""
        reach = self.reach()
        rays = bent.copy()
        far = np.hypot(rays[:, 0], rays[:, 1])
        with np.errstate(invalid="ignore", divide="ignore"):
            rays *= np.where(far > 0.9 * reach, 0.9 * reach / far, 1.0)[:, None]
            for _ in range(12):
                left = bent - self.bent(rays)
                slope = self.slopes(rays)
                area = slope[:, 0, 0] * slope[:, 1, 1] - slope[:, 0, 1] ** 2
                step = (
                    np.column_stack(
                        (
                            slope[:, 1, 1] * left[:, 0] - slope[:, 0, 1] * left[:, 1],
                            slope[:, 0, 0] * left[:, 1] - slope[:, 0, 1] * left[:, 0],
                        )
                    )
                    / area[:, None]
                )
                rays += step
                if not np.any(np.abs(step) > 1e-13):
                    break
            lost = np.hypot(*(bent - self.bent(rays)).T) > 1e-7
            lost |= np.hypot(rays[:, 0], rays[:, 1]) > reach
        rays[lost] = np.nan
        return rays


@dataclass(frozen=True, eq=False)
class LensCamera:
    """A photo's view of the table.

    Args:
        lens: The lens.
        turn: Rotation from table (x right, y up, z towards the camera) to camera (x right, y down,
            z along the view), 3 x 3.
        shift: The table's origin as the camera sees it, millimetres, (3,).
    """

    lens: Lens
    turn: Numbers = field(repr=False)
    shift: Numbers

    @property
    def centre(self) -> tuple[float, float, float] | None:
        """Where it stands, millimetres of the table and above it."""
        x, y, z = (-self.turn.T @ self.shift).tolist()
        return (x, y, z)

    def to_photo(self, on_table: Points) -> Points:
        """Pixels of points of the table; NaN for what lies behind the camera."""
        reach = self.lens.reach()
        out = np.empty((len(on_table), 2))
        for start in range(0, len(on_table), _BATCH):
            part = slice(start, start + _BATCH)
            seen = on_table[part] @ self.turn[:, :2].T + self.shift
            with np.errstate(invalid="ignore", divide="ignore", over="ignore"):
                rays = seen[:, :2] / seen[:, 2:]
                rays[(seen[:, 2] <= 0) | (np.hypot(rays[:, 0], rays[:, 1]) > reach)] = np.nan
                out[part] = self.lens.bent(rays) * self.lens.focal_px + self.lens.middle
        return out

    def to_table(self, in_photo: Points) -> Points:
        """The points of the table that pixels show; NaN above the horizon."""
        out = np.empty((len(in_photo), 2))
        flat = np.linalg.inv(np.column_stack((self.turn[:, :2], self.shift)))
        for start in range(0, len(in_photo), _BATCH):
            part = slice(start, start + _BATCH)
            bent = (in_photo[part] - self.lens.middle) / self.lens.focal_px
            rays = self.lens.straight(bent)
            at = np.column_stack((rays, np.ones(len(rays)))) @ flat.T
            with np.errstate(invalid="ignore", divide="ignore"):
                # The third number is 1 / distance along the view: negative above the horizon.
                at[~(at[:, 2] > 0)] = np.nan
                out[part] = at[:, :2] / at[:, 2:]
        return out
