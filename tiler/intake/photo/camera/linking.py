"""Whether the photos hang together by the cards that they share."""

from __future__ import annotations

from collections.abc import Sequence

from tiler.intake.photo.model import Photo, Sighting
from tiler.intake.photo.problem import CaptureError, Doubts, Spot
from tiler.intake.photo.targets.cardrim import rim


def refuse_apart(
    photos: Sequence[Photo], sightings: Sequence[Sighting], least: int, doubts: Doubts
) -> None:
    """See that every photo shares enough cards with those before it.

    Args:
        photos: All photos.
        sightings: The cards in them.
        least: So many must be shared.
        doubts: Where a photo is noted that shares no more than that.

    Raises:
        CaptureError: A photo shares fewer.
    """
    shown = [{s.card for s in sightings if s.photo == p} for p in range(len(photos))]
    joined, cards = {0}, set(shown[0])
    while len(joined) < len(photos):
        rest = [p for p in range(len(photos)) if p not in joined]
        photo = max(rest, key=lambda p: len(shown[p] & cards))
        common = shown[photo] & cards
        if len(common) < least:
            raise CaptureError(
                _too_few(len(common)),
                where=photos[photo].name,
                remedy="Take the photos so that neighbours overlap, with at least two cards in "
                "both (three or four are better), and leave the cards where they are.",
                spots=tuple(
                    Spot(s.photo, rim(s), True, f"card {s.card}")
                    for s in sightings
                    if s.photo == photo
                ),
                code="photos-apart",
            )
        if len(common) == 1:
            doubts.add(
                "photos-barely-joined",
                f"{photos[photo].name} shares only card {next(iter(common))} with the other "
                "pictures; two or more hold it better.",
                spots=tuple(
                    Spot(s.photo, rim(s), True, f"card {s.card}")
                    for s in sightings
                    if s.photo == photo and s.card in common
                ),
            )
        joined.add(photo)
        cards |= shown[photo]


def _too_few(common: int) -> str:
    if not common:
        return "none of its cards is in another photo, so it cannot be joined to the rest"
    return "only one of its cards is in another photo, which is too few to join it to the rest"
