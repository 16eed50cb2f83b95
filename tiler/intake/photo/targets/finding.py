"""The target cards in each photo, their corners to a few hundredths of a pixel."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from tiler.intake.photo.camera.starting import in_a_row
from tiler.intake.photo.model import Photo, Points, Sighting
from tiler.intake.photo.problem import CaptureError, Doubts, Spot
from tiler.intake.photo.targets.cardcorners import Corners, corners_in, inner_corners, refined
from tiler.intake.photo.targets.cardmarkers import Lead, leads, markers_in
from tiler.intake.photo.targets.cardrim import rim, rim_by
from tiler.intake.photo.targets.sharpness import blur_of

#: A card is used that shows so many corners.
_LEAST_CORNERS = 6
#: So many cards must lie on the table, all photos together.
_LEAST_CARDS = 3
#: A corner is dropped that strays so far from where the others of its card want it, pixels, and
#: times their usual distance.
_STRAY_PX, _STRAY = 0.6, 5.0
#: Blur beyond this leaves lines and corners uncertain, millimetres on the card.
_MOST_BLUR = 1.3
#: A photo in which nothing is sharper than this is blurred for certain, or probably, pixels.
_BLURRED_PX, _SOFT_PX = 3.0, 1.9
#: The doubt about a card that is seen and cannot be used.
_USELESS = "card-unused"
_PRINT = "Print the cards with blocksheet targets and cut them out with their white rim."
_STILL = (
    "Hold the camera still, or prop it up, wait until it has focused on the paper, give more "
    "light, and take the photo again."
)
_PLACE = "Lay the cards flat round the tracing, one near each corner, wholly in the picture."


def sightings(photos: Sequence[Photo], doubts: Doubts) -> tuple[Sighting, ...]:
    """Find the cards in all photos.

    Args:
        photos: The photos of one table.
        doubts: Where cards are noted that show themselves but cannot be used.

    Returns:
        At least one a photo, and at least three cards in all.

    Raises:
        CaptureError: A photo shows no card or is blurred, a card's number is there twice in one
            photo, or there are fewer than three cards.
    """
    found: list[Sighting] = []
    for index, photo in enumerate(photos):
        grey = cv2.cvtColor(photo.pixels, cv2.COLOR_RGB2GRAY)
        led = leads(markers_in(np.asarray(grey, dtype=np.uint8)))
        _refuse_twice(index, photo, led)
        here = []
        for lead in led:
            sighting = _sighting(index, photo, lead)
            if sighting is None:
                _note_useless(index, photo, lead, doubts)
            else:
                here.append(sighting)
        _refuse_blurred(photo, here)
        if not here:
            _refuse_none(index, photo, np.asarray(grey, dtype=np.uint8), led)
        found.extend(here)
    _refuse_few(photos, found, doubts)
    return tuple(found)


def _sighting(index: int, photo: Photo, lead: Lead) -> Sighting | None:
    aim = refined(lead.on_card, lead.in_photo, inner_corners())
    low = np.floor(aim.min(axis=0)).astype(int) - 80
    high = np.ceil(aim.max(axis=0)).astype(int) + 80
    x0, y0 = np.maximum(low, 0).tolist()
    x1, y1 = np.minimum(high, (photo.width, photo.height)).tolist()
    light = linear_light(photo.pixels[y0:y1, x0:x1])
    away = np.array([[1.0, 0, -x0], [0, 1, -y0], [0, 0, 1]])
    first = corners_in(light, away @ lead.matrix, aim - (x0, y0))
    corners = _agreeing(first)
    few = len(corners.number) < _LEAST_CORNERS
    if few or in_a_row(inner_corners()[corners.number]):
        return None
    return Sighting(
        index,
        lead.card,
        corners.number,
        inner_corners()[corners.number],
        corners.in_photo + np.array([x0, y0]),
        float(np.median(corners.blur_px)),
    )


def _agreeing(corners: Corners) -> Corners:
    """The corners without those that the rest of their card contradicts."""
    keep = np.ones(len(corners.number), dtype=bool)
    on_card = inner_corners()[corners.number]
    for _ in range(6):
        if keep.sum() < _LEAST_CORNERS:
            break
        aim = refined(on_card[keep], corners.in_photo[keep], on_card)
        off = np.hypot(*(aim - corners.in_photo).T)
        worst = int(np.argmax(np.where(keep, off, 0)))
        if off[worst] < max(_STRAY_PX, _STRAY * float(np.median(off[keep]))):
            break
        keep[worst] = False
    return Corners(
        corners.number[keep], corners.in_photo[keep], corners.blur_px[keep], corners.left[keep]
    )


def linear_light(pixels: NDArray[np.uint8]) -> NDArray[np.float32]:
    """Luminance of sRGB pixels before their tone curve (IEC 61966-2-1), 0 to 1."""
    value = np.arange(256) / 255
    curve = np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)
    table = curve.astype(np.float32)
    red, green, blue = (table[pixels[:, :, channel]] for channel in range(3))
    return np.asarray(0.2126 * red + 0.7152 * green + 0.0722 * blue)


def _refuse_twice(index: int, photo: Photo, led: Sequence[Lead]) -> None:
    twice = [card for card, count in Counter(lead.card for lead in led).items() if count > 1]
    if twice:
        raise CaptureError(
            f"card {twice[0]} is there twice",
            where=photo.name,
            remedy="The same page was printed twice. Take one of the two away, or print a page "
            "with other numbers, and take the photo again.",
            spots=tuple(
                Spot(index, rim_by(lead.matrix), True, f"card {lead.card}")
                for lead in led
                if lead.card in twice
            ),
            code="card-twice",
        )


def _note_useless(index: int, photo: Photo, lead: Lead, doubts: Doubts) -> None:
    doubts.add(
        _USELESS,
        f"{photo.name}: card {lead.card} is seen, but too little of it to measure by (it is "
        "covered, cut off or blurred).",
        spots=(Spot(index, rim_by(lead.matrix), True, f"card {lead.card}"),),
    )


def _refuse_blurred(photo: Photo, here: Sequence[Sighting]) -> None:
    blurred = [each for each in here if each.blur_px / _px_per_mm(each) > _MOST_BLUR]
    if len(blurred) * 2 > len(here):
        worst = max(each.blur_px for each in blurred)
        raise CaptureError(
            f"the photo is too blurred to measure by: edges run over {4 * worst:.0f} pixels",
            where=photo.name,
            remedy=_STILL,
            spots=tuple(Spot(s.photo, rim(s), True, "blurred") for s in blurred),
            code="blurred",
        )


def _px_per_mm(sighting: Sighting) -> float:
    spans = [
        np.sqrt(np.mean((p - p.mean(axis=0)) ** 2)) for p in (sighting.in_photo, sighting.on_card)
    ]
    return float(spans[0] / spans[1])


def _refuse_none(index: int, photo: Photo, grey: NDArray[np.uint8], led: Sequence[Lead]) -> None:
    spots = tuple(Spot(index, rim_by(lead.matrix), True, f"card {lead.card}") for lead in led)
    blur = blur_of(grey)
    if blur > _BLURRED_PX:
        raise CaptureError(
            "no card can be read, for the photo is blurred: even the sharpest edges run over "
            f"{4 * blur:.0f} pixels",
            where=photo.name,
            remedy=_STILL,
            spots=spots or (Spot(index, _frame(photo), True, "blurred"),),
            code="blurred",
        )
    if blur > _SOFT_PX:
        raise CaptureError(
            "no target card can be read in the photo, which is shaken or out of focus",
            where=photo.name,
            remedy=f"{_STILL} If no cards lie there: {_PRINT[:1].lower()}{_PRINT[1:]}",
            spots=spots or (Spot(index, _frame(photo), True, "not sharp"),),
            code="blurred",
        )
    raise CaptureError(
        "no target card is found in the photo",
        where=photo.name,
        remedy=f"{_PRINT} {_PLACE} If they lie there, photograph nearer, in more light.",
        spots=spots or (Spot(index, _frame(photo), True, "no card"),),
        code="no-cards",
    )


def _frame(photo: Photo) -> Points:
    right, low = 0.98 * photo.width, 0.98 * photo.height
    left, top = 0.02 * photo.width, 0.02 * photo.height
    return np.array([[left, top], [right, top], [right, low], [left, low]])


def _refuse_few(photos: Sequence[Photo], found: Sequence[Sighting], doubts: Doubts) -> None:
    cards = sorted({sighting.card for sighting in found})
    if len(cards) >= _LEAST_CARDS:
        return
    which = " and ".join(str(card) for card in cards)
    useless = [spot for doubt in doubts.found if doubt.code == _USELESS for spot in doubt.spots]
    raise CaptureError(
        f"only {'card' if len(cards) == 1 else 'cards'} {which} can be measured by, and at least "
        f"{_LEAST_CARDS} are needed, better four",
        where=photos[0].name if len(photos) == 1 else "",
        remedy=_PLACE,
        spots=(
            *(Spot(s.photo, rim(s), True, f"card {s.card}") for s in found),
            *(replace(spot, label=f"{spot.label}: too little of it") for spot in useless),
        ),
        code="few-cards",
    )
