"""How blurred a photo is where nothing in it is known."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

#: Of all places with an edge, the sharpest share that counts.
_SHARPEST = 98.0


def blur_of(grey: NDArray[np.uint8]) -> float:
    """Standard deviation of the blur of the sharpest edges, pixels.

    A step blurred by a Gaussian is, in its middle, as steep as its height over √(2π) times the
    deviation; the height is taken from the brightest and darkest pixel around.
    """
    calm = cv2.GaussianBlur(grey, (0, 0), 1.0).astype(np.float32)
    across = cv2.Sobel(calm, cv2.CV_32F, 1, 0, ksize=3) / 8
    down = cv2.Sobel(calm, cv2.CV_32F, 0, 1, ksize=3) / 8
    steep = np.hypot(across, down)
    around = np.ones((41, 41), np.uint8)
    height = cv2.dilate(calm, around) - cv2.erode(calm, around)
    edges = height > 0.25 * (float(calm.max()) - float(calm.min()) + 1)
    if not edges.any():
        return float("inf")
    blur = height[edges] / (np.sqrt(2 * np.pi) * np.maximum(steep[edges], 1e-3))
    sharpest = float(np.percentile(blur, 100 - _SHARPEST))
    return float(np.sqrt(max(sharpest**2 - 1.0, 0.0)))
