"""The target cards: chequered boards whose squares are known, so that a photo can be measured.

A card is a ChArUco board of OpenCV's objdetect module: black and white squares, and in each white
one a marker that says which card it is and where on it. Lengths are those of a print at true size;
the frame of a card has its origin in the lower left corner of the squares, x along their long side.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from cv2.aruco import CharucoBoard, Dictionary

#: Squares along the long and the short side.
COLUMNS, ROWS = 8, 5
#: Sides of a square and of a marker, millimetres.
SQUARE, MARKER = 21.0, 15.0
#: The squares together, millimetres.
WIDTH, HEIGHT = COLUMNS * SQUARE, ROWS * SQUARE
#: White that must stay round the squares when the card is cut out, millimetres.
BORDER = 6.0
#: Markers on a card, one in each white square.
MARKERS = COLUMNS * ROWS // 2
#: Corners inside a card where four squares meet.
CORNERS = (COLUMNS - 1) * (ROWS - 1)
#: Cards are numbered from 1; the dictionary has 1,000 markers.
MOST_CARDS = 1000 // MARKERS


def markers() -> Dictionary:
    """The dictionary of markers."""
    import cv2

    return cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_5X5_1000)


def board_of(number: int) -> CharucoBoard:
    """The board of a card, as OpenCV knows it; its own frame has y down from the upper left.

    Args:
        number: From 1 to `MOST_CARDS`.
    """
    import cv2
    import numpy as np

    ids = np.arange(MARKERS, dtype=np.int32) + (number - 1) * MARKERS
    return cv2.aruco.CharucoBoard((COLUMNS, ROWS), SQUARE, MARKER, markers(), ids)


def card_of(marker: int) -> int:
    """The number of the card that a marker stands on."""
    return marker // MARKERS + 1
