"""Lines that the photos do not show whole: cut off by a photo's edge, or covered by a card."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np

from tiler.intake.photo.cards import BORDER
from tiler.intake.photo.ink.flattening import card_area
from tiler.intake.photo.ink.ink import Ink, edge_of
from tiler.intake.photo.ink.sheet import Mask, Sheet, grown
from tiler.intake.photo.model import Flattened, Numbers, Photo, Points, Solved
from tiler.intake.photo.problem import CaptureError, Doubts, TableSpot

#: Ink that lies wholly so near to a card is the card's own edge or shadow, millimetres.
_OWN = 25.0
#: Ink shorter than this is no line that could be cut off, millimetres.
_SHORT = 15.0
#: A line is straight like a floor's seam when it is at most this wide, as a part of its length.
_SEAM = 0.02
#: A tracing that is wholly shown is at least this large, millimetres; against it, seams are so
#: much thinner or fainter.
_TRACING, _THIN, _FAINT = 100.0, 0.6, 0.7
#: The photos show more beyond the flattened table where they show what is so far on, millimetres.
_ON = 10.0


def whole_ink(
    ink: Ink,
    sheet: Sheet,
    flattened: Flattened,
    solved: Solved,
    photos: tuple[Photo, ...],
    doubts: Doubts,
) -> Ink:
    """Ink without the cards' edges; refuses lines that are not wholly shown.

    Raises:
        CaptureError: A line runs out of the picture, under a card, or (code `too-far`) on beyond
            the flattened table.
    """
    mask = ink.mask & ~_card_edges(ink.mask, sheet, flattened, solved)
    ink = replace(ink, mask=mask)
    at_edge, at_card = edge_of(ink, sheet)
    _, labels, stats, _ = cv2.connectedComponentsWithStats(mask.astype(np.uint8), connectivity=8)
    touched = np.unique(labels[at_edge | at_card])
    reach = np.hypot(stats[:, cv2.CC_STAT_WIDTH], stats[:, cv2.CC_STAT_HEIGHT]) * sheet.pitch
    touched = touched[(touched > 0) & (reach[touched] >= _SHORT)]
    if not len(touched):
        return ink
    width, dark = _widths(np.asarray(labels, np.int32), ink, len(stats))
    whole = reach.copy()
    whole[[0, *touched]] = 0
    main = int(whole.argmax())
    seams = []
    if whole[main] > _TRACING:
        thin, faint = width < _THIN * width[main], dark < _FAINT * dark[main]
        seams = [n for n in touched if thin[n] or faint[n] or _straight(labels == n, sheet)]
    bad = [n for n in touched if n not in seams]
    if bad:
        if whole[main] <= _TRACING and all(_straight(labels == n, sheet) for n in bad):
            # Of a bare sheet, the floor round it is taken for the paper.
            own = np.isin(labels, bad)
            _refuse_bare(_places(own & (at_edge | at_card), sheet, flattened))
        own = np.isin(labels, bad)
        _refuse_far(_places(own & at_edge, sheet, flattened), flattened, solved, photos)
        _refuse(own & at_edge, own & at_card, sheet, flattened)
    doubts.add(
        "left-out",
        "Lines that run out of the picture or under a card, and look like seams of the floor, were "
        "left out.",
        table=tuple(
            TableSpot(_places((labels == n) & (at_edge | at_card), sheet, flattened)[:1])
            for n in seams
        ),
    )
    # Where the floor could not be told from the paper, what else is like its seams goes too.
    gone = np.isin(labels, [*seams, *np.flatnonzero(thin & faint)])
    return replace(ink, mask=mask & ~gone)


def _widths(
    labels: np.ndarray[tuple[int, ...], np.dtype[np.int32]], ink: Ink, count: int
) -> tuple[Numbers, Numbers]:
    """Width in pixels, and darkness, of each connected patch of ink.

    The mean distance to the edge is a quarter of a band's width.
    """
    half = cv2.distanceTransform(ink.mask.astype(np.uint8), cv2.DIST_L2, 3)
    own = labels[ink.mask]
    size = np.maximum(np.bincount(own, minlength=count), 1)
    width = 4 * np.bincount(own, half[ink.mask], minlength=count) / size
    dark = np.bincount(own, ink.dark[ink.mask], minlength=count) / size
    return width, dark


def _straight(own: Mask, sheet: Sheet) -> bool:
    down, right = np.nonzero(own)
    spread = np.sqrt(12 * np.maximum(np.linalg.eigvalsh(np.cov(np.vstack((down, right)))), 0))
    return bool(spread[0] < max(_SEAM * spread[1], 8 / sheet.pitch))


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


def _refuse(cut: Mask, covered: Mask, sheet: Sheet, flattened: Flattened) -> None:
    if covered.any() and not cut.any():
        places = _places(covered, sheet, flattened)
        raise CaptureError(
            f"a card covers the line{_in_places(places)}",
            remedy="Move the card aside, so that no part of a card or of its white border lies on "
            "a line, and photograph again.",
            table_spots=tuple(_round(place, "under a card") for place in places),
            code="covered",
        )
    places = _places(cut, sheet, flattened)
    raise CaptureError(
        f"the picture is cropped too tight: the line runs out of it{_in_places(places)}",
        remedy="Lay the cards round the whole tracing and photograph again with all of the lines "
        "and all of the cards in the picture.",
        table_spots=tuple(_round(place, "runs out of the picture") for place in places),
        code="cropped",
    )


def _refuse_far(
    places: Points, flattened: Flattened, solved: Solved, photos: tuple[Photo, ...]
) -> None:
    """Refuse lines that photos show farther on, where the flattened table ends."""
    rows, columns = flattened.seen.shape
    low, high = flattened.to_table(np.array([[0.0, rows - 1.0], [columns - 1.0, 0.0]]))
    at_end = ((places - low < _ON) | (high - places < _ON)).any(axis=1)
    on = places + _ON * ((high - places < _ON).astype(float) - (places - low < _ON).astype(float))
    shown = np.zeros(len(places), np.bool_)
    for photo, camera in zip(photos, solved.cameras, strict=True):
        there = camera.to_photo(on)
        with np.errstate(invalid="ignore"):
            shown |= ((there >= 0) & (there < (photo.width, photo.height))).all(axis=1)
    far = places[at_end & shown]
    if len(far):
        raise CaptureError(
            f"the tracing reaches too far beyond the cards{_in_places(far)}",
            remedy="Nothing tells how large it is out there. Lay the cards round the whole "
            "tracing, one near each of its corners, and photograph again.",
            table_spots=tuple(_round(place, "too far from the cards") for place in far),
            code="too-far",
        )


def _refuse_bare(places: Points) -> None:
    raise CaptureError(
        "no traced line is seen whole, only straight ones that run out of the picture or under a "
        "card, as the seams of a floor do",
        remedy="If the tracing is cut off, photograph again with all of its lines and all of the "
        "cards in the picture. If nothing is drawn yet, trace with a dark marker 3 to 5 mm wide.",
        table_spots=tuple(_round(place, "a seam?") for place in places),
        code="no-ink",
    )


def _in_places(places: Points) -> str:
    return f" in {len(places)} places" if len(places) > 1 else ""
