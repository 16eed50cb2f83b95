"""What floor, paper and shadows look like, as pictures of the table in linear light."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from tests.photographs.ink import INK_PX, Layers
from tests.photographs.scene import Array, CardOnTable, Colour, Floor, Scene

Float = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Sheet:
    """A picture of a part of the table, row 0 above.

    Args:
        pixels: One value or three for each.
        left: x of the centre of the first column, millimetres.
        top: y of the centre of row 0.
        scale: Pixels to the millimetre.
    """

    pixels: NDArray[np.float32] | NDArray[np.uint8] = field(repr=False)
    left: float
    top: float
    scale: float

    def at(self, x: Float, y: Float, border: int = cv2.BORDER_REPLICATE) -> Float:
        """Bilinear values at points of the table."""
        columns, rows = (x - self.left) * self.scale, (self.top - y) * self.scale
        values = cv2.remap(
            self.pixels,
            columns.astype(np.float32),
            rows.astype(np.float32),
            cv2.INTER_LINEAR,
            borderMode=border,
            borderValue=0,
        )
        return np.asarray(values, np.float32)


def cloud(chance: np.random.Generator, shape: tuple[int, int], across: float, down: float) -> Float:
    """Soft noise of standard deviation 1 that goes on over its edges.

    Args:
        chance: Where it comes from.
        shape: Rows and columns.
        across: How soft along the rows, pixels.
        down: Likewise along the columns.
    """
    # Drawn coarsely where it is soft, and enlarged.
    step_x, step_y = max(1, int(across / 3)), max(1, int(down / 3))
    small = max(2, shape[0] // step_y), max(2, shape[1] // step_x)
    noise = chance.standard_normal(small, dtype=np.float32)
    soft_x, soft_y = max(across / step_x, 0.3), max(down / step_y, 0.3)
    pad_y, pad_x = int(4 * soft_y) + 1, int(4 * soft_x) + 1
    noise = np.pad(noise, ((pad_y, pad_y), (pad_x, pad_x)), mode="wrap")
    noise = cv2.GaussianBlur(noise, (0, 0), sigmaX=soft_x, sigmaY=soft_y)
    noise = noise[pad_y : pad_y + small[0], pad_x : pad_x + small[1]]
    noise = noise / (noise.std() + 1e-9)
    return np.asarray(cv2.resize(noise, shape[::-1], interpolation=cv2.INTER_LINEAR), np.float32)


#: For each colour what it covers.
Inks = dict[Colour, Sheet]

#: Of the floor: after how many millimetres it comes again, and pixels to the millimetre.
_AGAIN, _FLOOR_PX = 1000, 2


def floor_sheet(floor: Floor, chance: np.random.Generator) -> Float:
    """A piece of floor that comes again after a metre, `_FLOOR_PX` pixels to the millimetre.

    Photos of one seed have one floor: it is kept, and `chance` goes on as if it had been made.
    """
    key = floor.kind, floor.colour, floor.pitch, str(chance.bit_generator.state)
    if key not in _KEPT:
        _KEPT.clear()
        sheet = _floor_sheet(floor, chance)
        _KEPT[key] = sheet, chance.bit_generator.state
    sheet, chance.bit_generator.state = _KEPT[key]
    return sheet


_KEPT: dict[tuple[str, Colour, float, str], tuple[Float, Mapping[str, Any]]] = {}


def _floor_sheet(floor: Floor, chance: np.random.Generator) -> Float:
    side = _AGAIN * _FLOOR_PX
    tone = 1 + 0.05 * cloud(chance, (side, side), 60, 60)
    seams = np.zeros((side, side), np.float32)
    pitch = round(floor.pitch * _FLOOR_PX)
    if floor.kind == "boards":
        tone += 0.05 * cloud(chance, (side, side), 150, 2) + 0.04 * cloud(
            chance, (side, side), 40, 1
        )
        for top in range(0, side, pitch):
            tone[top : top + pitch] *= chance.uniform(0.82, 1.15)
            end = int(chance.integers(0, side))
            seams[top : top + pitch, end : end + 3] = 1
            seams[top : top + int(chance.integers(2, 5))] = 1
    elif floor.kind == "tiles":
        tone += 0.04 * cloud(chance, (side, side), 8, 8) + 0.03 * cloud(chance, (side, side), 1, 1)
        for at in range(0, side, pitch):
            seams[at : at + 6] = seams[:, at : at + 6] = 1
            for other in range(0, side, pitch):
                tone[at : at + pitch, other : other + pitch] *= chance.uniform(0.93, 1.05)
    else:
        tone += 0.08 * cloud(chance, (side, side), 1.2, 1.2)
    seams = cv2.GaussianBlur(seams, (0, 0), 0.8)
    dark = 0.25 if floor.kind == "boards" else chance.choice([0.5, 1.5])
    shade = tone * (1 + (dark - 1) * seams)
    return np.asarray(shade[..., None] * np.array(floor.colour, np.float32), np.float32)


def floor_at(sheet: Float, floor: Floor, x: Float, y: Float) -> Float:
    """The floor at points of the table."""
    c, s = np.cos(np.radians(floor.turn)), np.sin(np.radians(floor.turn))
    side = np.float32(_AGAIN * _FLOOR_PX)
    columns = np.mod((c * x + s * y) * _FLOOR_PX, side).astype(np.float32)
    rows = np.mod((c * y - s * x) * _FLOOR_PX, side).astype(np.float32)
    wrap = cv2.BORDER_WRAP
    return np.asarray(
        cv2.remap(sheet, columns, rows, cv2.INTER_LINEAR, borderMode=wrap), np.float32
    )


def _canvas(points: Array, margin: float, scale: float) -> tuple[float, float, tuple[int, int]]:
    (left, low), (right, high) = points.min(axis=0) - margin, points.max(axis=0) + margin
    return left, high, (int((high - low) * scale) + 1, int((right - left) * scale) + 1)


def _filled(shape: tuple[int, int], polygon: Array, left: float, top: float, scale: float) -> Float:
    mask = np.zeros(shape, np.uint8)
    px = np.c_[(polygon[:, 0] - left) * scale, (top - polygon[:, 1]) * scale]
    fixed = np.round(px * 256).astype(np.int32)
    cv2.fillPoly(mask, [fixed], 255, cv2.LINE_AA, 8)
    return np.asarray(mask.astype(np.float32) / 255, np.float32)


def torn(paper: Array, ragged: float, chance: np.random.Generator) -> Array:
    """The paper's edge as scissors leave it."""
    out = []
    for a, b in zip(paper, np.roll(paper, -1, axis=0), strict=True):
        length = float(np.hypot(*(b - a)))
        share = np.linspace(0, 1, max(2, int(length)), endpoint=False)
        slow = cv2.GaussianBlur(chance.normal(0, 1, (1, len(share))), (0, 0), 25)[0]
        fast = cv2.GaussianBlur(chance.normal(0, 1, (1, len(share))), (0, 0), 1)[0]
        off = ragged * (slow / (slow.std() + 1e-9) + 0.3 * fast)
        off *= np.minimum(1, 20 * np.minimum(share, 1 - share))
        across = np.array([-(b - a)[1], (b - a)[0]]) / length
        out.append(a + share[:, None] * (b - a) + off[:, None] * across)
    return np.vstack(out)


