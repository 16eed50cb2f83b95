"""Where the notches of a partner edge land once the seam is walked."""

from __future__ import annotations

from collections.abc import Iterator

from tiler.drafting.walking.heads import set_in
from tiler.drafting.walking.seams import SewnSide, sewn_sides
from tiler.drafting.walking.sense import Ties
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Pattern, Seam
from tiler.pattern.wishes import EdgeName, NotchWish

#: A notch this near (millimetres) to the end of an edge stands on it.
_END = 0.05
#: Sides whose lengths differ by more than this share of the shorter one are gathered or pleated,
#: which is done evenly; a sleeve head apart, whose fulness stays above its notches. Our choice.
_GATHERED = 0.15


def seam_between(pattern: Pattern, own: EdgeName, wish: NotchWish) -> Seam:
    """The declared seam that joins an edge to the one that a wish wants to meet.

    Raises:
        PatternError: No seam joins the two.
    """
    other = wish.meets
    for seam in pattern.seams:
        if own in seam.first and other in seam.second:
            return seam
        if own in seam.second and other in seam.first:
            return seam
    raise PatternError(
        f"{own} is to meet the notches of {other}, but no seam joins the two",
        where=wish.where,
        remedy=f'Declare it: [[seam]] join = ["{own}", "{other}"].',
    )


def landings(
    pattern: Pattern, seam: Seam, wish: NotchWish, own: EdgeName, style: str, ties: Ties
) -> Iterator[tuple[float, int]]:
    """The places on an edge where the partner's notches land.

    Notches in the first half of the partner's side are walked from the start of the seam, the
    others from its end, so that all ease lies between them; where the longer side is gathered,
    a half lands on the half, and so for every other share. Those that land on another edge of
    the same side are left out.

    Args:
        pattern: Drafted, with the pieces of the seam at least; the partner's notches are there.
        seam: The seam between the two edges.
        wish: With `meets`.
        own: The edge that the wish is for.
        style: The style that is walked.
        ties: What is sewn together in the whole pattern.

    Yields:
        Millimetres along the sewn edge from its clockwise start, and how many notches stand
        there: as many as on the partner.

    Raises:
        PatternError: The partner has no notches, or none of them lands on the edge.
    """
    assert wish.meets is not None
    first, second = sewn_sides(pattern, seam, style, ties)
    mine, theirs = (first, second) if own in seam.first else (second, first)
    if own in seam.first and own in seam.second:
        mine, theirs = first, second
    low, high = _span(theirs, wish.meets)
    notches = [n for n in theirs.marks if low - _END <= n.at <= high + _END]
    if not notches:
        raise PatternError(
            f"{wish.meets} has no notch to meet",
            where=wish.where,
            remedy=f"Put notches on {wish.meets}, or say a place (at) for this one.",
        )
    start, end = _span(mine, own)
    backwards = next(e.backwards for e in mine.edges if (e.piece.name, e.edge.letter) == _key(own))
    shorter, longer = sorted((mine.total, theirs.total))
    gathered = longer - shorter > _GATHERED * shorter and not set_in(mine, theirs)
    found = 0
    for each in notches:
        ahead = each.at <= theirs.total / 2
        lands = each.at if ahead else mine.total - (theirs.total - each.at)
        if gathered:
            lands = each.at / theirs.total * mine.total
        if start - _END <= lands <= end + _END:
            found += 1
            inside = min(max(lands - start, 0.0), end - start)
            yield (end - start - inside if backwards else inside), each.count
    if not found:
        raise PatternError(
            f"none of the notches of {wish.meets} lands on {own} once the seam is walked",
            where=wish.where,
            remedy="Name the edge of this side on which they land, or say a place (at).",
        )


def _span(side: SewnSide, name: EdgeName) -> tuple[float, float]:
    """Where an edge begins and ends along its side."""
    run = 0.0
    for edge, length in zip(side.edges, side.lengths, strict=True):
        if (edge.piece.name, edge.edge.letter) == _key(name):
            return run, run + length
        run += length
    raise AssertionError(f"{name} is on its side of the seam")


def _key(name: EdgeName) -> tuple[str, str]:
    return name.piece, name.letter
