"""A page as a phone sees it: turned, tilted, a little out of focus, in uneven light, with noise.

The picture is made by OpenCV from the page's own pixels; the projection is that of a pinhole
camera over a plane that is rotated in space (any textbook on computer vision).
"""

from __future__ import annotations

from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

Pixels = NDArray[np.uint8]

#: Degrees that the page is turned in its plane, and tilted out of it.
TURN = TILT = 20.0
#: From the camera to the middle of the page, in widths of the picture.
_AWAY = 2.0
#: Standard deviations of the blur, in pixels, and of the noise, in grey levels of 256.
_BLUR, _NOISE = 0.8, 12.0
#: The light on the darkest side, of 1 on the brightest.
_SHADE = 0.6
#: The grey of the table.
_TABLE = 150


def rendered(pdf: bytes, number: int = 0, dpi: float = 150.0) -> Pixels:
    """A page in grey pixels, by PDFium."""
    from pypdfium2 import PdfDocument

    document = PdfDocument(pdf)
    try:
        return np.array(document[number].render(scale=dpi / 72, grayscale=True).to_pil())
    finally:
        document.close()


def photographed(page: Pixels, seed: int) -> Pixels:
    """The page turned by `TURN` to either side and tilted by `TILT` about any axis in its plane."""
    chance = np.random.default_rng(seed)
    size = np.array(page.shape[::-1], float)
    turn = np.radians(TURN) * (1 if seed % 2 else -1)
    axis = chance.uniform(0, np.pi * 2)
    rotation = about((np.cos(axis), np.sin(axis), 0.0), np.radians(TILT)) @ about((0, 0, 1), turn)
    corners = np.array([[0, 0], [1, 0], [1, 1], [0, 1]]) * size
    space = np.c_[corners - size / 2, np.zeros(4)] @ rotation.T
    away = _AWAY * size.max()
    seen = space[:, :2] * (away / (away + space[:, 2:]))
    seen -= seen.min(axis=0)
    wide, high = (int(length) + 1 for length in seen.max(axis=0))
    matrix = cv2.getPerspectiveTransform(corners.astype(np.float32), seen.astype(np.float32))
    tilted = cv2.warpPerspective(page, matrix, (wide, high), borderValue=_TABLE)
    picture = cv2.GaussianBlur(tilted.astype(np.float32), (0, 0), _BLUR)
    across, up = np.linspace(0, 1, wide, dtype=np.float32), np.linspace(0, 1, high)[:, None]
    share = chance.uniform()
    light = 1 - (1 - _SHADE) * (share * across + (1 - share) * up.astype(np.float32))
    noise = chance.standard_normal(picture.shape, dtype=np.float32) * np.float32(_NOISE)
    return np.clip(picture * light + noise, 0, 255).astype(np.uint8)


def about(axis: tuple[float, float, float], angle: float) -> NDArray[Any]:
    """The rotation about a unit vector (Rodrigues' formula)."""
    x, y, z = axis
    cross = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    return np.eye(3) + np.sin(angle) * cross + (1 - np.cos(angle)) * cross @ cross