def paper_sheets(
    scene: Scene, light: tuple[float, float], chance: np.random.Generator
) -> tuple[Sheet, Sheet, Array]:
    """The paper's colour and its mask, and its edge.

    Args:
        scene: What lies there.
        light: Slopes towards this direction are brighter.
        chance: Where fibres come from.
    """
    edge = torn(scene.paper, scene.ragged, chance)
    scale = 2.0
    left, top, shape = _canvas(edge, 15, scale)
    tone = 1 + 0.012 * cloud(chance, shape, 120, 120) + 0.012 * cloud(chance, shape, 0.7, 0.7)
    tone += 0.008 * cloud(chance, shape, 12, 3)
    rows, columns = np.mgrid[0 : shape[0] : 4, 0 : shape[1] : 4]
    slope = scene.waves.slope(left + columns / scale, top - rows / scale)
    shade = (1 + 0.9 * (slope @ np.array(light))).astype(np.float32)
    tone *= cv2.resize(shade, shape[::-1], interpolation=cv2.INTER_LINEAR)
    for crease in scene.creases:
        line = np.zeros(shape, np.uint8)
        px = np.c_[(crease[:, 0] - left) * scale, (top - crease[:, 1]) * scale]
        cv2.polylines(line, [np.round(px * 256).astype(np.int32)], False, 255, 1, cv2.LINE_AA, 8)
        thin = cv2.GaussianBlur(line.astype(np.float32) / 255, (0, 0), 0.9)
        wide = cv2.GaussianBlur(line.astype(np.float32) / 255, (0, 0), 6)
        tone *= 1 - 0.16 * thin + 0.35 * wide
    colour = tone[..., None] * np.array(scene.tint, np.float32)
    mask_px = 4.0
    mask_left, mask_top, mask_shape = _canvas(edge, 4, mask_px)
    mask = _filled(mask_shape, edge, mask_left, mask_top, mask_px)
    return (
        Sheet(np.asarray(colour, np.float32), left, top, scale),
        Sheet(mask, mask_left, mask_top, mask_px),
        edge,
    )


