"""All notches of a pattern, put on the cut lines of its pieces."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from tiler.drafting.marking.across import once
from tiler.drafting.marking.places import edge_named, stitch_rings
from tiler.drafting.notching.foot import Rings
from tiler.drafting.notching.legs import leg_marks
from tiler.drafting.notching.meeting import landings, seam_between
from tiler.drafting.notching.narrow import turned_outwards
from tiler.drafting.notching.standing import carried
from tiler.drafting.notching.wished import at_place, put, usual_count
from tiler.drafting.walking.seams import pieces_in
from tiler.drafting.walking.sense import Ties
from tiler.drafting.walking.sewn import sewn_edge
from tiler.drafting.walking.side import SewnEdge
from tiler.intake.recall import Recall, afresh
from tiler.intake.ring import MEETS
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Finding, Mark, Outline, Pattern, Piece, Seam
from tiler.pattern.wishes import EdgeName, NotchWish, Wishes


def with_notches(pattern: Pattern, recall: Recall = afresh) -> Pattern:
    """Put the notches of every piece on its cut lines.

    Drawn notches on the stitch line are carried square to the cut line, those on the cut line
    stay as drawn. The legs of darts are notched. Wished notches are put at their places, which
    are measured along the stitch line as it is sewn, with its darts closed; or where the notches
    of the partner edge land once their seam is walked. On a back they are double where the maker
    has not said how many.

    Args:
        pattern: Drafted as far as its cut lines.
        recall: How each piece and each wish is done.

    Raises:
        PatternError: A place is off its edge, a partner is not known or has no notches, or
            notches wait for one another; with the place of the wish.
    """
    findings = list(pattern.findings)
    rings = [
        recall(piece.name, rings_between, piece.stitch, piece.outlines) for piece in pattern.pieces
    ]
    pieces = [
        recall(piece.name, _own_notches, piece, own)
        for piece, own in zip(pattern.pieces, rings, strict=True)
    ]
    made = replace(pattern, pieces=tuple(pieces))
    waiting = [
        (number, wish) for number, piece in enumerate(pieces) for wish in piece.wishes.notches
    ]
    ties = Ties(pattern.seams, pattern.pieces)
    for number, wish in _in_order(made, waiting):
        made = _with_wish(made, number, rings[number], wish, ties, recall)
    for was, piece in zip(pattern.pieces, made.pieces, strict=True):
        findings += recall(piece.name, _told, was, piece)
    fresh: tuple[Finding, ...] = tuple(dict.fromkeys(findings))
    return replace(made, findings=fresh)


def rings_between(stitch: Sequence[Outline], outlines: Sequence[Outline]) -> list[Rings]:
    """The stitch line and the cut line of every style of a piece; empty when not known."""
    return [Rings(ring, outline) for ring, outline in zip(stitch, outlines, strict=False)]


def _told(before: Piece, after: Piece) -> list[Finding]:
    return list(turned_outwards(before, after))


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


def _with_wish(
    pattern: Pattern, number: int, rings: list[Rings], wish: NotchWish, ties: Ties, recall: Recall
) -> Pattern:
    piece = pattern.pieces[number]
    stitch_rings(piece, wish.where, "the place of a notch")
    # How an edge is sewn, and how a notch is drawn, depends on no notch and no other wish.
    bare = replace(piece, marks=(), wishes=Wishes(notch_shape=piece.wishes.notch_shape))
    about = piece.name, wish.edge
    if wish.meets is None:
        made = recall(about, _placed, bare, rings, wish)
    else:
        seam = seam_between(pattern, EdgeName(piece.name, wish.edge), wish)
        sewn = pieces_in(pattern, seam)
        made = recall(about, _meeting, bare, rings, wish, seam, sewn, ties)
    added = [mark for mark in made if not any(_alike(mark, there) for there in piece.marks)]
    fresh = replace(piece, marks=(*piece.marks, *added))
    pieces = (*pattern.pieces[:number], fresh, *pattern.pieces[number + 1 :])
    return replace(pattern, pieces=pieces)


def _placed(piece: Piece, rings: list[Rings], wish: NotchWish) -> list[Mark]:
    """The notches of a wish with a place of its own."""
    made: list[Mark] = []
    for each in rings:
        sewn = _sewn(piece, each, wish)
        along, count = at_place(wish, sewn), wish.count or usual_count(piece)
        made += put(wish, piece, each, sewn, along, count)
    return list(once(made, _styles(rings)))


def _meeting(
    piece: Piece,
    rings: list[Rings],
    wish: NotchWish,
    seam: Seam,
    sewn_together: tuple[Piece, ...],
    ties: Ties,
) -> list[Mark]:
    """The notches of a wish that stand where those of another edge land."""
    made: list[Mark] = []
    pattern = Pattern("", sewn_together)
    for each in rings:
        sewn = _sewn(piece, each, wish)
        for along, count in landings(
            pattern, seam, wish, EdgeName(piece.name, wish.edge), each.style, ties
        ):
            made += put(wish, piece, each, sewn, along, wish.count or count)
    return list(once(made, _styles(rings)))


def _sewn(piece: Piece, rings: Rings, wish: NotchWish) -> SewnEdge:
    edge_named(rings.stitch, wish.edge, wish.where)
    name = EdgeName(piece.name, wish.edge)
    return sewn_edge(Pattern("", (piece,)), name, rings.style, wish.where)


def _alike(one: Mark, other: Mark) -> bool:
    """Whether two notches are one: the maker has drawn it and asked for it too."""
    ends = one.path.start.to(other.path.start), one.path.end.to(other.path.end)
    return (one.role, one.style) == (other.role, other.style) and max(ends) <= MEETS


def _styles(rings: list[Rings]) -> list[str]:
    return [each.style for each in rings if each.style]
