"""Which part of the table is the paper that was traced on, and not floor round it."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations

import cv2
import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.ink.light import COARSE
from tiler.intake.photo.ink.printednet import without_net
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
#: The edge of a shadow changes more: the sun is about four times as bright as the sky, whose light
#: is bluer. Outlines are closed, so they run across it at two places or more.
_SHADOW_STEP, _SHADOW_HUE, _SHADOW_LINES = 0.75, 0.12, 2
#: How wide a fold's or a shadow's soft edge may be, millimetres.
_SOFT = 36.0
#: How much brighter or darker than both (logarithm) what is between two surfaces may be, and how
#: far its hue may be from both.
_LIKE, _LIKE_HUE = 0.08, 0.04
#: How far a line must reach into both of two surfaces for them to be one sheet, millimetres.
_REACH = 10.0
#: A line that is wholly shown and as long as this says which surface is the paper, millimetres.
_WHOLE = 60.0
#: What a line counts that ends at a card: it may be drawn ink, or a seam between two cards.
_AT_CARD = 0.2


@dataclass
class _Surface:
    area: Mask
    colour: NDArray[np.float64]


def paper_of(sheet: Sheet, coarse: NDArray[np.uint8], known: Mask) -> Mask:
    """Where the paper is, at about 2 mm a pixel.

    Surfaces are parted where brightness or hue change at a step. The paper is the one that holds
    the most ink of lines which end on it: seams of a floor run on to its edge, or to the paper's,
    and are thin and pale beside a marker's line that goes round.

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
    surfaces = _joined(surfaces, lines, np.log(coarse.astype(np.float32) + 2), pitch)
    frame = np.ones(known.shape, np.bool_)
    frame[1:-1, 1:-1] = False
    rim = grown(~_coarse_mask(sheet.seen) | frame, 2)
    cards = grown(~_coarse_mask(~sheet.cards), 3)
    best, most = surfaces[0].area, -1.0
    longest, cut, strongest = 0.0, surfaces[0].area, 0.0
    near_edge, most_ending = None, 0.0
    # Shrinking and thinning may part a line from what it runs on to.
    beyond = grown(rim | cards, 2)
    for surface in surfaces:
        inner = shrunk(surface.area, 1) & ~rim
        held = ending = longest_part = 0.0
        for mask, length, strength in lines:
            outside = mask & ~inner
            if not outside.any():
                held += length * strength
                longest = max(longest, length)
            elif not (outside & ~cards).any():
                held += _AT_CARD * length * strength
            else:
                part = _ending_inside(mask & inner, beyond, pitch)
                ending += part * strength
                longest_part = max(longest_part, part)
            if (
                strength > strongest
                and (mask & inner).any()
                and not (outside & ~cards & ~rim).any()
            ):
                cut, strongest = surface.area, strength
        worth = held + 0.02 * float(np.sqrt(surface.area.sum())) * pitch
        if worth > most:
            best, most = surface.area, worth
        if longest_part >= _WHOLE and ending > most_ending:
            near_edge, most_ending = surface.area, ending
    if longest < _WHOLE and near_edge is not None:
        # An outline that comes too near to the paper's edge ends there for all that is seen.
        best = near_edge
    elif longest < _WHOLE:
        # Nothing is wholly shown: a marker that is cut off draws wider and darker than seams.
        best = cut
    return _whole(best, known, pitch)


def _ending_inside(mask: Mask, beyond: Mask, pitch: float) -> float:
    """How long the pieces of a line on a surface are that reach no card and no picture's edge."""
    count, labels, stats, _ = cv2.connectedComponentsWithStats(
        mask.astype(np.uint8), connectivity=8
    )
    reach = np.hypot(stats[:, cv2.CC_STAT_WIDTH], stats[:, cv2.CC_STAT_HEIGHT]) * pitch
    reach[[0, *np.unique(labels[mask & beyond])]] = 0
    del count
    return float(reach[reach >= _LONG].sum())


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
        area = _without_holes(grown((closed > 0) & known, 1), pitch) & known
        found.append(_Surface(area, value[own].mean(axis=0)))
    del count
    return found


