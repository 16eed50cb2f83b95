"""Draws a table as it would look from straight above: by distance to the line, and covered area."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import pairwise
from math import cos, sin

import numpy as np

from tiler.intake.photo.model import Flattened, Lying, Photo, Solved


@dataclass
class DrawnTable:
    """A picture in the making; millimetres, y up, lower left corner (0, 0)."""

    width: float
    height: float
    pitch: float = 0.25
    paper: tuple[float, float, float] = (0.86, 0.83, 0.74)
    seed: int = 1
    cards: list[Lying] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.columns, self.rows = round(self.width / self.pitch), round(self.height / self.pitch)
        self.light = np.empty((self.rows, self.columns, 3), np.float32)
        self.light[:] = self.paper

    def _box(self, points: np.ndarray, more: float) -> tuple[slice, slice, np.ndarray, np.ndarray]:
        low, high = points.min(axis=0) - more, points.max(axis=0) + more
        c0, c1 = max(0, int(low[0] / self.pitch)), min(self.columns, int(high[0] / self.pitch) + 1)
        top = self.height - high[1]
        r0 = max(0, int(top / self.pitch))
        r1 = min(self.rows, int((self.height - low[1]) / self.pitch) + 1)
        x = (np.arange(c0, c1) + 0.5) * self.pitch
        y = self.height - (np.arange(r0, r1) + 0.5) * self.pitch
        return slice(r0, r1), slice(c0, c1), x[None, :].astype("f4"), y[:, None].astype("f4")

    def line(
        self,
        points: np.ndarray | list[tuple[float, float]],
        width: float = 4.0,
        colour: tuple[float, float, float] = (0.06, 0.06, 0.07),
        closed: bool = False,
        strength: float = 1.0,
    ) -> None:
        """A round nib drawn along a line."""
        way = np.asarray(points, float)
        if closed:
            way = np.concatenate((way, way[:1]))
        cover = np.zeros((self.rows, self.columns), np.float32)
        for a, b in pairwise(way):
            rows, columns, x, y = self._box(np.array([a, b]), width / 2 + 1)
            along = b - a
            length = max(float(along @ along), 1e-12)
            t = np.clip(((x - a[0]) * along[0] + (y - a[1]) * along[1]) / length, 0, 1)
            away = np.hypot(x - a[0] - t * along[0], y - a[1] - t * along[1])
            new = np.clip(0.5 - (away - width / 2) / self.pitch, 0, 1)
            cover[rows, columns] = np.maximum(cover[rows, columns], new)
        cover *= strength
        self.light *= 1 - cover[..., None] * (1 - np.asarray(colour, np.float32))

    def floor(
        self,
        sheet: tuple[float, float, float, float],
        colour: tuple[float, float, float] = (0.5, 0.36, 0.25),
        seams: float = 110.0,
        shadow: float = 0.25,
    ) -> None:
        """All but the sheet (left, lower, right, upper) becomes a floor of boards."""
        x = (np.arange(self.columns) + 0.5) * self.pitch
        y = self.height - (np.arange(self.rows) + 0.5) * self.pitch
        out_x = np.maximum(sheet[0] - x, x - sheet[2])
        out_y = np.maximum(sheet[1] - y, y - sheet[3])
        away = np.maximum(out_x[None, :], out_y[:, None])
        rng = np.random.default_rng(self.seed + 7)
        board = (y // seams).astype(int)
        shade = rng.uniform(0.85, 1.1, board.max() + 2)[board]
        grain = np.repeat(rng.normal(0, 0.03, (self.rows, self.columns // 80 + 1)), 80, axis=1)
        ground = np.asarray(colour)[None, None, :] * (
            shade[:, None, None] * (1 + grain[:, : self.columns, None])
        )
        seam = (np.abs((y % seams) - seams / 2) < 1.2)[:, None]
        ground = np.where(seam[..., None], ground * 0.25, ground)
        ground *= 1 - shadow * np.exp(-np.maximum(away, 0) / 3)[..., None]
        self.light = np.where(away[..., None] > 0, ground, self.light).astype(np.float32)

    def card(self, number: int, x: float, y: float, turn: float = 0.0) -> None:
        """A white card with dark squares."""
        self.cards.append(Lying(number, x, y, turn, 0.05))
        px = (np.arange(self.columns) + 0.5) * self.pitch - x
        py = self.height - (np.arange(self.rows) + 0.5) * self.pitch - y
        u = px[None, :] * cos(turn) + py[:, None] * sin(turn)
        v = -px[None, :] * sin(turn) + py[:, None] * cos(turn)
        on = (u > -6) & (u < 174) & (v > -6) & (v < 111)
        inner = (u > 0) & (u < 168) & (v > 0) & (v < 105)
        dark = inner & ((np.floor(u / 21) + np.floor(v / 21)) % 2 == 0)
        self.light[on] = 0.9
        self.light[dark] = 0.05

    def flattened(
        self,
        noise: float = 0.015,
        blur: float = 0.3,
        uneven: float = 0.35,
        seen: np.ndarray | None = None,
        jpeg: int | None = 85,
    ) -> Flattened:
        """The picture: blur (mm), light that falls off to one side, noise, JPEG."""
        import cv2

        rng = np.random.default_rng(self.seed)
        x = np.linspace(0, 1, self.columns, dtype="f4")[None, :]
        y = np.linspace(0, 1, self.rows, dtype="f4")[:, None]
        fall = 1 - uneven * (0.7 * x + 0.3 * (y - 0.4) ** 2)
        light = self.light * fall[..., None]
        if blur:
            light = cv2.GaussianBlur(light, (0, 0), blur / self.pitch)
        value = np.clip(light, 0, 1) ** (1 / 2.2)
        value += rng.normal(0, noise, value.shape).astype("f4")
        pixels = (np.clip(value, 0, 1) * 255 + 0.5).astype(np.uint8)
        if jpeg:
            _, packed = cv2.imencode(".jpg", pixels[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, jpeg])
            pixels = cv2.imdecode(packed, cv2.IMREAD_COLOR)[..., ::-1].copy()
        if seen is None:
            seen = np.ones(pixels.shape[:2], bool)
        pixels[~seen] = 0
        return Flattened(
            pixels,
            seen,
            self.pitch / 2,
            self.height - self.pitch / 2,
            self.pitch,
            np.zeros(pixels.shape[:2], np.uint8),
        )

    def solved(self) -> Solved:
        """As if a solver had found everything."""
        return Solved(
            (Above(self.height, self.pitch),),
            tuple(self.cards),
            (1.0, 1.0),
            lambda points: np.full(len(points), 0.05),
        )

    def photos(self, flattened: Flattened) -> tuple[Photo, ...]:
        """The one photo that it was made of."""
        return (Photo("table.jpg", flattened.pixels),)


@dataclass(frozen=True)
class Above:
    """A camera without a lens: a turn, a scale and a shift."""

    height: float
    pitch: float
    turn: float = 0.0

    @property
    def centre(self) -> None:
        return None

    def to_photo(self, on_table: np.ndarray) -> np.ndarray:
        c, s = cos(self.turn), sin(self.turn)
        flat = on_table @ np.array([[c, s], [-s, c]])
        return np.column_stack((flat[:, 0], self.height - flat[:, 1])) / self.pitch - 0.5

    def to_table(self, in_photo: np.ndarray) -> np.ndarray:
        flat = (in_photo + 0.5) * self.pitch
        flat = np.column_stack((flat[:, 0], self.height - flat[:, 1]))
        c, s = cos(self.turn), sin(self.turn)
        return flat @ np.array([[c, -s], [s, c]])
