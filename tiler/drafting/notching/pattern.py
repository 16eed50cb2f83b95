"""All notches of a pattern, put on the cut lines of its pieces."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from tiler.drafting.marking.across import once
from tiler.drafting.marking.places import edge_named, stitch_rings
from tiler.drafting.notching.foot import Rings
from tiler.drafting.notching.legs import leg_marks
from tiler.drafting.notching.meeting import landings, seam_between
from tiler.drafting.notching.narrow import turned_outwards
from tiler.drafting.notching.standing import carried
from tiler.drafting.notching.wished import at_place, put, usual_count
from tiler.drafting.walking.sewn import sewn_edge
from tiler.intake.ring import MEETS
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Finding, Mark, Pattern, Piece
from tiler.pattern.wishes import EdgeName, NotchWish


def with_notches(pattern: Pattern) -> Pattern:
    """Put the notches of every piece on its cut lines.

    Drawn notches on the stitch line are carried square to the cut line, those on the cut line
    stay as drawn. The legs of darts are notched. Wished notches are put at their places, which
    are measured along the stitch line as it is sewn, with its darts closed; or where the notches
    of the partner edge land once their seam is walked. On a back they are double where the maker
    has not said how many.

    Args:
        pattern: Drafted as far as its cut lines.

    Raises:
        PatternError: A place is off its edge, a partner is not known or has no notches, or
            notches wait for one another; with the place of the wish.
    """
    findings = list(pattern.findings)
    rings = [rings_of(piece) for piece in pattern.pieces]
    pieces = [_own_notches(piece, own) for piece, own in zip(pattern.pieces, rings, strict=True)]
    made = replace(pattern, pieces=tuple(pieces))
    waiting = [
        (number, wish) for number, piece in enumerate(pieces) for wish in piece.wishes.notches
    ]
    for number, wish in _in_order(made, waiting):
        made = _with_wish(made, number, rings[number], wish)
    for was, piece in zip(pattern.pieces, made.pieces, strict=True):
        findings += turned_outwards(was, piece)
    fresh: tuple[Finding, ...] = tuple(dict.fromkeys(findings))
    return replace(made, findings=fresh)


def rings_of(piece: Piece) -> list[Rings]:
    """The stitch line and the cut line of every style of a piece; empty when not known."""
    return [
        Rings(ring, outline) for ring, outline in zip(piece.stitch, piece.outlines, strict=False)
    ]


def _own_notches(piece: Piece, rings: list[Rings]) -> Piece:
    """The piece with its drawn notches on the cut line, and its dart legs notched."""
    if not rings:
        return piece
    where, shape = piece.place, piece.wishes.notch_shape
    marks = list(carried(piece.marks, rings, shape, where))
    legs = [mark for each in rings for mark in leg_marks(piece.lines, marks, each, shape, where)]
    return replace(piece, marks=(*marks, *once(legs, _styles(rings))))


def _in_order(
    pattern: Pattern, waiting: list[tuple[int, NotchWish]]
) -> Iterable[tuple[int, NotchWish]]:
    """Wishes with a place of their own first, and others once what they meet is there.

    Raises:
        PatternError: Two edges that wait for one another's notches.
    """
    open_ = list(waiting)
    while open_:
        blocked = {(pattern.pieces[number].name, wish.edge) for number, wish in open_}
        ready = [
            (number, wish)
            for number, wish in open_
            if wish.meets is None or (wish.meets.piece, wish.meets.letter) not in blocked
        ]
        if not ready:
            number, wish = open_[0]
            raise PatternError(
                f"the notches of {pattern.pieces[number].name}.{wish.edge} and of {wish.meets} "
                "wait for one another",
                where=wish.where,
                remedy="Say a place (at) for the notches of one of them.",
            )
        yield from ready
        open_ = [each for each in open_ if each not in ready]


def _with_wish(pattern: Pattern, number: int, rings: list[Rings], wish: NotchWish) -> Pattern:
    piece = pattern.pieces[number]
    stitch_rings(piece, wish.where, "the place of a notch")
    name = EdgeName(piece.name, wish.edge)
    if wish.meets is not None:
        seam_between(pattern, name, wish)
    made: list[Mark] = []
    # How an edge is sewn does not depend on notches, and looking for them takes its time.
    bare = Pattern("", (replace(piece, marks=()),))
    for each in rings:
        edge_named(each.stitch, wish.edge, wish.where)
        sewn = sewn_edge(bare, name, each.style, wish.where)
        if wish.meets is None:
            places = [(at_place(wish, sewn), wish.count or usual_count(piece))]
        else:
            places = [
                (along, wish.count or count)
                for along, count in landings(pattern, piece, wish, each.style)
            ]
        for along, count in places:
            made += put(wish, piece, each, sewn, along, count)
    added = [
        mark
        for mark in once(made, _styles(rings))
        if not any(_alike(mark, there) for there in piece.marks)
    ]
    fresh = replace(piece, marks=(*piece.marks, *added))
    pieces = (*pattern.pieces[:number], fresh, *pattern.pieces[number + 1 :])
    return replace(pattern, pieces=pieces)


def _alike(one: Mark, other: Mark) -> bool:
    """Whether two notches are one: the maker has drawn it and asked for it too."""
    ends = one.path.start.to(other.path.start), one.path.end.to(other.path.end)
    return (one.role, one.style) == (other.role, other.style) and max(ends) <= MEETS


def _styles(rings: list[Rings]) -> list[str]:
    return [each.style for each in rings if each.style]
