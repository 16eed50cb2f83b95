"""Paper with printed squares: the squares' thin lines are told from the marker's."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.ink.sheet import Mask, Shade, disc, grown
from tiler.intake.photo.model import Numbers

#: Lines that hang together and go round more areas than this are printed; tracings have fewer.
_AREAS = 80
#: Where there is such a net, and so many areas hang together elsewhere, that is print too.
_FEW = 3
#: How far round a place its line is weighed, millimetres.
_AROUND = 3.0
#: A marker leaves so many times as much ink along a millimetre as print, at least.
_HEAVIER = 2.5


def without_net(mask: NDArray[np.uint8], dark: Shade, pitch: float) -> NDArray[np.uint8]:
    """A mask of lines without the net of squares that is printed on the paper.

    Where a net hangs together with heavier lines, those stay. A net of lines that are all alike
    stays too, for nothing tells what of it was drawn.

    Args:
        mask: 1 where there may be ink.
        dark: Darkness of each pixel.
        pitch: Millimetres a pixel.
    """
    nets = _nets(mask, _AREAS)
    if not nets.any():
        return mask
    round_ = disc(_AROUND / pitch).astype(np.float32)
    # Ink along a millimetre of the line: blur spreads it, and does not change it.
    weight = cv2.filter2D(dark, -1, round_ * np.float32(pitch * pitch / (2 * _AROUND)))
    bound = _parting(np.log(np.maximum(weight[nets], 1e-4)).astype(np.float64))
    if bound is None:
        return mask
    heavy = nets & (weight > np.exp(bound))
    thin = nets & ~grown(heavy, 1.0 / pitch)
    # What sticks out of the heavy line sideways is print as well.
    half = cv2.distanceTransform(thin.astype(np.uint8), cv2.DIST_L2, 3)
    stub = float(np.quantile(half[thin], 0.9)) + 0.5 if thin.any() else 0.0
    line = cv2.morphologyEx(heavy.astype(np.uint8), cv2.MORPH_OPEN, disc(stub))
    kept = mask.copy()
    kept[nets] = line[nets]
    # A card or the picture's edge may cut a corner of the net off from the rest.
    cut_off = _nets(kept, _FEW)
    kept[cut_off & (weight <= np.exp(bound))] = 0
    return kept


def _nets(mask: NDArray[np.uint8], areas: int) -> Mask:
    """What hangs together and goes round more than so many areas."""
    _, labels = cv2.connectedComponents(mask, connectivity=8)
    holes, hole_labels = cv2.connectedComponents(1 - mask, connectivity=4)
    # The pixel left of a hole's first one belongs to what goes round it.
    flat = hole_labels.reshape(-1)
    _, first = np.unique(flat, return_index=True)
    first = first[(first > 0) & (flat[first] > 0)]
    around = np.bincount(labels.reshape(-1)[first - 1], minlength=int(labels.max()) + 1)
    around[0] = 0
    if holes <= areas or around.max() <= areas:
        return np.zeros(mask.shape, np.bool_)
    return np.asarray((around > areas)[labels])


def _parting(values: Numbers) -> float | None:
    """Where values fall into two families (N. Otsu 1979); None when those are too much alike."""
    counts, edges = np.histogram(values, 200)
    middles = (edges[:-1] + edges[1:]) / 2
    below = np.cumsum(counts)
    above = below[-1] - below
    sums = np.cumsum(counts * middles)
    usable = (below > 0) & (above > 0)
    low = np.where(usable, sums / np.maximum(below, 1), 0.0)
    high = np.where(usable, (sums[-1] - sums) / np.maximum(above, 1), 0.0)
    best = int(np.argmax(np.where(usable, below * above * (high - low) ** 2, -1.0)))
    if high[best] - low[best] < np.log(_HEAVIER):
        return None
    return float((low[best] + high[best]) / 2)
