"""Which notch meets which, found by walking the seams."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from tiler.drafting.walking.measured import SeamWalk, walk_seam
from tiler.drafting.walking.seams import seam_styles
from tiler.drafting.walking.sewn import sewn_edge
from tiler.drafting.walking.side import SewnNotch, SewnSide
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Lies, Outline, Pattern, Piece
from tiler.pattern.wishes import EdgeName

#: Places on stitch lines that are the same, millimetres.
_SAME = 1.0


@dataclass(frozen=True, slots=True)
class Meeting:
    """What a notch meets when a seam is sewn.

    Args:
        seam: The maker's word for the seam, or empty.
        kind: notch, same (the same notch of another copy of the piece), joint (where two of the
            other side's edges follow one another), end (where the other side ends) or times (a
            seam into which several copies go, so that no place can be told).
        piece: The piece that is met.
        edge: Its edge, in the maker's word; empty where it has none.
        letter: The letter of that edge.
        number: Which notch of that edge, from 1; 0 where it is the only one, or no notch.
        other: The second piece of a joint.
        times: How many of this piece, and of the other, go into the seam.
    """

    seam: str
    kind: str
    piece: str
    edge: str
    letter: str
    number: int = 0
    other: str = ""
    times: tuple[int, int] = (1, 1)


@dataclass(frozen=True, slots=True)
class NotchFacts:
    """A notch, single or more than one, on an edge of a piece.

    Args:
        edge: The edge, in the maker's word; empty where it has none.
        letter: The letter of the edge.
        number: Which notch of that edge, from 1, clockwise; 0 for the only one.
        count: 1 for a single notch, 2 for a double one.
        distance: Millimetres along the stitch line to the nearer end of the edge.
        beside: The next edge at that end, in the maker's word; empty where it has none.
        beside_letter: The letter of that edge.
        places: Whether a pocket or another placing line ends there.
        point: Where it is, on the stitch line.
        meets: What it meets; empty where nobody has said.
        styles: The styles that it is for; empty for all.
    """

    edge: str
    letter: str
    number: int
    count: int
    distance: float
    beside: str
    beside_letter: str
    places: bool
    point: Point
    meets: tuple[Meeting, ...] = ()
    styles: tuple[str, ...] = ()


def notch_facts(pattern: Pattern) -> dict[str, tuple[NotchFacts, ...]]:
    """The notches of every piece whose stitch line is known, edge by edge.

    Args:
        pattern: Drafted; half pieces are half.
    """
    found = {piece.name: list(_notches(pattern, piece)) for piece in pattern.pieces}
    numbered = {name: _numbered(notches) for name, notches in found.items()}
    for walk in _walks(pattern):
        for which in (0, 1):
            (_count if walk.whole else _meet)(walk, which, numbered)
    return {name: tuple(notches) for name, notches in numbered.items()}


def _walks(pattern: Pattern) -> Iterator[SeamWalk]:
    """Every seam that can be walked; `check` tells why another one cannot."""
    for seam in pattern.seams:
        try:
            for style in seam_styles(pattern, seam):
                yield walk_seam(pattern, seam, style)
        except PatternError:
            continue


def _notches(pattern: Pattern, piece: Piece) -> Iterator[NotchFacts]:
    """Each notch once, with the styles that have it where not all of them do."""
    found: list[NotchFacts] = []
    for ring in piece.stitch:
        for number, edge in enumerate(ring.edges):
            if edge.lies is Lies.FOLD:
                continue
            try:
                sewn = sewn_edge(pattern, EdgeName(piece.name, edge.letter), ring.style)
            except PatternError:
                continue
            for mark in sewn.marks:
                fact = _fact(ring, number, mark, sewn.length, sewn.along(mark.at))
                known = _index(found, fact.point)
                if known is None:
                    found.append(fact)
                else:
                    styles = (*found[known].styles, *fact.styles)
                    found[known] = replace(found[known], styles=styles)
    for fact in found:
        yield replace(fact, styles=()) if len(fact.styles) == len(piece.stitch) else fact


def _fact(ring: Outline, number: int, mark: SewnNotch, length: float, along: float) -> NotchFacts:
    edges = ring.edges
    edge = edges[number]
    late = mark.at > length / 2
    beside = edges[(number + (1 if late else -1)) % len(edges)]
    point, _ = edge.path.point_at(along)
    return NotchFacts(
        edge=edge.name,
        letter=edge.letter,
        number=0,
        count=mark.count,
        distance=length - mark.at if late else mark.at,
        beside=beside.name,
        beside_letter=beside.letter,
        places=mark.places,
        styles=(ring.style,),
        point=point,
    )


def _numbered(notches: list[NotchFacts]) -> list[NotchFacts]:
    """Numbers where an edge has several notches in one style."""
    numbered = []
    for notch in notches:
        beside = [other for other in notches if _together(notch, other)]
        number = beside.index(notch) + 1 if len(beside) > 1 else 0
        numbered.append(replace(notch, number=number))
    return numbered


def _together(one: NotchFacts, other: NotchFacts) -> bool:
    if one.letter != other.letter:
        return False
    return not (one.styles and other.styles) or bool(set(one.styles) & set(other.styles))


def _meet(walk: SeamWalk, which: int, found: dict[str, list[NotchFacts]]) -> None:
    """Add what the notches of one side of a seam meet."""
    here, there = walk.sides[which], walk.sides[1 - which]
    for pair in walk.pairing.pairs:
        real = pair.real[:: 1 if which == 0 else -1]
        at, other = (pair.first, pair.second)[:: 1 if which == 0 else -1]
        if not real[0]:
            continue
        place = here.at(at)
        index = _index(found[place.piece.name], place.point)
        if index is None:
            continue
        meeting = _meeting(walk.seam.name, there, other, real[1], found)
        if meeting is None:
            continue
        notch = found[place.piece.name][index]
        if meeting.kind == "notch" and (meeting.piece, meeting.letter, meeting.number) == (
            place.piece.name,
            notch.letter,
            notch.number,
        ):
            meeting = replace(meeting, kind="same")
        if meeting not in notch.meets:
            met = replace(notch, meets=(*notch.meets, meeting))
            found[place.piece.name][index] = met


def _count(walk: SeamWalk, which: int, found: dict[str, list[NotchFacts]]) -> None:
    """Add the seams into which several copies of a piece go."""
    here, there = walk.sides[which], walk.sides[1 - which]
    times = walk.seam.times if which == 0 else walk.seam.times[::-1]
    for edge in here.edges:
        notches = found[edge.piece.name]
        for number, notch in enumerate(notches):
            if notch.letter != edge.edge.letter:
                continue
            other = there.edges[0]
            meeting = Meeting(
                walk.seam.name,
                "times",
                other.piece.name,
                other.edge.name,
                other.edge.letter,
                times=times,
            )
            if meeting not in notch.meets:
                notches[number] = replace(notch, meets=(*notch.meets, meeting))


def _meeting(
    seam: str, side: SewnSide, at: float, real: bool, found: dict[str, list[NotchFacts]]
) -> Meeting | None:
    place = side.at(at)
    name, edge = place.piece.name, place.edge
    if real:
        index = _index(found[name], place.point)
        if index is None:
            return None
        notch = found[name][index]
        return Meeting(seam, "notch", name, notch.edge, notch.letter, notch.number)
    for number, joint in enumerate(side.joints):
        if abs(joint - at) <= _SAME:
            one, other = side.edges[number], side.edges[number + 1]
            return Meeting(
                seam, "joint", one.piece.name, edge.name, edge.letter, other=other.piece.name
            )
    return Meeting(seam, "end", name, edge.name, edge.letter)


def _index(notches: list[NotchFacts], point: Point) -> int | None:
    near = [(notch.point.to(point), number) for number, notch in enumerate(notches)]
    distance, number = min(near, default=(float("inf"), -1))
    return number if distance <= _SAME else None
