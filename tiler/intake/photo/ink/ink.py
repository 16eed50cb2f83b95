"""Which pixels of the paper are ink."""

from __future__ import annotations

from dataclasses import dataclass, field

import cv2
import numpy as np

from tiler.intake.photo.ink.light import COARSE, Light, brought_up
from tiler.intake.photo.ink.printednet import without_net
from tiler.intake.photo.ink.sheet import Mask, Shade, Sheet, disc, grown, shrunk

#: What is darker than the paper by this part is ink for certain, and by this perhaps, whatever
#: the noise is.
_SURE, _PERHAPS = 0.14, 0.08
#: The same in standard deviations of the noise.
_SURE_NOISE, _PERHAPS_NOISE = 6.0, 3.5
#: Ink reaches to this part of the darkness of its darkest place nearby.
_PART = 0.42
#: How far away that darkest place may be, millimetres.
_NEARBY = 2.5
#: A printed or pencil line is thinner than this, millimetres; no disc that wide goes into it, so
#: that it loses at least this part of its darkness when one is pushed along.
_THIN, _LOST = 2.5, 0.6
#: Lines much fainter than most ink are creases.
_CREASE = 0.22
#: Marks smaller than `_MARK` are drawn with the marker that draws the lines, or are printed and
#: fainter than most ink by this. Lines are longer than `_LINE`, millimetres.
_PRINT, _MARK, _LINE = 0.4, 4.0, 20.0
#: Smaller than this, and at the paper's end: what a shadow's edge leaves there, millimetres.
_REMNANT = 12.0
#: Specks and holes smaller than this are none, square millimetres.
_SPECK, _HOLE = 1.2, 1.5


@dataclass(frozen=True, eq=False)
class Ink:
    """Ink on the sheet's pixels.

    Args:
        mask: Whether it is ink.
        allowed: Where ink is looked for: paper that photos show and no card covers.
        contrast: Darkness of most of the ink, 0 to 1; 0 when there is none.
        noise: Standard deviation of the bare paper's darkness, a pixel of the sheet.
        dark: Darkness of each pixel.
    """

    mask: Mask = field(repr=False)
    allowed: Mask = field(repr=False)
    contrast: float
    noise: float
    dark: Shade = field(repr=False)


def ink_of(sheet: Sheet, light: Light, paper: Mask) -> Ink:
    """Find ink on the paper.

    Args:
        sheet: The table.
        light: The paper's brightness.
        paper: Where paper is, about 2 mm a pixel.
    """
    rows, columns = sheet.seen.shape
    up = np.zeros((rows, columns), np.uint8)
    big = cv2.resize(
        paper.astype(np.uint8),
        (paper.shape[1] * COARSE, paper.shape[0] * COARSE),
        interpolation=cv2.INTER_NEAREST,
    )
    up[: big.shape[0], : big.shape[1]] = big
    if big.shape[0] < rows:
        up[big.shape[0] :] = up[big.shape[0] - 1]
    if big.shape[1] < columns:
        up[:, big.shape[1] :] = up[:, big.shape[1] - 1 : big.shape[1]]
    allowed = shrunk(up > 0, 1 / sheet.pitch) & sheet.seen & ~sheet.cards
    ratio = sheet.pixels / np.maximum(brought_up(light, sheet), 1)
    # Channel by channel: numpy is slow over three numbers at a time.
    red, green, blue = (ratio[:, :, channel] for channel in range(3))
    dark: Shade = (1 - np.minimum(np.minimum(red, green), blue)).astype(np.float32)
    del ratio, red, green, blue
    dark[~allowed] = 0
    dark = np.asarray(cv2.GaussianBlur(dark, (0, 0), 0.6), np.float32)
    noise = _noise(dark, allowed)
    sure, perhaps = max(_SURE, _SURE_NOISE * noise), max(_PERHAPS, _PERHAPS_NOISE * noise)
    peak = cv2.dilate(dark, disc(_NEARBY / sheet.pitch))
    mask = ((dark > perhaps) & (dark > _PART * peak)).astype(np.uint8)
    mask = np.asarray(cv2.medianBlur(mask, 3), np.uint8)
    mask |= _thin(dark, sure, sheet.pitch)
    mask = without_net(mask, dark, sheet.pitch)
    return _kept(mask, dark, allowed, sure, noise, sheet.pitch)


