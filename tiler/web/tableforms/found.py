"""Which entry of the file stands behind a notch, dart or mark that is drawn."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tiler.intake.nearest import Seeker
from tiler.pattern.affine import Point
from tiler.pattern.wishes import DartWish, Place
from tiler.sheets.benchpiecemarks import told_darts, told_marks

if TYPE_CHECKING:
    from tiler.pattern.model import Edge, Piece

#: A drawn thing that is farther (millimetres) from all that the file asks for was drawn by hand.
_NEAR = 12.0


@dataclass(frozen=True)
class Wish:
    """What a thing in the picture comes from.

    Args:
        key: notches, darts or marks.
        edge: The letter that it lies at.
        number: Which entry of the file, from 0; None when the drawing itself has it.
    """

    key: str
    edge: str
    number: int | None


def wish_of(piece: Piece, thing: str, number: int) -> Wish | None:
    """The entry behind a thing.

    Args:
        piece: Drafted.
        thing: notch, dart or mark.
        number: As the picture counts, from 1.

    Returns:
        None when there is no such thing.
    """
    if thing == "dart":
        return _dart(piece, number)
    marks = {told.layer: told for told in told_marks(piece)}
    told = marks.get(f"{thing}:{number}")
    if told is None:
        return None
    if thing == "notch" and told.edge is not None:
        return Wish("notches", told.edge.letter, _notch(piece, told.edge.letter, told.along))
    edge, along = _nearest_edge(piece, told.mark.at)
    role = told.mark.role
    asked = [
        (abs(_resolved(wish.at, edge.path.length) - along), n, wish)
        for n, wish in enumerate(piece.wishes.marks)
        if wish.kind == role.value
    ]
    # A row has several marks behind one entry: any on its edge will do.
    near = min(
        ((0.0 if wish.at.edge == edge.letter else 1.0, off, n, wish) for off, n, wish in asked),
        key=lambda each: each[:3],
        default=None,
    )
    if near is None:
        return Wish("marks", edge.letter, None)
    return Wish("marks", near[3].at.edge, near[2])


def _notch(piece: Piece, letter: str, along: float) -> int | None:
    length = next(
        e.path.length
        for ring in (piece.stitch or piece.outlines)
        for e in ring.edges
        if e.letter == letter
    )
    own: list[tuple[float, int]] = []
    meeting: list[int] = []
    for number, wish in enumerate(piece.wishes.notches):
        if wish.edge != letter:
            continue
        if wish.at is None:
            meeting.append(number)
        else:
            own.append((abs(_resolved(wish.at, length) - along), number))
    best = min(own, default=None)
    if best is not None and best[0] <= _NEAR:
        return best[1]
    return meeting[0] if meeting else None


def _dart(piece: Piece, number: int) -> Wish | None:
    darts = told_darts(piece)
    if not 1 <= number <= len(darts):
        return None
    dart = darts[number - 1]
    ends = dart.corners if dart.line.path.closed else (dart.corners[0], dart.corners[-1])
    middle = Point(sum(p.x for p in ends) / len(ends), sum(p.y for p in ends) / len(ends))
    edge, _ = _nearest_edge(piece, middle)
    asked = []
    for n, wish in enumerate(piece.wishes.darts):
        place = wish.at if isinstance(wish, DartWish) else wish.beside
        other = next((e for e in _edges(piece) if e.letter == place.edge), None)
        if other is None:
            continue
        seek = Seeker(other.path).nearest(middle)
        off = abs(_resolved(place, other.path.length) - _along(other, seek.segment, seek.t))
        fits = isinstance(wish, DartWish) != dart.line.path.closed
        asked.append((not fits, off, n, place.edge))
    if not asked:
        return Wish("darts", edge.letter, None)
    _, off, n, letter = min(asked)
    return Wish("darts", letter, n if off <= 5 * _NEAR else None)


def _nearest_edge(piece: Piece, point: Point) -> tuple[Edge, float]:
    found = [(Seeker(edge.path).nearest(point), edge) for edge in _edges(piece)]
    near, edge = min(found, key=lambda each: each[0].distance)
    return edge, _along(edge, near.segment, near.t)


def _edges(piece: Piece) -> list[Edge]:
    return [edge for ring in (piece.stitch or piece.outlines)[:1] for edge in ring.edges]


def _along(edge: Edge, segment: int, t: float) -> float:
    from tiler.drafting.darts.parts import distance_to

    return distance_to(edge.path, segment, t)


def _resolved(place: Place, length: float) -> float:
    """Millimetres from the start of an edge that is so long."""
    along = place.length if place.length is not None else (place.fraction or 0.0) * length
    return length - along if place.from_end else along