def shadows(
    scene: Scene,
    edge: Array,
    outlines: Sequence[tuple[CardOnTable, Array]],
    light: tuple[float, float],
    chance: np.random.Generator,
) -> tuple[Sheet, Sheet]:
    """How much light the floor and the paper lose to what lies on them.

    Args:
        scene: What lies there.
        edge: Of the paper.
        outlines: Of the cards.
        light: Where it comes from, on the table.
        chance: How soft the shadows are.
    """
    scale = 1.0
    left, top, shape = _canvas(np.vstack([edge, *(outline for _, outline in outlines)]), 60, scale)
    soft = float(chance.uniform(1.5, 4))
    away = -np.array(light) / (np.hypot(*light) + 1e-9)

    def cast(outline: Array, height: float, depth: float) -> Float:
        moved = outline + away * height
        dark = _filled(shape, moved, left, top, scale)
        return np.asarray(1 - depth * cv2.GaussianBlur(dark, (0, 0), soft), np.float32)

    on_paper = np.ones(shape, np.float32)
    for card, outline in outlines:
        on_paper *= cast(outline, 0.6 + 1.5 * card.lift, 0.3)
    on_floor = on_paper * cast(edge, 0.8, float(chance.uniform(0.15, 0.4)))
    return Sheet(on_floor, left, top, scale), Sheet(on_paper, left, top, scale)


def drawn(scene: Scene, chance: np.random.Generator) -> Inks:
    """The ink on the paper, a picture of coverage (0 to 255) for each colour."""
    low, high = scene.paper.min(axis=0), scene.paper.max(axis=0)
    layers = Layers(
        (float(low[0]), float(high[1])), (float(high[0] - low[0]), float(high[1] - low[1]))
    )
    for line in scene.lines:
        layers.draw(line, chance)
    left, top = layers.corner
    return {colour: Sheet(layer, left, top, INK_PX) for colour, layer in layers.of.items()}


def printed(scene: Scene) -> Sheet | None:
    """What a printer put on the paper, 0 to 255; past its edges the paper is bare."""
    if scene.printed is None:
        return None
    half = 0.5 / scene.printed.px_per_mm
    bare = cv2.copyMakeBorder(scene.printed.light, 1, 1, 1, 1, cv2.BORDER_CONSTANT, value=(255,))
    return Sheet(
        np.asarray(bare, np.uint8),
        scene.printed.left - half,
        scene.printed.top + half,
        scene.printed.px_per_mm,
    )
