"""Lines that the photos do not show whole: cut off by a photo's edge, or covered by a card."""

from __future__ import annotations

from dataclasses import dataclass, replace

import cv2
import numpy as np

from tiler.intake.photo.cards import BORDER
from tiler.intake.photo.flattening import card_area
from tiler.intake.photo.ink import Ink, edge_of
from tiler.intake.photo.model import Flattened, Points, Solved
from tiler.intake.photo.problem import CaptureError, Doubts, TableSpot
from tiler.intake.photo.sheet import Mask, Sheet, grown

#: Ink that lies wholly so near to a card is the card's own edge or shadow, millimetres.
_OWN = 25.0
#: Ink shorter than this is no line that could be cut off, millimetres.
_SHORT = 15.0
#: A line is straight like a floor's seam when it is at most this wide, as a part of its length.
_SEAM = 0.02


@dataclass(frozen=True, eq=False)
class _Part:
    label: int
    reach: float
    straight: bool
    cut: Mask
    covered: Mask


def whole_ink(ink: Ink, sheet: Sheet, flattened: Flattened, solved: Solved, doubts: Doubts) -> Ink:
    """Ink without the cards' edges; refuses lines that are not wholly shown.

    Raises:
        CaptureError: A line runs out of the picture or under a card.
    """
    mask = ink.mask & ~_card_edges(ink.mask, sheet, flattened, solved)
    ink = replace(ink, mask=mask)
    at_edge, at_card = edge_of(ink, sheet)
    _, labels, stats, _ = cv2.connectedComponentsWithStats(mask.astype(np.uint8), connectivity=8)
    touched = np.unique(labels[at_edge | at_card])
    parts = []
    for label in touched[touched > 0]:
        x, y, w, h = stats[label, :4]
        if np.hypot(w, h) * sheet.pitch < _SHORT:
            continue
        own = labels == label
        down, right = np.nonzero(own[y : y + h, x : x + w])
        spread = np.linalg.eigvalsh(np.cov(np.vstack((down, right))))
        reach = float(np.sqrt(12 * spread[1]))
        straight = float(np.sqrt(12 * max(spread[0], 0))) < max(_SEAM * reach, 8 / sheet.pitch)
        parts.append(_Part(int(label), reach * sheet.pitch, straight, own & at_edge, own & at_card))
    others = np.delete(stats, [0, *(part.label for part in parts)], axis=0)
    largest = max(
        (float(np.hypot(s[cv2.CC_STAT_WIDTH], s[cv2.CC_STAT_HEIGHT])) for s in others), default=0.0
    )
    seams = [p for p in parts if p.straight and largest * sheet.pitch > 100]
    bad = [p for p in parts if p not in seams]
    if bad:
        _refuse(bad, sheet, flattened)
    if seams:
        doubts.add(
            "left-out",
            "straight lines that run out of the picture or under a card were taken for seams of "
            "the floor and left out",
            table=tuple(TableSpot(_places(p.cut | p.covered, sheet, flattened)[:1]) for p in seams),
        )
    small = np.isin(labels, [p.label for p in seams]) if seams else np.zeros_like(mask)
    return replace(ink, mask=mask & ~small)


def _card_edges(mask: Mask, sheet: Sheet, flattened: Flattened, solved: Solved) -> Mask:
    """Ink that stays beside one card, and touches what is left out for it."""
    beside = grown(sheet.cards, 5 / sheet.pitch)
    _, labels, stats, _ = cv2.connectedComponentsWithStats(mask.astype(np.uint8), connectivity=8)
    found = np.zeros(mask.shape, np.bool_)
    near = np.unique(labels[beside & mask])
    for card in solved.cards:
        corners = flattened.to_pixels(card_area(card, solved.print_scale, BORDER + _OWN))
        own = sheet.from_flattened(corners)
        area = np.zeros(mask.shape, np.uint8)
        cv2.fillPoly(area, [own.round().astype(np.int32)], 1)
        inside = np.bincount(labels[(area > 0) & mask], minlength=len(stats))
        for label in near[near > 0]:
            if inside[label] == stats[label, cv2.CC_STAT_AREA]:
                found |= labels == label
    return found


def _places(mask: Mask, sheet: Sheet, flattened: Flattened) -> Points:
    """The middle of each patch of a mask, millimetres."""
    _, _, _, middles = cv2.connectedComponentsWithStats(
        grown(mask, 4).astype(np.uint8), connectivity=8
    )
    return flattened.to_table(sheet.to_flattened(np.asarray(middles[1:], np.float64)))


def _round(place: Points, label: str) -> TableSpot:
    turn = np.linspace(0, 2 * np.pi, 24, endpoint=False)
    ring = place + 12.0 * np.column_stack((np.cos(turn), np.sin(turn)))
    return TableSpot(ring, closed=True, label=label)


def _refuse(parts: list[_Part], sheet: Sheet, flattened: Flattened) -> None:
    cut = np.logical_or.reduce([part.cut for part in parts])
    covered = np.logical_or.reduce([part.covered for part in parts])
    if covered.any() and not cut.any():
        places = _places(covered, sheet, flattened)
        raise CaptureError(
            "a card covers the line",
            where=_where(places),
            remedy="Move the card aside, so that no part of a card or of its white border lies on "
            "a line, and photograph again.",
            table_spots=tuple(_round(place, "under a card") for place in places),
            code="covered",
        )
    places = _places(cut, sheet, flattened)
    raise CaptureError(
        "the picture is cropped too tight: the line runs out of it",
        where=_where(places),
        remedy="Lay the cards round the whole tracing and photograph again with all of the lines "
        "and all of the cards in the picture.",
        table_spots=tuple(_round(place, "runs out of the picture") for place in places),
        code="cropped",
    )


def _where(places: Points) -> str:
    return "at " + " and ".join(f"{x:.0f}, {y:.0f} mm" for x, y in places[:4])
