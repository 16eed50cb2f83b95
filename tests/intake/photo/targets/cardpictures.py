"""Small photos of cards, taken through a homography that is known.

Cards come from OpenCV's own drawing of its boards; they are drawn three times as large, averaged,
blurred, lit from one side and made noisy.
"""

from __future__ import annotations

import cv2
import numpy as np

from tests.intake.photo.camera.cardpoints import nominal_corners

_PER_MM = 8
_RIM = 6.0


def face(number: int) -> np.ndarray:
    """A card as it is cut out, with its white rim, 8 pixels a millimetre, row 0 above."""
    marks = np.arange(20, dtype=np.int32) + (number - 1) * 20
    dictionary = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_5X5_1000)
    board = cv2.aruco.CharucoBoard((8, 5), 21.0, 15.0, dictionary, marks)
    inside = board.generateImage((168 * _PER_MM, 105 * _PER_MM), marginSize=0)
    rim = int(_RIM * _PER_MM)
    return cv2.copyMakeBorder(inside, rim, rim, rim, rim, cv2.BORDER_CONSTANT, value=255)


def placed(
    x: float, y: float, turn: float, per_mm: float, lean: tuple[float, float] = (0, 0)
) -> np.ndarray:
    """Homography from a card's frame (y up) to pixels; its middle is at x, y."""
    c, s = np.cos(turn) * per_mm, np.sin(turn) * per_mm
    flat = np.array([[c, -s, 0], [-s, -c, 0], [0, 0, 1.0]])
    tilt = np.array([[1, 0, 0], [0, 0.9, 0], [lean[0], lean[1], 1.0]])
    middle = np.array([[1, 0, -84], [0, 1, -52.5], [0, 0, 1.0]])
    return np.array([[1, 0, x], [0, 1, y], [0, 0, 1.0]]) @ tilt @ flat @ middle


def through(matrix: np.ndarray, points: np.ndarray) -> np.ndarray:
    out = np.column_stack((points, np.ones(len(points)))) @ matrix.T
    return out[:, :2] / out[:, 2:]


def truth(matrix: np.ndarray) -> np.ndarray:
    """Where the inner corners of a card are, in pixels."""
    return through(matrix, nominal_corners())


def picture(
    cards: list[tuple[int, np.ndarray]],
    size: tuple[int, int] = (1500, 1100),
    blur: float = 0.8,
    noise: float = 2.0,
    light: float = 0.9,
    cast: tuple[float, float, float] = (1.0, 1.0, 1.0),
    seed: int = 1,
) -> np.ndarray:
    """Red, green and blue of a photo; `light` is that of white paper at the brighter side."""
    wide, high = size
    table = np.full((high, wide), 0.35, np.float32)
    for number, matrix in cards:
        drawn = face(number)
        edge = _PER_MM * _RIM - 0.5
        on_card = np.array(
            [[1 / _PER_MM, 0, -edge / _PER_MM], [0, -1 / _PER_MM, 105 + edge / _PER_MM], [0, 0, 1]]
        )
        # Only the part of the picture with the card.
        rim = through(matrix, np.array([(-7, -7), (175, -7), (175, 112), (-7, 112)]))
        x0, y0 = np.maximum(np.floor(rim.min(axis=0)), 0).astype(int)
        x1, y1 = np.minimum(np.ceil(rim.max(axis=0)) + 1, size).astype(int)
        # Three pixels for one, whose middles are at -1/3, 0 and 1/3 of it.
        finer = np.array([[3, 0, 1 - 3 * x0], [0, 3, 1 - 3 * y0], [0, 0, 1.0]]) @ matrix
        wanted, big = finer @ on_card, (3 * int(x1 - x0), 3 * int(y1 - y0))
        own = (int(x1 - x0), int(y1 - y0))
        ink = cv2.warpPerspective(drawn, wanted, big, flags=cv2.INTER_LINEAR)
        there = cv2.warpPerspective(np.full_like(drawn, 255), wanted, big, flags=cv2.INTER_LINEAR)
        ink = cv2.resize(ink, own, interpolation=cv2.INTER_AREA).astype(np.float32) / 255
        there = cv2.resize(there, own, interpolation=cv2.INTER_AREA).astype(np.float32) / 255
        part = table[y0:y1, x0:x1]
        part[:] = part * (1 - there) + ink * 0.92 + there * 0.04
    table = cv2.GaussianBlur(table, (0, 0), blur)
    table *= np.linspace(0.5, 1, wide, dtype=np.float32)[None] * light
    rng = np.random.default_rng(seed)
    out = np.empty((high, wide, 3), np.uint8)
    for channel, strength in enumerate(cast):
        tone = 255 * np.clip(table * strength, 0, 1) ** (1 / 2.2)
        tone += rng.normal(0, noise, tone.shape)
        out[:, :, channel] = np.clip(np.rint(tone), 0, 255)
    return out
