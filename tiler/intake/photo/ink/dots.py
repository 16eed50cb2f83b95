"""Dots, as they are set for drill holes: they have no centre line, but a middle."""

from __future__ import annotations

import cv2
import numpy as np

from tiler.intake.photo.ink.light import Light, lab_of
from tiler.intake.photo.ink.sheet import Mask, Sheet
from tiler.intake.photo.model import Flattened, Strand

#: How large a dot is, millimetres.
_LEAST, _MOST = 3.0, 16.0
#: How long it may be against its width, and how much of an ellipse it must fill.
_LONG, _FILLED = 1.35, 0.88


def dots_of(
    mask: Mask, sheet: Sheet, flattened: Flattened, light: Light
) -> tuple[list[Strand], Mask]:
    """The dots, each as a ring half-way between its middle and its edge, and the other ink."""
    _, labels, stats, middles = cv2.connectedComponentsWithStats(
        mask.astype(np.uint8), connectivity=8
    )
    found, rest = [], mask.copy()
    for label in range(1, len(stats)):
        x, y, w, h, area = (int(v) for v in stats[label])
        size = np.array([w, h]) * sheet.pitch
        if size.min() < _LEAST or size.max() > _MOST or size.max() > _LONG * size.min():
            continue
        if area < _FILLED * np.pi / 4 * w * h:
            continue
        rest[y : y + h, x : x + w][labels[y : y + h, x : x + w] == label] = False
        middle = flattened.to_table(sheet.to_flattened(middles[label][None]))[0]
        radius = float(size.mean()) / 2
        turn = np.linspace(0, 2 * np.pi, max(8, round(np.pi * radius)), endpoint=False)
        ring = middle + radius / 2 * np.column_stack((np.cos(turn), np.sin(turn)))
        dark = light.darkness(flattened, flattened.to_pixels(ring)[None])[0]
        found.append(Strand(ring, None, None, radius, lab_of(dark), 0.1))
    return found, rest
