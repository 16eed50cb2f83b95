"""Which cards do not lie or are not printed like the others, and what to say of them.

What the corners alone say of an unknown, its prior left out, follows from the estimate with the
prior: informations add up, and so do the means that they weigh.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from tiler.intake.photo.camera import scene
from tiler.intake.photo.camera.bundle import Settled
from tiler.intake.photo.camera.printed import Printed
from tiler.intake.photo.camera.scene import Prior, Seen, View
from tiler.intake.photo.model import Numbers, Sighting
from tiler.intake.photo.problem import CaptureError, Doubts, Spot
from tiler.intake.photo.targets.cardrim import rim

#: A deviation of so many of its standard deviations is no chance.
_NO_CHANCE = 3.3
#: So many for the bars, which are looked at while cards may still be odd.
_CONTRADICTION = 4.5
#: A card is refused that seems larger or smaller by more than this share.
_MOST_SCALE = 0.003
#: One that is bent by more than this, millimetres on the table, too.
_MOST_BEND = 0.4
#: And by so many times what the usual card of the photos is: a lens can look like bent cards, but
#: then all are.
_MORE_THAN_USUAL = 3.0
#: A ratio of the two bars is refused that is wrong by more than this share.
_MOST_RATIO = 0.002
#: Another card is named beside the worst when it speaks for itself by less than this (half of
#: chi-squared; a likelihood ratio of 20).
_NEARLY = math.log(20)


def unaided(settled: Settled, prior: Prior, weights: Numbers) -> tuple[float, float]:
    """Mean and variance of a sum of unknowns by what was seen alone, their prior left out.

    Args:
        settled: The estimate with the prior.
        prior: That.
        weights: Of each unknown in the sum; the prior must say something of each.
    """
    at = np.flatnonzero(weights)
    own = weights[at]
    before = np.linalg.inv(prior.information()[np.ix_(at, at)])
    known, mean = float(own @ before @ own), float(own @ prior.mean[at])
    found = float(own @ settled.covariance[np.ix_(at, at)] @ own)
    information = max(1 / found - 1 / known, 1e-12 / known)
    middle = float(own @ settled.state.values[at])
    return (middle / found - mean / known) / information, 1 / information


@dataclass(frozen=True, slots=True)
class Odd:
    """A card that seems larger or smaller than the others.

    Args:
        card: Index into `Seen.cards`.
        share: By what share it seems larger.
        height: How high it would lie to seem so, millimetres; None on a scan.
        evidence: Half of chi-squared in favour of its being odd.
        sigmas: How many standard deviations it is off.
    """

    card: int
    share: float
    height: float | None
    evidence: float
    sigmas: float


def odd_cards(
    view: View, seen: Seen, settled: Settled, prior: Prior, freed: Sequence[int]
) -> list[Odd]:
    """The cards that seem odd, the oddest first, and then those that could be it instead."""
    found = []
    for card in range(len(seen.cards)):
        if card in freed:
            continue
        height = camera_height(view, seen, settled, card)
        unknown = view.card(card) + (scene.GROWN if height is None else scene.LIFT)
        weights = np.zeros(view.size)
        weights[unknown] = 1
        mean, variance = unaided(settled, prior, weights)
        spread = variance + float(prior.sd[unknown]) ** 2
        found.append(
            Odd(
                card,
                mean / (height or 1.0),
                None if height is None else mean,
                mean**2 / spread / 2,
                abs(mean) / math.sqrt(spread),
            )
        )
    found.sort(key=lambda odd: -odd.evidence)
    if not found or found[0].sigmas < _NO_CHANCE:
        return []
    return [odd for odd in found if odd.evidence > found[0].evidence - _NEARLY]


def camera_height(view: View, seen: Seen, settled: Settled, card: int) -> float | None:
    """How high the cameras stand that see a card, on average, millimetres; None for scans."""
    heights = []
    for photo in np.unique(seen.photo[seen.card == card]):
        centre = view.camera(settled.state, int(photo)).centre
        if centre is None:
            return None
        heights.append(centre[2])
    return float(np.mean(heights))


def refuse_odd(odd: Sequence[Odd], seen: Seen, sightings: Sequence[Sighting]) -> None:
    """Refuse a card whose print or place spoils the measure.

    Raises:
        CaptureError: The oddest card is off by too much.
    """
    worst = odd[0]
    if abs(worst.share) < _MOST_SCALE:
        return
    numbers = [seen.cards[each.card] for each in odd]
    percent = f"{abs(worst.share) * 100:.1f} %"
    names = " or ".join(f"card {number}" for number in sorted(numbers))
    more = "larger" if worst.share > 0 else "smaller"
    if worst.height is None:
        cause = "it was printed at another setting"
    else:
        way = "higher" if worst.height > 0 else "lower"
        cause = (
            "it was printed at another setting than the rest, or it lies about "
            f"{abs(worst.height):.0f} mm {way} than they do"
        )
    raise CaptureError(
        f"{names} seems {percent} {more} than the other cards: {cause}",
        remedy="Print all cards in one go without changing a setting, press them flat on the same "
        "surface as the tracing, and take the photo again; or leave that card out.",
        spots=_outlines(sightings, numbers),
        code="card-scale",
    )


def note_odd(odd: Odd, seen: Seen, sightings: Sequence[Sighting], doubts: Doubts) -> None:
    """Say that a card does not go with the rest and counts less."""
    number = seen.cards[odd.card]
    off = (
        f"{abs(odd.share) * 100:.2f} %"
        if odd.height is None
        else f"as if it lay {abs(odd.height):.1f} mm too {'high' if odd.height > 0 else 'low'}"
    )
    doubts.add(
        "card-off",
        f"Card {number} does not quite go with the others ({off}); it counts less, and the stated "
        "accuracy allows for it.",
        spots=_outlines(sightings, [number]),
    )


def refuse_bent(view: View, seen: Seen, settled: Settled, sightings: Sequence[Sighting]) -> None:
    """Refuse a card that no flat card explains.

    Raises:
        CaptureError: It is curled, folded or partly lifted.
    """
    off = {
        number: max(
            _off_flat(view, seen, settled, int(photo), card)
            for photo in np.unique(seen.photo[seen.card == card])
        )
        for card, number in enumerate(seen.cards)
    }
    limit = max(_MOST_BEND, _MORE_THAN_USUAL * float(np.median(list(off.values()))))
    bent = {number: each for number, each in off.items() if each > limit}
    if bent:
        names = " and ".join(f"card {number}" for number in bent)
        raise CaptureError(
            f"{names} {'does' if len(bent) == 1 else 'do'} not lie flat: a flat card would leave "
            f"{max(bent.values()):.1f} mm unexplained",
            remedy="Press the card down, weigh or tape its corners, keep it off folds and seams, "
            "and take the photo again.",
            spots=_outlines(sightings, list(bent)),
            code="card-bent",
        )


def _off_flat(view: View, seen: Seen, settled: Settled, photo: int, card: int) -> float:
    """What a flat card leaves, root mean square, millimetres on the table."""
    here = seen.of(photo, card)
    state = settled.state
    at = view.card(card)
    values = state.values.copy()
    values[at + scene.BEND_XX : at + scene.BEND_YY + 1] = 0
    one = replace(
        seen,
        photo=seen.photo[here],
        card=seen.card[here],
        on_card=seen.on_card[here],
        in_photo=seen.in_photo[here],
    )
    flat, _ = view.look(state.with_values(values), one)
    camera = view.camera(state, photo)
    off = camera.to_table(one.in_photo) - camera.to_table(flat)
    off -= off.mean(axis=0)
    return float(np.sqrt(np.mean(np.sum(off**2, axis=1))))


def refuse_ratio(settled: Settled, prior: Prior, printed: Printed) -> None:
    """Refuse two measured bars that the cards themselves contradict.

    Raises:
        CaptureError: Their ratio is not that of the cards' sides.
    """
    if printed.across is None or printed.up is None:
        return
    weights = np.zeros(len(prior.mean))
    weights[[scene.ACROSS, scene.UP]] = -1, 1
    mean, variance = unaided(settled, prior, weights)
    typed = math.log(printed.up / printed.across)
    sd = math.sqrt(variance + 2 * printed.u**2)
    if abs(mean - typed) > max(_MOST_RATIO, _CONTRADICTION * sd):
        raise CaptureError(
            "the two measured bars do not go together: they say that the cards are "
            f"{_percent(typed)} along the short side than along the long one, but the photo shows "
            f"{_percent(mean)}",
            remedy="Measure both bars again; one of them was misread or they were changed over.",
            code="bars-contradict",
        )


def _percent(ratio: float) -> str:
    share = math.expm1(ratio) * 100
    return f"{abs(share):.1f} % {'larger' if share >= 0 else 'smaller'}"


def _outlines(sightings: Sequence[Sighting], numbers: Sequence[int]) -> tuple[Spot, ...]:
    return tuple(
        Spot(s.photo, rim(s), True, f"card {s.card}") for s in sightings if s.card in numbers
    )
