"""Marker lines as shares of the paper that ink covers, with smooth edges."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.photographs.scene import Array, MarkerLine

#: Pixels to the millimetre of the layers of ink.
INK_PX = 8.0
#: Steps to the millimetre at which a flank's roughness is kept.
_ROUGH_PX = 5.0


def distances(points: Array) -> Array:
    """How far along a polyline each of its points is."""
    steps = np.hypot(*np.diff(points, axis=0).T)
    return np.concatenate(([0.0], np.cumsum(steps)))


def ring(line: MarkerLine) -> Array:
    """Its points, the first one repeated where it is closed."""
    return np.vstack((line.points, line.points[:1])) if line.closed else line.points


def strokes(line: MarkerLine) -> list[Array]:
    """The line without its gaps."""
    points = ring(line)
    if not line.gaps:
        return [points]
    along = distances(points)
    bounds = [0.0, *(at for gap in sorted(line.gaps) for at in gap), float(along[-1])]
    parts = []
    for low, high in zip(bounds[::2], bounds[1::2], strict=True):
        if high - low < 0.2:
            continue
        at = np.unique(np.concatenate(([low, high], along[(along > low) & (along < high)])))
        parts.append(np.c_[np.interp(at, along, points[:, 0]), np.interp(at, along, points[:, 1])])
    return parts


def rough(chance: np.random.Generator, length: float, sigma: float) -> NDArray[np.float32]:
    """How far a flank is off, along a stroke: smooth over about a millimetre."""
    mixed = np.zeros(int(length * _ROUGH_PX) + 8, np.float32)
    for smooth, share in ((0.5 * _ROUGH_PX, 0.8), (8 * _ROUGH_PX, 0.6)):
        room = int(4 * smooth)
        noise = chance.normal(0, 1, (1, len(mixed) + 2 * room)).astype(np.float32)
        # White noise loses this much of its deviation under a Gaussian.
        kept = 1 / np.sqrt(2 * smooth * np.sqrt(np.pi))
        soft = cv2.GaussianBlur(noise, (0, 0), smooth)[0, room : room + len(mixed)]
        mixed += np.float32(share / kept) * soft
    return np.asarray(mixed * sigma, np.float32)


class Layers:
    """One picture of coverage a colour, over a rectangle of the table.

    Args:
        corner: Its upper left, millimetres.
        size: Width and height, millimetres.
    """

    def __init__(self, corner: tuple[float, float], size: tuple[float, float]) -> None:
        self.corner = corner
        self.shape = int(np.ceil(size[1] * INK_PX)) + 1, int(np.ceil(size[0] * INK_PX)) + 1
        self.of: dict[tuple[float, float, float], NDArray[np.uint8]] = {}

    def to_pixels(self, points: Array) -> Array:
        """Pixels of points of the table."""
        return np.stack(
            (
                (points[..., 0] - self.corner[0]) * INK_PX,
                (self.corner[1] - points[..., 1]) * INK_PX,
            ),
            axis=-1,
        )

    def draw(self, line: MarkerLine, chance: np.random.Generator) -> None:
        """Lay a line down."""
        layer = self.of.setdefault(line.colour, np.zeros(self.shape, np.uint8))
        bleed = chance.uniform(0.1, 0.25) * INK_PX
        sigma = chance.uniform(0.02, 0.06) * INK_PX
        for stroke in strokes(line):
            length = float(distances(stroke)[-1])
            flanks = [rough(chance, length, sigma) for _ in range(2)]
            # What a hand does to the nib's width on the way, the same on both flanks.
            press = rough(chance, length, 0.02 * line.width * INK_PX)
            dark = np.clip(0.96 + rough(chance, length, 0.015), 0.85, 1)
            self._stroke(layer, stroke, line.width / 2 * INK_PX, flanks, press, dark, bleed)

    def _stroke(
        self,
        layer: NDArray[np.uint8],
        stroke: Array,
        half: float,
        flanks: list[NDArray[np.float32]],
        press: NDArray[np.float32],
        dark: NDArray[np.float32],
        bleed: float,
    ) -> None:
        px = self.to_pixels(stroke)
        along = distances(stroke)
        reach = half * 1.3 + bleed + 2
        for a, b, low, high in zip(px, px[1:], along, along[1:], strict=False):
            left, top = np.floor(np.minimum(a, b) - reach).astype(int).clip(0)
            right, bottom = np.ceil(np.maximum(a, b) + reach).astype(int) + 1
            patch = layer[top:bottom, left:right]
            if not patch.size:
                continue
            x = np.arange(left, left + patch.shape[1], dtype=np.float32) - np.float32(a[0])
            y = np.arange(top, top + patch.shape[0], dtype=np.float32)[:, None] - np.float32(a[1])
            dx, dy = (b - a).astype(np.float32)
            share = np.clip((x * dx + y * dy) / max(dx * dx + dy * dy, 1e-9), 0, 1)
            away = np.hypot(x - share * dx, y - share * dy)
            at = ((low + share * (high - low)) * _ROUGH_PX).astype(np.int32)
            edge = half + press[at] + np.where(x * dy > y * dx, flanks[0][at], flanks[1][at])
            cover = np.clip(0.5 + (edge - away) / bleed, 0, 1) * dark[at] * 255
            np.maximum(patch, cover.astype(np.uint8), out=patch)
