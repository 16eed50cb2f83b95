"""Which pieces are cut from folded cloth, and which from a stretch that is opened out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import replace

from tiler.layout.cloth.cuts import Cut, cuts_of, things_of
from tiler.layout.cloth.model import Cloth, Need, Spread
from tiler.layout.cloth.ring import area_of, points_of
from tiler.layout.cloth.stretch import guessed
from tiler.pattern.errors import ClothError

#: A piece goes to the opened stretch only if that saves more, mm: folded cloth is cut faster.
_WORTH = 20.0


def groups_of(needs: Sequence[Need], cloth: Cloth) -> dict[Spread, list[Cut]]:
    """The cuts of every stretch, the folded one first.

    On folded cloth a piece that two layers cannot give, or that is too wide for half the cloth, has
    a stretch opened out for it. Others go there where the whole becomes shorter for that, one after
    the other, small ones first; something stays folded.

    Raises:
        ClothError: A piece is wider than the cloth.
    """
    # One need that is there twice is one of twice as many.
    needs = [replace(need, count=need.count * times) for need, times in Counter(needs).items()]
    single = {need: _cuts(need, cloth, Spread.SINGLE) for need in needs}
    folded: dict[Need, list[Cut]] = {}
    if cloth.spread is Spread.FOLDED:
        for need in needs:
            cuts = cuts_of(need, Spread.FOLDED, nap=cloth.nap, tilt=cloth.tilt)
            if cuts and _fit(cuts, cloth):
                folded[need] = cuts
    for need, cuts in single.items():
        if need not in folded:
            things_of(cuts[:1], cloth, Spread.SINGLE, {})  # refuses what fits no way
    opened = [need for need in single if need not in folded]
    if folded:
        opened += _joining(folded, single, opened, cloth)
    groups = {
        Spread.FOLDED: [c for need, cuts in folded.items() if need not in opened for c in cuts],
        Spread.SINGLE: [c for need, cuts in single.items() if need in opened for c in cuts],
    }
    return {spread: cuts for spread, cuts in groups.items() if cuts}


def _joining(
    folded: Mapping[Need, Sequence[Cut]],
    single: Mapping[Need, Sequence[Cut]],
    opened: Sequence[Need],
    cloth: Cloth,
) -> list[Need]:
    """What is better cut from the opened stretch, too."""

    def length(there: Sequence[Need]) -> float:
        parts = {
            Spread.FOLDED: [c for need, cuts in folded.items() if need not in there for c in cuts],
            Spread.SINGLE: [c for need, cuts in single.items() if need in there for c in cuts],
        }
        return sum(
            guessed(things_of(cuts, cloth, spread, {}), cloth.room(spread))
            for spread, cuts in parts.items()
            if cuts
        )

    order = sorted(folded, key=lambda need: (abs(area_of(points_of(need.ring))), need.piece))
    able = [need for need in order if _fit(single[need][:1], cloth, Spread.SINGLE)]

    def settled(start: Sequence[Need]) -> tuple[float, list[Need]]:
        """From a start, one piece after the other to where the whole is shorter for it."""
        joined = list(start)
        best = length([*opened, *joined])
        for need in able:
            other = [n for n in joined if n is not need]
            if len(other) == len(joined):
                other = [*joined, need]
            if len(other) < len(folded):
                now = length([*opened, *other])
                if now < best - _WORTH:
                    joined, best = other, now
        return best, joined

    # Where several pieces line up on the fold, moving one of them alone may help nothing.
    few, many = settled([]), settled([need for need in able if need is not order[-1]])
    return many[1] if many[0] < few[0] - _WORTH else few[1]


def _cuts(need: Need, cloth: Cloth, spread: Spread) -> list[Cut]:
    cuts = cuts_of(need, spread, nap=cloth.nap, tilt=cloth.tilt)
    assert cuts is not None
    return cuts


def _fit(cuts: Sequence[Cut], cloth: Cloth, spread: Spread = Spread.FOLDED) -> bool:
    """Whether all go across."""
    try:
        things_of([*dict.fromkeys(cuts)], cloth, spread, {})
    except ClothError:
        return False
    return True
