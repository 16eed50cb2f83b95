"""The light that a picture's pixels get from the table, before the sensor."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from typing import Protocol

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.photographs.cardface import FINE, ROOM, card_face, reduced
from tests.photographs.light import Light
from tests.photographs.materials import (
    Float,
    Inks,
    Sheet,
    drawn,
    floor_at,
    floor_sheet,
    paper_sheets,
    printed,
    shadows,
)
from tests.photographs.scene import Array, CardOnTable, Scene

#: Rows that are worked on at once, and samples a pixel, each way, where it matters.
_BAND, _FINER = 192, 2
#: Light that comes back from a card's paper and from its toner.
_WHITE, _TONER = np.array([0.84, 0.85, 0.86], np.float32), np.float32(0.035)


class Eye(Protocol):
    """What a picture is taken with."""

    @property
    def width(self) -> int:
        """Pixels across."""
        ...

    @property
    def height(self) -> int:
        """Pixels down."""
        ...

    def rays(self, columns: Array, rows: Array) -> tuple[Array, Array]:
        """Starts and directions of the rays through a grid of pixels."""
        ...

    def project(self, world: Array) -> Array:
        """Pixels of points."""
        ...


@dataclass(frozen=True, eq=False)
class Laid:
    """A card with what it lies on taken into account.

    Args:
        card: The card.
        plane: Height at the table's origin, and its slopes along x and y.
        outline: Its cut edge on the table, (4, 2).
        cut: How far from its squares it was cut: left, right, below, above, nominal millimetres.
    """

    card: CardOnTable
    plane: tuple[float, float, float]
    outline: Array
    cut: tuple[float, float, float, float]

    def height(self, x: Array, y: Array) -> Array:
        """Of its surface over the table."""
        z, along_x, along_y = self.plane
        flat = z + along_x * x + along_y * y
        if not self.card.lift:
            return flat
        u = self.card.to_card(np.stack((x, y), axis=-1))[..., 0]
        return flat + self.card.stands(u, card_face(self.card.number).width)


def inside(polygon: Array, points: Array) -> NDArray[np.bool_]:
    """Which points lie in a polygon (even-odd rule)."""
    x, y = points[:, 0:1], points[:, 1:2]
    a, b = polygon, np.roll(polygon, -1, axis=0)
    spans = (a[:, 1] > y) != (b[:, 1] > y)
    with np.errstate(divide="ignore", invalid="ignore"):
        at = a[:, 0] + (y - a[:, 1]) / (b[:, 1] - a[:, 1]) * (b[:, 0] - a[:, 0])
    return np.asarray((spans & (x < at)).sum(axis=1) % 2 == 1)


def laid(scene: Scene, card: CardOnTable, slack: Array) -> Laid:
    """A card on the floor, on the paper or on both: a stiff plane on what is below it.

    Args:
        scene: What lies there.
        card: Which card.
        slack: How far outside its border each side was cut, millimetres, (4,).
    """
    face = card_face(card.number)
    left, right, low, high = face.border + slack
    w, h = face.width, face.height
    corners = np.array([(-left, -low), (w + right, -low), (w + right, h + high), (-left, h + high)])
    u, v = np.meshgrid(np.linspace(0, w, 9), np.linspace(0, h, 7))
    below = card.to_table(np.c_[u.ravel(), v.ravel()])
    on_paper = inside(scene.paper, below)
    z = np.where(on_paper, scene.waves.at(below[:, 0], below[:, 1]), 0.0)
    plane, *_ = np.linalg.lstsq(np.c_[np.ones(len(z)), below], z, rcond=None)
    a, b, c = (float(value) for value in plane)
    return Laid(card, (a, b, c), card.to_table(corners), (left, right, low, high))


def met(
    start: Array, sight: Array, height: Callable[[Array, Array], Array] | None
) -> tuple[Array, Array]:
    """Where rays meet a surface; None for the table itself."""
    down = np.minimum(sight[..., 2], -0.03)
    along = -start[..., 2] / down
    x, y = start[..., 0] + along * sight[..., 0], start[..., 1] + along * sight[..., 1]
    for _ in range(5 if height else 0):
        assert height is not None
        along = (height(x, y) - start[..., 2]) / down
        x, y = start[..., 0] + along * sight[..., 0], start[..., 1] + along * sight[..., 1]
    return x, y


@dataclass(frozen=True)
class Window:
    """A rectangle of pixels whose rays are known at every second one."""

    left: int
    top: int
    width: int
    height: int

    def grid(self, eye: Eye) -> tuple[Array, Array]:
        """Rays at every second pixel, with room on all sides."""
        columns = self.left - 3.5 + 2 * np.arange(self.width // 2 + 5)
        rows = self.top - 3.5 + 2 * np.arange(self.height // 2 + 5)
        start, sight = eye.rays(columns, rows)
        return np.broadcast_to(start, sight.shape), sight

    def fine(self, values: Array, finer: int = 1) -> Float:
        """Values of the grid at `finer` samples a pixel, each way."""
        big = cv2.resize(
            values.astype(np.float32),
            None,
            fx=2 * finer,
            fy=2 * finer,
            interpolation=cv2.INTER_LINEAR,
        )
        at = 4 * finer
        return np.asarray(
            big[at : at + self.height * finer, at : at + self.width * finer], np.float32
        )

    def coarse(self, values: Float) -> Float:
        """The mean of the samples of each pixel."""
        size = (self.width, self.height)
        return np.asarray(cv2.resize(values, size, interpolation=cv2.INTER_AREA), np.float32)

    def within(self, pixels: Array, room: int = 3) -> Window | None:
        """The part of it that holds some pixels."""
        low = np.floor(pixels.min(axis=0)).astype(int) - room
        high = np.ceil(pixels.max(axis=0)).astype(int) + room
        left, top = max(self.left, int(low[0])), max(self.top, int(low[1]))
        right = min(self.left + self.width, int(high[0]))
        bottom = min(self.top + self.height, int(high[1]))
        if right <= left or bottom <= top:
            return None
        return Window(left, top, right - left, bottom - top)


def density(eye: Eye, outline: Array) -> float:
    """Pixels to the millimetre about a card, where they are densest."""
    pixels = eye.project(outline)
    px = np.hypot(*(pixels - np.roll(pixels, 1, axis=0)).T)
    mm = np.hypot(*(outline - np.roll(outline, 1, axis=0)).T)
    return float((px / mm).max())


@dataclass(frozen=True, eq=False)
class Surfaces:
    """What can be seen, before anybody looks; pictures of it are not to be changed."""

    floor: Float
    paper: Sheet
    mask: Sheet
    edge: Array
    cards: tuple[Laid, ...]
    floor_shade: Sheet
    paper_shade: Sheet
    inks: Inks
    toner: Sheet | None


# Strips of one scan show the same table.
@lru_cache(maxsize=1)
def surfaces(scene: Scene, towards: tuple[float, float], seed: int) -> Surfaces:
    """Everything on the table.

    Args:
        scene: What lies there.
        towards: Where the light comes from, on the table.
        seed: Of fibres, grain and rough edges.
    """
    chance = np.random.default_rng([seed, 73])
    floor = floor_sheet(scene.floor, chance)
    paper, mask, edge = paper_sheets(scene, towards, chance)
    slack = chance.uniform(-0.4, 0.8, (len(scene.cards), 4))
    cards = tuple(laid(scene, card, some) for card, some in zip(scene.cards, slack, strict=True))
    outlines = [(each.card, each.outline) for each in cards]
    floor_shade, paper_shade = shadows(scene, edge, outlines, towards, chance)
    inks = drawn(scene, chance)
    return Surfaces(floor, paper, mask, edge, cards, floor_shade, paper_shade, inks, printed(scene))


def seen(scene: Scene, eye: Eye, light: Light, seed: int) -> NDArray[np.float32]:
    """Linear red, green and blue of every pixel.

    Args:
        scene: What lies there.
        eye: What it is seen with.
        light: What lights it.
        seed: Of fibres, grain and rough edges.
    """
    there = surfaces(scene, light.towards, seed)
    floor, paper, mask, edge = there.floor, there.paper, there.mask, there.edge
    floor_shade, paper_shade = there.floor_shade, there.paper_shade
    inks, toner, cards = there.inks, there.toner, there.cards
    picture = np.empty((eye.height, eye.width, 3), np.float32)
    paper_px = _outline_px(eye, edge, scene.waves.at)
    for top in range(0, eye.height, _BAND):
        band = Window(0, top, eye.width, min(_BAND, eye.height - top))
        start, sight = band.grid(eye)
        x, y = met(start, sight, None)
        fx, fy = band.fine(x), band.fine(y)
        here = floor_at(floor, scene.floor, fx, fy) * floor_shade.at(fx, fy)[..., None]
        part = band.within(paper_px)
        if part:
            start, sight = part.grid(eye)
            px, py = met(start, sight, scene.waves.at)
            fx, fy = part.fine(px), part.fine(py)
            colour = paper.at(fx, fy) * paper_shade.at(fx, fy)[..., None]
            sx, sy = part.fine(px, _FINER), part.fine(py, _FINER)
            if toner:
                bright = part.coarse(toner.at(sx, sy))[..., None] / 255
                colour *= _TONER + (1 - _TONER) * bright
            for through, layer in inks.items():
                cover = part.coarse(layer.at(sx, sy, cv2.BORDER_CONSTANT))[..., None] / 255
                colour *= 1 - cover * (1 - np.array(through, np.float32))
            share = part.coarse(mask.at(sx, sy, cv2.BORDER_CONSTANT))[..., None]
            spot = here[
                part.top - top : part.top - top + part.height, part.left : part.left + part.width
            ]
            spot += share * (colour - spot)
        for each in cards:
            part = band.within(_outline_px(eye, each.outline, each.height))
            if part:
                share_, value = _card(each, part, eye)
                spot = here[
                    part.top - top : part.top - top + part.height,
                    part.left : part.left + part.width,
                ]
                spot *= 1 - share_[..., None]
                spot += value[..., None] * _WHITE
        here *= band.fine(light.on(x, y))
        picture[top : top + band.height] = here
    return picture


def _outline_px(eye: Eye, outline: Array, height: Callable[[Array, Array], Array]) -> Array:
    following = np.roll(outline, -1, axis=0)
    share = np.linspace(0, 1, 9)[:, None, None]
    dense = (outline + share * (following - outline)).reshape(-1, 2)
    z = np.asarray(height(dense[:, 0], dense[:, 1]))
    return eye.project(np.c_[dense, z])


def _card(each: Laid, part: Window, eye: Eye) -> tuple[Float, Float]:
    """Share of each pixel that a card covers, and its light times that share."""
    card, face = each.card, card_face(each.card.number)
    start, sight = part.grid(eye)
    x, y = met(start, sight, each.height)
    on_card = card.to_card(np.stack((x, y), axis=-1))
    u, v = part.fine(on_card[..., 0], _FINER), part.fine(on_card[..., 1], _FINER)
    near = density(eye, each.outline) * _FINER
    step = max(1.0, FINE / (1.15 * near))
    texture, across, down = reduced(card.number, round(step * 4) / 4)
    out = face.border + ROOM
    columns = (u + out) * across - 0.5
    rows = (face.height + out - v) * down - 0.5
    bright = cv2.remap(texture, columns, rows, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    left, right, low, high = each.cut
    inner = np.minimum(
        np.minimum(u + left, face.width + right - u), np.minimum(v + low, face.height + high - v)
    )
    share = np.clip(0.5 + inner * near, 0, 1)
    light = share * (_TONER + (1 - _TONER) * bright)
    return part.coarse(share), part.coarse(light)
