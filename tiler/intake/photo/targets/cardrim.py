"""Where to draw a card on the photo that shows it."""

from __future__ import annotations

import numpy as np

from tiler.intake.photo.camera.starting import homography, mapped
from tiler.intake.photo.cards import BORDER, HEIGHT, WIDTH
from tiler.intake.photo.model import Numbers, Points, Sighting


def rim(sighting: Sighting) -> Points:
    """The four corners of a card as cut out, in pixels of its photo, (4, 2)."""
    return rim_by(homography(sighting.on_card, sighting.in_photo))


def rim_by(matrix: Numbers) -> Points:
    """Likewise, by the homography from the card's frame to the photo."""
    left, right, low, high = -BORDER, WIDTH + BORDER, -BORDER, HEIGHT + BORDER
    around = np.array([[left, low], [right, low], [right, high], [left, high]])
    return mapped(matrix, around)
