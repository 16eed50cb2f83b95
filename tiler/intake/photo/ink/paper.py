"""Which part of the table is the paper that was traced on, and not floor round it."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import cv2
import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.ink.light import COARSE
from tiler.intake.photo.ink.sheet import Mask, Sheet, disc, grown, shrunk

#: A change of brightness over 4 mm that parts one surface from another (logarithm).
_STEP = 0.03
#: Surfaces smaller than this are nothing to trace on, square millimetres.
_LEAST = 1500.0
#: How many surfaces are looked at, largest first.
_MOST = 16
#: Darker than what is round it by this much: perhaps ink, perhaps a seam.
_DARK = 0.15
#: Lines shorter than this tell nothing about the surface, millimetres.
_LONG = 30.0
#: A fold in paper changes its brightness by no more than this (logarithm), and hardly its hue.
_FOLD_STEP, _FOLD_HUE = 0.2, 0.04
#: How far a line must reach into both of two surfaces for them to be one sheet, millimetres.
_REACH = 10.0
#: What a line counts that ends at a card: it may be drawn ink, or a seam between two cards.
_AT_CARD = 0.2


@dataclass
class _Surface:
    area: Mask
    colour: NDArray[np.float64]


def paper_of(sheet: Sheet, coarse: NDArray[np.uint8], known: Mask) -> Mask:
    """Where the paper is, at about 2 mm a pixel.

    Surfaces are parted where brightness or hue change at a step. The paper is the one that holds
    the most of lines which end on it: seams of a floor run on to its edge, or to the paper's.

    Args:
        sheet: The table.
        coarse: Its surfaces without thin lines, and
        known: where that is known; both from `light.coarse_of`.
    """
    pitch = sheet.pitch * COARSE
    surfaces = _surfaces(coarse, known, pitch)
    if not surfaces:
        return known
    lines = _lines(sheet, coarse)
    surfaces = _joined(surfaces, lines, pitch)
    frame = np.ones(known.shape, np.bool_)
    frame[1:-1, 1:-1] = False
    rim = grown(~_coarse_mask(sheet.seen) | frame, 2)
    cards = grown(~_coarse_mask(~sheet.cards), 3)
    best, most = surfaces[0].area, -1.0
    for surface in surfaces:
        inner = shrunk(surface.area, 1) & ~rim
        held = 0.0
        for mask, length in lines:
            outside = mask & ~inner
            if not outside.any():
                held += length
            elif not (outside & ~cards).any():
                held += _AT_CARD * length
        worth = held + 0.02 * float(np.sqrt(surface.area.sum())) * pitch
        if worth > most:
            best, most = surface.area, worth
    return _whole(best, known, pitch)


def _coarse_mask(mask: Mask) -> Mask:
    rows, columns = (max(1, n // COARSE) for n in mask.shape)
    part = mask[: rows * COARSE, : columns * COARSE]
    return np.asarray(part.reshape(rows, COARSE, columns, COARSE).all(axis=(1, 3)))


def _surfaces(coarse: NDArray[np.uint8], known: Mask, pitch: float) -> list[_Surface]:
    value = np.log(coarse.astype(np.float32) + 2)
    around = np.ones((3, 3), np.uint8)
    change = (cv2.dilate(value, around) - cv2.erode(value, around)).max(axis=2)
    flat = ((change < _STEP) & known).astype(np.uint8)
    count, labels, stats, _ = cv2.connectedComponentsWithStats(flat, connectivity=4)
    order = np.argsort(-stats[1:, cv2.CC_STAT_AREA])[:_MOST] + 1
    found = []
    for label in order:
        if stats[label, cv2.CC_STAT_AREA] * pitch * pitch < _LEAST:
            break
        own = labels == label
        closed = cv2.morphologyEx(own.astype(np.uint8), cv2.MORPH_CLOSE, disc(8 / pitch))
        found.append(_Surface(grown((closed > 0) & known, 1) & known, value[own].mean(axis=0)))
    del count
    return found


def _lines(sheet: Sheet, coarse: NDArray[np.uint8]) -> list[tuple[Mask, float]]:
    """Long thin dark things: where they are at the coarse pitch, and how long they are."""
    rows, columns = coarse.shape[:2]
    big = cv2.resize(coarse, (columns * COARSE, rows * COARSE), interpolation=cv2.INTER_LINEAR)
    part = sheet.pixels[: big.shape[0], : big.shape[1]].astype(np.float32)
    dark = 1 - (part / np.maximum(big, 1)).min(axis=2)
    dark[(~sheet.seen | sheet.cards)[: big.shape[0], : big.shape[1]]] = 0
    found = (dark > _DARK).astype(np.uint8)
    _, labels, stats, _ = cv2.connectedComponentsWithStats(found, connectivity=8)
    lines = []
    reach = np.hypot(stats[:, cv2.CC_STAT_WIDTH], stats[:, cv2.CC_STAT_HEIGHT]) * sheet.pitch
    for label in np.flatnonzero(reach >= _LONG):
        if label == 0:
            continue
        x, y, w, h = stats[label, :4]
        own = labels[y : y + h, x : x + w] == label
        down, right = np.nonzero(own)
        mask = np.zeros((rows, columns), np.bool_)
        mask[(down + y) // COARSE, (right + x) // COARSE] = True
        lines.append((mask, float(reach[label])))
    lines.sort(key=lambda line: -line[1])
    return lines[:60]


def _joined(
    surfaces: list[_Surface], lines: list[tuple[Mask, float]], pitch: float
) -> list[_Surface]:
    """Surfaces with a fold between them, and lines that run across it, are one."""
    deep = [shrunk(surface.area, _REACH / pitch) for surface in surfaces]
    group = list(range(len(surfaces)))
    for a, b in combinations(range(len(surfaces)), 2):
        step = surfaces[a].colour - surfaces[b].colour
        hue = step - step.mean()
        if np.abs(step).max() > _FOLD_STEP or np.abs(hue).max() > _FOLD_HUE:
            continue
        if any((mask & deep[a]).any() and (mask & deep[b]).any() for mask, _ in lines):
            old, new = group[b], group[a]
            group = [new if g == old else g for g in group]
    joined = []
    for g in sorted(set(group)):
        own = [surfaces[i] for i in range(len(surfaces)) if group[i] == g]
        area = np.logical_or.reduce([surface.area for surface in own])
        if len(own) > 1:
            area = cv2.morphologyEx(area.astype(np.uint8), cv2.MORPH_CLOSE, disc(8 / pitch)) > 0
        joined.append(_Surface(area, own[0].colour))
    return joined


def _whole(paper: Mask, known: Mask, pitch: float) -> Mask:
    """The sheet with what lies on it: cards, blots and what else makes holes."""
    closed = cv2.morphologyEx(
        (paper | grown(~known & grown(paper, 2), 1) & ~known).astype(np.uint8),
        cv2.MORPH_CLOSE,
        disc(8 / pitch),
    )
    outer, _ = cv2.findContours(closed, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    area = np.zeros(paper.shape, np.uint8)
    for ring in outer:
        if cv2.contourArea(ring) * pitch * pitch >= _LEAST:
            cv2.drawContours(area, [ring], -1, 1, cv2.FILLED)
    whole = (area > 0) & known
    return whole | (grown(whole, 3) & ~known)