def _without_holes(area: Mask, pitch: float) -> Mask:
    """With what is too small to be a surface of its own: blots, knots and crossings of lines."""
    _, labels, stats, _ = cv2.connectedComponentsWithStats((~area).astype(np.uint8), connectivity=4)
    small = stats[:, cv2.CC_STAT_AREA] * pitch * pitch < _LEAST
    small[0] = False
    return np.asarray(area | small[labels], np.bool_)


def _lines(sheet: Sheet, coarse: NDArray[np.uint8]) -> list[tuple[Mask, float, float]]:
    """Long thin dark things: where they are at the coarse pitch, how long they are, and how strong.

    Strength is width times darkness, millimetres.
    """
    rows, columns = coarse.shape[:2]
    big = cv2.resize(coarse, (columns * COARSE, rows * COARSE), interpolation=cv2.INTER_LINEAR)
    part = sheet.pixels[: big.shape[0], : big.shape[1]].astype(np.float32)
    red, green, blue = np.moveaxis(part / np.maximum(big, 1), 2, 0)
    dark = 1 - np.minimum(np.minimum(red, green), blue)
    del part, red, green, blue
    dark[(~sheet.seen | sheet.cards)[: big.shape[0], : big.shape[1]]] = 0
    found = without_net((dark > _DARK).astype(np.uint8), dark, sheet.pitch)
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
        own_dark = dark[y : y + h, x : x + w][own]
        strength = float(own_dark.sum()) * sheet.pitch**2 / float(reach[label])
        lines.append((mask, float(reach[label]), strength))
    lines.sort(key=lambda line: -line[1])
    return lines[:60]


def _joined(
    surfaces: list[_Surface],
    lines: list[tuple[Mask, float, float]],
    value: NDArray[np.float32],
    pitch: float,
) -> list[_Surface]:
    """Surfaces with a fold or a shadow's edge between them, and lines across it, are one."""
    deep = [shrunk(surface.area, _REACH / pitch) for surface in surfaces]
    group = list(range(len(surfaces)))
    for a, b in combinations(range(len(surfaces)), 2):
        step = surfaces[a].colour - surfaces[b].colour
        size, hue = float(np.abs(step).max()), float(np.abs(step - step.mean()).max())
        if size > _SHADOW_STEP or hue > _SHADOW_HUE:
            continue
        across = [mask for mask, *_ in lines if (mask & deep[a]).any() and (mask & deep[b]).any()]
        if not across:
            continue
        if size > _FOLD_STEP or hue > _FOLD_HUE:
            between = _between(surfaces[a], surfaces[b], value, pitch)
            if sum(_patches(mask & between) for mask in across) < _SHADOW_LINES:
                continue
        old, new = group[b], group[a]
        group = [new if g == old else g for g in group]
    joined = []
    for g in sorted(set(group)):
        own = [surfaces[i] for i in range(len(surfaces)) if group[i] == g]
        area = np.logical_or.reduce([surface.area for surface in own])
        for one, other in combinations(own, 2):
            area |= _between(one, other, value, pitch)
        for i, surface in enumerate(surfaces):
            if group[i] != g:
                area &= ~surface.area | np.logical_or.reduce([part.area for part in own])
        joined.append(_Surface(area, own[0].colour))
    return joined


def _between(one: _Surface, other: _Surface, value: NDArray[np.float32], pitch: float) -> Mask:
    """What lies near to both of two surfaces, and is as bright as they are or in between."""
    near = _SOFT / 2 / pitch
    like = np.ones(value.shape[:2], np.bool_)
    hues = [colour - colour.mean() for colour in (one.colour, other.colour)]
    for of, ends, more in (
        (value, (one.colour, other.colour), _LIKE),
        (value - value.mean(axis=2, keepdims=True), hues, _LIKE_HUE),
    ):
        low, high = np.minimum(*ends) - more, np.maximum(*ends) + more
        like &= ((of > low) & (of < high)).all(axis=2)
    both = (one.area | other.area).astype(np.uint8)
    # A notch between them, and not what sticks out where a shadow's edge leaves the paper.
    closed = shrunk(cv2.morphologyEx(both, cv2.MORPH_CLOSE, disc(near)) > 0, 1)
    return np.asarray(grown(one.area, near) & grown(other.area, near) & like & closed, np.bool_)


def _patches(mask: Mask) -> int:
    return int(cv2.connectedComponents(mask.astype(np.uint8), connectivity=8)[0]) - 1


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
