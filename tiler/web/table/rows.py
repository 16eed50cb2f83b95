"""What the table tells of a piece: its edges with their lengths, and what lies on it."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass

from tiler.pattern.model import Edge, Pattern, Piece, Role
from tiler.pattern.wishes import EdgeName
from tiler.sheets.benchpieceedges import ToldEdge, told_edges
from tiler.sheets.benchpiecemarks import ToldDart, ToldMark, told_darts, told_marks


@dataclass(frozen=True)
class Sewn:
    """A seam that an edge is in.

    Args:
        name: The maker's word for it, or empty.
        others: Piece, letter and name of each edge on the other side.
    """

    name: str
    others: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True)
class EdgeRow:
    """All that is told of one letter.

    Args:
        letter: Of the edge.
        edge: As drafted; of the first style where styles differ.
        ways: Its lines, one or one a style.
        notches: How many stand on it.
        seams: The seams that it is in.
    """

    letter: str
    edge: Edge
    ways: tuple[ToldEdge, ...]
    notches: int
    seams: tuple[Sewn, ...]


@dataclass(frozen=True)
class Things:
    """What lies on a piece and can be chosen, but for its edges."""

    notches: tuple[ToldMark, ...]
    darts: tuple[ToldDart, ...]
    marks: tuple[ToldMark, ...]

    def of_role(self, told: ToldMark) -> int:
        """Which of its own kind a mark is, from 1; 0 where it is the only one."""
        alike = [each for each in self.marks if each.mark.role is told.mark.role]
        return alike.index(told) + 1 if len(alike) > 1 else 0

    def __bool__(self) -> bool:
        return bool(self.notches or self.darts or self.marks)


def edge_rows(piece: Piece, pattern: Pattern, things: Things) -> tuple[EdgeRow, ...]:
    """The edges in the order of their letters, clockwise.

    Args:
        piece: Drafted.
        pattern: What it belongs to.
        things: What lies on the piece.
    """
    ways: dict[str, list[ToldEdge]] = {}
    for way in told_edges(piece):
        ways.setdefault(way.edge.letter, []).append(way)
    on = Counter(told.edge.letter for told in things.notches if told.edge)
    return tuple(
        EdgeRow(letter, own[0].edge, tuple(own), on[letter], _seams(piece, letter, pattern))
        for letter, own in ways.items()
    )


def thing_rows(piece: Piece) -> Things:
    """Notches, darts and other marks, as the drawing numbers them."""
    marks = told_marks(piece)
    return Things(
        tuple(told for told in marks if told.mark.role is Role.NOTCH),
        told_darts(piece),
        tuple(told for told in marks if told.mark.role is not Role.NOTCH),
    )


def _seams(piece: Piece, letter: str, pattern: Pattern) -> tuple[Sewn, ...]:
    here = EdgeName(piece.name, letter)
    names = {
        (each.name, edge.letter): edge.name
        for each in pattern.pieces
        for outline in each.outlines
        for edge in outline.edges
    }
    found = []
    for seam in pattern.seams:
        for one, other in ((seam.first, seam.second), (seam.second, seam.first)):
            if here in one:
                others = dict.fromkeys((e.piece, e.letter) for e in other)
                told = tuple((*edge, names.get(edge, "")) for edge in others)
                found.append(Sewn(seam.name, told))
                break
    return tuple(found)