def _thin(
    dark: Shade, sure: float, pitch: float
) -> np.ndarray[tuple[int, ...], np.dtype[np.uint8]]:
    """Lines about a pixel wide: a median wipes them out, and darker ink nearby outshines them."""
    around = np.ones((2 * round(_THIN / pitch / 2) + 1,) * 2, np.uint8)
    wide = cv2.morphologyEx(dark, cv2.MORPH_OPEN, around)
    line = (dark > sure) & (wide < (1 - _LOST) * dark)
    line &= dark > _PART * cv2.dilate(dark, np.ones((3, 3), np.uint8))
    return line.astype(np.uint8)


def _noise(dark: Shade, allowed: Mask) -> float:
    """From bare paper: half of all allowed pixels lie nearer to the median than 0.6745 of it.

    Print on the paper makes it only darker, so the brightest of it bounds what is noise: a tenth
    and a fiftieth of a normal distribution are 0.772 standard deviations apart.
    """
    some = dark[::2, ::2][shrunk(allowed, 4)[::2, ::2]]
    if len(some) < 100:
        return 0.02
    middle = np.median(some)
    fiftieth, tenth = np.quantile(some, (0.02, 0.1))
    bound = 1.3 * (tenth - fiftieth) / 0.772
    return float(min(np.median(np.abs(some - middle)) / 0.6745, bound))


def _kept(
    mask: np.ndarray[tuple[int, ...], np.dtype[np.uint8]],
    dark: Shade,
    allowed: Mask,
    sure: float,
    noise: float,
    pitch: float,
) -> Ink:
    count, labels, stats, _ = cv2.connectedComponentsWithStats(mask, connectivity=8)
    areas = stats[:, cv2.CC_STAT_AREA]
    inked = mask > 0
    own, value = labels[inked], dark[inked]
    order = np.lexsort((value, own))
    own, value = own[order], value[order]
    starts = np.searchsorted(own, np.arange(count + 1))
    darkest = np.zeros(count)
    sizes = np.diff(starts)
    full = sizes > 0
    darkest[full] = value[starts[:-1][full] + (0.8 * (sizes[full] - 1)).astype(np.int64)]
    good = (areas * pitch * pitch >= _SPECK) & (darkest >= sure)
    good[0] = False
    reach = np.hypot(stats[:, cv2.CC_STAT_WIDTH], stats[:, cv2.CC_STAT_HEIGHT]) * pitch
    beside = np.unique(labels[grown(~allowed, 1.5) & inked])
    good[beside[reach[beside] < _REMNANT]] = False
    if not good.any():
        return Ink(np.zeros(mask.shape, np.bool_), allowed, 0.0, noise, dark)
    kept = np.flatnonzero(good)
    lines = kept[reach[kept] >= _LINE]
    if len(lines):
        kept = lines
    # A floor's fibres may cover more than the tracing, but they are pale.
    main = _weighted_median(darkest[kept], areas[kept] * darkest[kept] ** 2)
    good &= darkest >= np.where(reach < _MARK, _PRINT, _CREASE) * main
    found = good[labels]
    holes, hole_labels, hole_stats, _ = cv2.connectedComponentsWithStats(
        (~found).astype(np.uint8), connectivity=4
    )
    small = hole_stats[:, cv2.CC_STAT_AREA] * pitch * pitch < _HOLE
    small[0] = False
    del holes
    return Ink(found | small[hole_labels], allowed, float(main), noise, dark)


def _weighted_median(
    values: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
    weights: np.ndarray[tuple[int, ...], np.dtype[np.float64]],
) -> float:
    order = np.argsort(values)
    total = np.cumsum(weights[order])
    return float(values[order][np.searchsorted(total, total[-1] / 2)])


def edge_of(ink: Ink, sheet: Sheet) -> tuple[Mask, Mask]:
    """Pixels of ink at the end of what photos show, and at cards."""
    unseen = ~sheet.seen
    frame = np.ones_like(unseen)
    frame[1:-1, 1:-1] = False
    return ink.mask & grown(unseen | frame, 2), ink.mask & grown(sheet.cards, 2)
