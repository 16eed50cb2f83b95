"""The seams across which the check has to run on, as points that see the same place of it."""

from __future__ import annotations

from collections.abc import Iterator

from tiler.drafting.walking.pairs import paired
from tiler.drafting.walking.seams import seam_styles, sewn_sides
from tiler.layout.cloth.model import Match
from tiler.pattern.model import Pattern, Seam


def matches_of(pattern: Pattern) -> tuple[Match, ...]:
    """One pair of points for each seam whose maker asks for it (``match = true``).

    It is the pair of notches nearest to the middle of the seam, or where the seam begins when it
    has none: one pair is enough where both edges run alike, and more could not all be kept where
    one is eased on to the other.

    Args:
        pattern: Drafted; half pieces are half.

    Raises:
        PatternError: No such piece or edge.
    """
    return tuple(_match(pattern, seam) for seam in _asked(pattern))


def _asked(pattern: Pattern) -> Iterator[Seam]:
    names = {piece.name for piece in pattern.pieces}
    for seam in pattern.seams:
        if seam.match and all(edge.piece in names for edge in (*seam.first, *seam.second)):
            yield seam


def _match(pattern: Pattern, seam: Seam) -> Match:
    first, second = sewn_sides(pattern, seam, seam_styles(pattern, seam)[0])
    notched = [pair for pair in paired(first, second).pairs if all(pair.real)]
    middle = first.total / 2
    places = [(pair.first, pair.second) for pair in notched] or [(0.0, 0.0)]
    here, there = min(places, key=lambda place: abs(place[0] - middle))
    one, other = first.at(here), second.at(there)
    name = seam.name or f"{first} to {second}"
    return Match(one.piece.name, one.point, other.piece.name, other.point, name)
