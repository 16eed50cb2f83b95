"""Cards in a photo, by the markers on them: roughly where each lies."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import cv2
import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.camera.starting import homography, mapped
from tiler.intake.photo.cards import HEIGHT, MARKERS, MOST_CARDS, board_of, card_of, markers
from tiler.intake.photo.model import Numbers, Points

Grey = NDArray[np.uint8]

#: A card is believed when so many of its markers agree on where it lies.
_LEAST = 2
#: So many cards are asked for.
_USUAL = 4
#: Widths of the surroundings that markers stand out from, pixels, on the photo and on its half.
_USUAL_WINDOW, _HALF_WINDOW = 23, 13
#: In photos of so few pixels, cards at the far side are too small to be read unless enlarged.
_SMALL_PHOTO = 5_000_000
#: Corners of markers agree within this share of the marker's side.
_AGREE = 0.2


@dataclass(frozen=True, eq=False)
class Marker:
    """One marker: its number and its corners in the photo, clockwise from its upper left."""

    number: int
    corners: Points = field(repr=False)


@dataclass(frozen=True, eq=False)
class Lead:
    """A card that shows itself.

    Args:
        card: Its number.
        matrix: Homography from the card's frame to the photo.
        on_card: Corners of its markers in its frame, (n, 2).
        in_photo: The same in the photo.
    """

    card: int
    matrix: Numbers = field(repr=False)
    on_card: Points = field(repr=False)
    in_photo: Points = field(repr=False)


def markers_in(grey: Grey) -> list[Marker]:
    """All markers, looked for as the photo is, with its light evened out, and sharpened.

    The two copies are half as large; they find what is dark, unevenly lit or blurred. Small photos
    are looked at enlarged as well. While fewer than `_USUAL` cards show themselves, everything is
    tried; else one look at each copy will do.
    """
    half = cv2.resize(grey, None, fx=0.5, fy=0.5, interpolation=cv2.INTER_AREA)
    even = np.asarray(cv2.createCLAHE(4.0, (12, 9)).apply(half), dtype=np.uint8)
    found = _added([], _detected(grey, 1, _USUAL_WINDOW))
    found = _added(found, _detected(even, 2, _HALF_WINDOW))
    if grey.size <= _SMALL_PHOTO:
        twice = cv2.resize(grey, None, fx=2, fy=2, interpolation=cv2.INTER_CUBIC)
        found = _added(found, _detected(np.asarray(twice, dtype=np.uint8), 0.5, _USUAL_WINDOW))
    if _cards(found) < _USUAL:
        found = _added(found, _detected(even, 2, None))
    if _cards(found) < _USUAL:
        found = _added(found, _detected(grey, 1, None))
    if _cards(found) < _USUAL:
        soft = cv2.GaussianBlur(even, (0, 0), 3)
        sharp = np.asarray(cv2.addWeighted(even, 3.5, soft, -2.5, 0), dtype=np.uint8)
        found = _added(found, _detected(sharp, 2, None))
    return found


def _cards(found: Sequence[Marker]) -> int:
    numbers = Counter(card_of(marker.number) for marker in found)
    return sum(count >= _LEAST for count in numbers.values())


def _added(found: list[Marker], more: Sequence[Marker]) -> list[Marker]:
    known = defaultdict(list)
    for each in found:
        known[each.number].append(each)
    return found + [
        each for each in more if not any(_same(each, other) for other in known[each.number])
    ]


def _detected(picture: Grey, factor: float, window: int | None) -> list[Marker]:
    """The markers in a picture that is `factor` times smaller than the photo.

    Black is what is darker than its surroundings, `window` pixels wide; None tries several.
    """
    ways = cv2.aruco.DetectorParameters()
    ways.minMarkerPerimeterRate = 40 / max(picture.shape)
    ways.adaptiveThreshWinSizeMin = window or 3
    ways.adaptiveThreshWinSizeMax = window or 33
    ways.adaptiveThreshConstant = 5
    ways.minDistanceToBorder = 1
    ways.perspectiveRemovePixelPerCell = 6
    ways.perspectiveRemoveIgnoredMarginPerCell = 0.25
    corners, numbers, _ = cv2.aruco.ArucoDetector(markers(), ways).detectMarkers(picture)
    if numbers is None:
        return []
    return [
        # A pixel of the half-size picture is the middle of four; the same shift serves twice.
        Marker(int(number), corner.reshape(4, 2).astype(np.float64) * factor + (factor - 1) / 2)
        for number, corner in zip(np.ravel(numbers), corners, strict=True)
        if card_of(int(number)) <= MOST_CARDS
    ]


def _same(one: Marker, other: Marker) -> bool:
    apart = one.corners.mean(axis=0) - other.corners.mean(axis=0)
    return bool(np.hypot(*apart) < np.hypot(*np.ptp(one.corners, axis=0)) / 2)


def leads(found: Sequence[Marker]) -> list[Lead]:
    """The cards that markers speak of; a number comes twice where two cards bear it."""
    out = []
    for card in sorted({card_of(marker.number) for marker in found}):
        rest = [marker for marker in found if card_of(marker.number) == card]
        while len(rest) >= _LEAST:
            agreed = _most_agreeing(card, rest)
            if len(agreed) < _LEAST:
                break
            on_card = np.concatenate([_corners_of(card, each.number) for each in agreed])
            in_photo = np.concatenate([each.corners for each in agreed])
            out.append(Lead(card, homography(on_card, in_photo), on_card, in_photo))
            rest = [each for each in rest if each not in agreed]
    return out


@lru_cache(maxsize=MARKERS * MOST_CARDS)
def _corners_of(card: int, marker: int) -> Points:
    at = board_of(card).getObjPoints()[marker % MARKERS]
    corners = np.asarray(at, dtype=np.float64)[:, :2]
    return np.column_stack((corners[:, 0], HEIGHT - corners[:, 1]))


def _most_agreeing(card: int, found: Sequence[Marker]) -> list[Marker]:
    """The largest set of different markers that one homography explains.

    Every marker proposes the homography of its own corners, and those that follow from what it
    gathers; a lens and a curl are allowed for by letting far markers stray further.
    """
    best: list[Marker] = []
    for seed in found:
        agreed = [seed]
        for _ in range(4):
            on_card = np.concatenate([_corners_of(card, each.number) for each in agreed])
            matrix = homography(on_card, np.concatenate([each.corners for each in agreed]))
            near: dict[int, tuple[float, Marker]] = {}
            for each in found:
                aim = mapped(matrix, _corners_of(card, each.number))
                off = float(np.max(np.hypot(*(aim - each.corners).T)))
                side = float(np.sqrt(_area(each.corners)))
                # One marker alone points only roughly to the far end of its card.
                limit = side * (_AGREE if len(agreed) > 3 else 3 * _AGREE)
                if off < limit and (each.number not in near or off < near[each.number][0]):
                    near[each.number] = (off, each)
            grown = [each for _, each in near.values()]
            if len(grown) <= len(agreed) and len(agreed) > 1:
                break
            agreed = grown or [seed]
        if len(agreed) > len(best):
            best = agreed
        if len(best) > 0.9 * len({each.number for each in found}):
            break
    return best


def _area(corners: Points) -> float:
    x, y = corners.T
    return abs(float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)))) / 2
