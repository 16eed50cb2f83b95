"""Where cameras and cards were, from the corners of the cards: lens, poses, print scale at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from tiler.intake.photo.camera import blame, scene
from tiler.intake.photo.camera.beginning import held, photos_begun, scans_begun
from tiler.intake.photo.camera.bundle import Settled, settled
from tiler.intake.photo.camera.levelling import levelled
from tiler.intake.photo.camera.linking import refuse_apart
from tiler.intake.photo.camera.photographed import Photographed
from tiler.intake.photo.camera.printed import Printed
from tiler.intake.photo.camera.scanned import Scanned
from tiler.intake.photo.camera.scene import Prior, Seen, State, seen_of
from tiler.intake.photo.camera.spreading import Spreading
from tiler.intake.photo.camera.starting import Place, corner_of, laid
from tiler.intake.photo.camera.variances import agreeing, loosened
from tiler.intake.photo.model import Camera, Lying, Numbers, Photo, Sighting, Solved
from tiler.intake.photo.problem import Doubts

__all__ = ["Printed", "solve"]

#: Where noise is not known yet, pixels.
_FIRST_NOISE = 0.5
#: Stated and found resolution of a scan agree within this share.
_STATED = 0.03
#: Scans leave at most so much, millimetres.
_SCAN_NOISE = 0.15
#: Noise and deviations are found by so many rounds.
_ROUNDS = 6
#: How far a card may be bent that is looked at for it, millimetres.
_BENT = 2.0
#: By what share a card may be larger that is looked at for its size.
_ANY_SIZE = 0.1
_MM_PER_INCH = 25.4


@dataclass(frozen=True, eq=False)
class _Fit:
    view: Photographed | Scanned
    settled: Settled
    prior: Prior = field(repr=False)


def solve(
    photos: Sequence[Photo], sightings: Sequence[Sighting], printed: Printed, doubts: Doubts
) -> Solved:
    """Find how each picture sees the table, how the cards lie on it, and how sure that is.

    Args:
        photos: All pictures of one table.
        sightings: The cards in them; at least one a picture.
        printed: At what size the cards were printed.
        doubts: Where doubtful cards and pictures are noted.

    Raises:
        CaptureError: Pictures do not hang together; cards are bent, lifted, or printed at
            different sizes; the two measured bars contradict the cards.
    """
    refuse_apart(photos, sightings, 1, doubts)
    seen = seen_of(sightings)
    fit = _fit_scans(photos, seen, printed)
    if fit is None:
        refuse_apart(photos, sightings, 2, doubts)
        fit = _fit_photos(photos, seen, printed)
    _say_doubts(photos, printed, seen, fit, doubts)
    easier = _easier(fit, seen)
    blame.refuse_ratio(easier.settled, easier.prior, printed)
    blame.refuse_bent(fit.view, seen, easier.settled, sightings)
    fit, loose = _without_odd(fit, seen, sightings, doubts)
    return _solved(photos, seen, _agreed(fit, seen, loose, len(photos)))


def _fit_scans(photos: Sequence[Photo], seen: Seen, printed: Printed) -> _Fit | None:
    """The pictures as flat scans; None where a lens explains them better."""
    if any(photo.focal_px is not None for photo in photos):
        return None
    view, start, prior = scans_begun(photos, seen, printed)
    fit = _calmed(view, seen, [start], prior)
    noise = fit.settled.noise
    found = [_found_dpi(view, fit.settled.state, index) for index in range(len(photos))]
    if noise / min(found) * _MM_PER_INCH > _SCAN_NOISE:
        return None
    stated = [photo.dpi or 0.0 for photo in photos]
    if all(abs(a / b - 1) < _STATED for a, b in zip(stated, found, strict=True)):
        return fit
    lens = _fit_photos(photos, seen, printed)
    # Schwarz's criterion: what a lens explains better must be worth the unknowns that it has more.
    pixels = seen.in_photo.size
    gain = pixels * np.log(noise / lens.settled.noise)
    freedom = (lens.view.size - view.size) * np.log(pixels) / 2
    return None if gain > freedom else fit


def _fit_photos(photos: Sequence[Photo], seen: Seen, printed: Printed) -> _Fit:
    view, starts, prior = photos_begun(photos, seen, printed)
    return _calmed(view, seen, starts, prior)


def _found_dpi(view: Scanned, state: State, strip: int) -> float:
    return float(np.mean(view.camera(state, strip).per_mm)) * _MM_PER_INCH


def _calmed(view: Photographed | Scanned, seen: Seen, starts: list[State], prior: Prior) -> _Fit:
    """The best fit from several starts, with the noise that most corners have.

    That is taken while cards may lie as they like, so that an odd card does not pass for noise.
    """
    first = [
        settled(view, seen, start, held(view, start, prior), _FIRST_NOISE, 20) for start in starts
    ]
    # A start with cards behind the camera has no cost at all.
    best = min(first, key=lambda each: np.nan_to_num(each.cost, nan=np.inf))
    loose = loosened(prior, [view.card(card) for card in range(len(seen.cards))])
    for _ in range(3):
        noise = best.usual_noise()
        best = settled(view, seen, best.state, held(view, best.state, loose), noise)
    prior = held(view, best.state, prior)
    return _Fit(view, settled(view, seen, best.state, prior, best.usual_noise()), prior)


def _easier(fit: _Fit, seen: Seen) -> _Fit:
    """The fit with cards that may be bent and lifted by millimetres, to see which are."""
    cards = [fit.view.card(card) for card in range(len(seen.cards))]
    prior = loosened(fit.prior, cards, _BENT)
    best = settled(fit.view, seen, fit.settled.state, prior, fit.settled.noise)
    return _Fit(fit.view, best, prior)


def _without_odd(
    fit: _Fit, seen: Seen, sightings: Sequence[Sighting], doubts: Doubts
) -> tuple[_Fit, list[int]]:
    """The fit with cards let loose that do not go with the rest; three must remain."""
    freed: list[int] = []
    view = fit.view
    while len(seen.cards) - len(freed) > 3:
        odd = blame.odd_cards(view, seen, fit.settled, fit.prior, freed)
        if not odd:
            break
        odd = [_as_alone(fit, seen, each) for each in odd]
        blame.refuse_odd(odd, seen, sightings)
        blame.note_odd(odd[0], seen, sightings, doubts)
        freed.append(odd[0].card)
        sd = fit.prior.sd.copy()
        height = odd[0].height
        unknown = scene.GROWN if height is None else scene.LIFT
        sd[view.card(odd[0].card) + unknown] = abs(odd[0].share if height is None else height)
        prior = replace(fit.prior, sd=sd)
        best = settled(view, seen, fit.settled.state, prior, fit.settled.noise)
        fit = _Fit(view, best, prior)
    return fit, freed


def _as_alone(fit: _Fit, seen: Seen, odd: blame.Odd) -> blame.Odd:
    """The same with its size as it comes out when the other cards alone are the measure."""
    sd = fit.prior.sd.copy()
    unknown = fit.view.card(odd.card) + scene.GROWN
    sd[unknown] = _ANY_SIZE
    prior = replace(fit.prior, sd=sd)
    alone = settled(fit.view, seen, fit.settled.state, prior, fit.settled.noise)
    share = float(alone.state.values[unknown])
    above = blame.camera_height(fit.view, seen, alone, odd.card)
    return replace(odd, share=share, height=None if above is None else share * above)


def _agreed(fit: _Fit, seen: Seen, freed: list[int], photos: int) -> _Fit:
    """The fit, level with the first picture, with noise and deviations as they were found."""
    view = fit.view
    cards = [view.card(card) for card in range(len(seen.cards))]
    loose = frozenset(cards[card] for card in freed)
    state = levelled(view, fit.settled.state, len(cards), photos)
    best, prior, noise = fit.settled, held(view, state, fit.prior), fit.settled.noise
    for _ in range(_ROUNDS):
        best = settled(view, seen, state, prior, noise)
        state, noise = best.state, best.new_noise(prior)
        prior = agreeing(best, prior, cards, loose)
    return _Fit(view, settled(view, seen, state, prior, noise), prior)


def _solved(photos: Sequence[Photo], seen: Seen, fit: _Fit) -> Solved:
    view, state = fit.view, fit.settled.state
    cameras = tuple(view.camera(state, index) for index in range(len(photos)))
    scale = (float(np.exp(state.values[scene.ACROSS])), float(np.exp(state.values[scene.UP])))
    cards, middles = [], []
    for index, number in enumerate(seen.cards):
        at = view.card(index)
        x, y, turn = state.values[at : at + 3].tolist()
        left = _left_flat(cameras, seen, index, scale)
        corner = corner_of(Place(x, y, turn), scale)
        cards.append(Lying(number, *corner, turn, left))
        middles.append((x, y))
    common = view.card(0)
    root = _root(fit.settled.covariance[:common, :common])
    spread = Spreading(view, state, tuple(photos), root, np.array(middles))
    flat = isinstance(view, Scanned)
    return Solved(cameras, tuple(cards), scale, spread, flat)


def _left_flat(
    cameras: Sequence[Camera], seen: Seen, card: int, scale: tuple[float, float]
) -> float:
    """What a card of the same size, laid flat where it fits best, leaves; millimetres."""
    squares, count = 0.0, 0
    for photo, camera in enumerate(cameras):
        here = seen.of(photo, card)
        if here.any():
            on_table = camera.to_table(seen.in_photo[here])
            on_card = seen.on_card[here] * scale
            off = laid(on_card, on_table).of(on_card) - on_table
            squares += float(np.sum(off**2))
            count += len(off)
    return float(np.sqrt(squares / count))


def _root(covariance: Numbers) -> Numbers:
    """A matrix whose product with its transpose is the covariance."""
    size = np.sqrt(np.diag(covariance))
    values, vectors = np.linalg.eigh(covariance / size / size[:, None])
    return np.asarray(vectors * np.sqrt(np.maximum(values, 0)) * size[:, None])


def _say_doubts(
    photos: Sequence[Photo], printed: Printed, seen: Seen, fit: _Fit, doubts: Doubts
) -> None:
    if len(seen.cards) == 3:
        doubts.add(
            "three-cards",
            "There are only three cards, so nothing tells whether one of them is lifted; four or "
            "more, one near each corner, measure better.",
        )
    if printed.across is None and printed.up is None:
        doubts.add(
            "print-unmeasured",
            "The printed cards were not measured, so everything may be a per cent too large or "
            "too small.",
        )
    if isinstance(fit.view, Scanned):
        for index, photo in enumerate(photos):
            found = _found_dpi(fit.view, fit.settled.state, index)
            if photo.dpi and abs(found / photo.dpi - 1) > _STATED:
                doubts.add(
                    "scan-resolution",
                    f"{photo.name} says that it has {photo.dpi:.0f} dots an inch, but by the "
                    f"cards it has {found:.0f}; the cards are believed.",
                )
