"""What a phone makes of the light: lens blur, noise, tone, sharpening, JPEG with EXIF."""

from __future__ import annotations

import io
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from tests.photographs.scene import Colour

_BAND, _ROOM = 512, 16
_STEPS = 4096


@dataclass(frozen=True)
class Taking:
    """How a photo is taken and written.

    Args:
        blur: Of the lens, standard deviation in pixels, in the middle of the picture.
        softer: How much more in its corners.
        shake: Standard deviation of the hand's movement, pixels.
        shake_angle: Its direction, degrees.
        vignette: Share of light lost in the corners.
        white: What the camera makes of white, linear red, green, blue.
        exposure: The brightest hundredth of the picture, of what the sensor holds.
        electrons: That the sensor holds; few for high sensitivity.
        read: Noise without light, of what the sensor holds.
        contrast: Of the S in the tone curve, 0 to 0.5.
        sharpening: Of edges, 0 to 1.
        quality: Of the JPEG.
        fringe: Red and blue pictures larger and smaller than the green one by this share.
        tells_focal: Whether the file tells the focal length.
        orientation: EXIF tag 0x0112: 1, 3, 6 or 8.
    """

    blur: float = 0.7
    softer: float = 0.2
    shake: float = 0.0
    shake_angle: float = 0.0
    vignette: float = 0.25
    white: Colour = (1.0, 1.0, 1.0)
    exposure: float = 0.75
    electrons: float = 4000.0
    read: float = 0.003
    contrast: float = 0.2
    sharpening: float = 0.3
    quality: int = 85
    fringe: float = 0.0
    tells_focal: bool = True
    orientation: int = 1


def random_taking(seed: int) -> Taking:
    """How a careful person's phone takes it."""
    chance = np.random.default_rng([seed, 74])
    blur = float(chance.uniform(0.5, 1.0))
    return Taking(
        blur=blur,
        softer=float(chance.uniform(0, 0.35)),
        shake=float(chance.choice([0.0, chance.uniform(0.2, 0.6)])),
        shake_angle=float(chance.uniform(0, 180)),
        vignette=float(chance.uniform(0.05, 0.45)),
        white=(
            float(chance.uniform(0.88, 1.14)),
            1.0,
            float(chance.uniform(0.82, 1.12)),
        ),
        exposure=float(chance.uniform(0.45, 0.95)),
        electrons=float(np.exp(chance.uniform(np.log(1200), np.log(8000)))),
        read=float(chance.uniform(0.001, 0.005)),
        contrast=float(chance.uniform(0, 0.4)),
        sharpening=float(chance.choice([0.0, chance.uniform(0.1, 0.6)])),
        fringe=float(chance.uniform(-1, 1) * 1e-4),
        tells_focal=bool(chance.random() < 0.6),
        orientation=int(chance.choice([1, 1, 1, 3, 6, 8])),
    )


def tone_curve(contrast: float) -> NDArray[np.float32]:
    """Grey levels (0 to 255) of `_STEPS` even steps of linear light: sRGB, then a mild S."""
    light = np.linspace(0, 1, _STEPS)
    grey = np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)
    grey -= contrast / (2 * np.pi) * np.sin(2 * np.pi * grey)
    return np.asarray(255 * grey, np.float32)


def _shaken(sigma: float, degrees: float) -> NDArray[np.float32]:
    """A kernel for a straight movement of that standard deviation."""
    half = sigma * np.sqrt(3)
    side = 2 * int(np.ceil(half + 1)) + 1
    kernel = np.zeros((side, side), np.float32)
    for at in np.linspace(-half, half, 41):
        x = side // 2 + at * np.cos(np.radians(degrees))
        y = side // 2 + at * np.sin(np.radians(degrees))
        i, j = int(x), int(y)
        fx, fy = x - i, y - j
        kernel[j : j + 2, i : i + 2] += np.outer((1 - fy, fy), (1 - fx, fx))
    return kernel / kernel.sum()


def developed(light: NDArray[np.float32], taking: Taking, seed: int) -> NDArray[np.uint8]:
    """Grey levels of a photo.

    Args:
        light: Linear red, green and blue of each pixel.
        taking: How.
        seed: Of the noise.
    """
    chance = np.random.default_rng([seed, 75])
    high, wide = light.shape[:2]
    gain = taking.exposure / float(np.percentile(light[::16, ::16, 1], 99))
    white = np.float32(gain) * np.array(taking.white, np.float32)
    curve = tone_curve(taking.contrast)
    out = np.empty(light.shape, np.uint8)
    x2 = ((np.arange(wide) - (wide - 1) / 2) ** 2).astype(np.float32)
    reach = np.float32((wide * wide + high * high) / 4)
    kernel = _shaken(taking.shake, taking.shake_angle) if taking.shake else None
    for top in range(0, high, _BAND):
        low, end = max(0, top - _ROOM), min(high, top + _BAND + _ROOM)
        y = np.arange(low, end, dtype=np.float32)[:, None] - np.float32((high - 1) / 2)
        r2 = ((x2 + y * y) / reach)[..., None]
        band = light[low:end]
        if kernel is not None:
            band = cv2.filter2D(band, -1, kernel)
        sharp = cv2.GaussianBlur(band, (0, 0), taking.blur)
        if taking.softer:
            soft = cv2.GaussianBlur(band, (0, 0), taking.blur + taking.softer)
            sharp += (soft - sharp) * r2
        sharp *= (1 - taking.vignette * r2 * (0.6 + 0.4 * r2)) * white
        np.clip(sharp, 0, None, out=sharp)
        noise = chance.standard_normal(sharp.shape, dtype=np.float32)
        noise *= np.sqrt(sharp / np.float32(taking.electrons) + np.float32(taking.read**2))
        sharp += noise
        steps = np.clip(sharp * (_STEPS - 1) + 0.5, 0, _STEPS - 1).astype(np.uint16)
        grey = np.take(curve, steps)
        if taking.sharpening:
            grey += taking.sharpening * (grey - cv2.GaussianBlur(grey, (0, 0), 1.3))
        grey = grey[top - low : top - low + min(_BAND, high - top)]
        out[top : top + len(grey)] = np.clip(grey + 0.5, 0, 255).astype(np.uint8)
    return out


def fringed(light: NDArray[np.float32], fringe: float) -> NDArray[np.float32]:
    """Red a little larger and blue a little smaller than green, about the middle."""
    if not fringe:
        return light
    high, wide = light.shape[:2]
    for channel, by in ((0, fringe), (2, -fringe)):
        x, y = (wide - 1) / 2 * by, (high - 1) / 2 * by
        move = np.array([[1 + by, 0, -x], [0, 1 + by, -y]])
        plane = np.ascontiguousarray(light[..., channel])
        light[..., channel] = cv2.warpAffine(
            plane, move, (wide, high), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
        )
    return light


def jpeg(pixels: NDArray[np.uint8], taking: Taking, focal: float) -> bytes:
    """The file.

    Args:
        pixels: Red, green, blue.
        taking: How it was taken.
        focal: Focal length in pixels. Told as phones do: of a 43.27 mm diagonal, in whole
            millimetres (EXIF 2.3, tag 0xA405).
    """
    high, wide = pixels.shape[:2]
    exif = Image.Exif()
    exif[0x0112] = taking.orientation
    if taking.tells_focal:
        exif.get_ifd(0x8769)[0xA405] = round(focal * 43.2666 / float(np.hypot(wide, high)))
    file = io.BytesIO()
    Image.fromarray(pixels).save(file, "JPEG", quality=taking.quality, exif=exif.tobytes())
    return file.getvalue()
