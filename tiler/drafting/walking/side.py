"""One side of a seam: its edges in the order in which they are sewn, without their darts."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import accumulate

from tiler.pattern.affine import Point
from tiler.pattern.model import Edge, Outline, Piece


@dataclass(frozen=True, slots=True)
class SewnNotch:
    """A notch, single or more than one, on a stitch line.

    Args:
        at: Millimetres along the sewn line; of a double notch, its middle.
        count: 1 for a single notch, 2 for a double one, and so on.
        places: Whether a pocket or another placing line ends there: it need not have a partner.
    """

    at: float
    count: int
    places: bool = False


@dataclass(frozen=True, slots=True)
class SewnEdge:
    """An edge in a seam.

    Args:
        piece: The piece that it is on.
        ring: The stitch ring that it is a part of.
        edge: The edge of that ring, clockwise.
        backwards: Whether the seam runs over it anticlockwise.
        parts: The parts of the edge's path that are sewn, in millimetres from its clockwise
            start: all of it, but for the mouths of darts.
        marks: Its notches, `at` counted over the sewn parts from the clockwise start.
    """

    piece: Piece
    ring: Outline
    edge: Edge
    backwards: bool
    parts: tuple[tuple[float, float], ...]
    marks: tuple[SewnNotch, ...]

    @property
    def length(self) -> float:
        """Millimetres that are sewn."""
        return sum(end - start for start, end in self.parts)

    @property
    def notches(self) -> tuple[SewnNotch, ...]:
        """Its notches in the seam's order, counted from where the seam comes in."""
        if not self.backwards:
            return self.marks
        length = self.length
        return tuple(
            SewnNotch(length - mark.at, mark.count, mark.places) for mark in reversed(self.marks)
        )

    def along(self, distance: float) -> float:
        """Millimetres on the edge's path, clockwise, of a distance in the seam's order.

        A distance beyond an end means that end.
        """
        length = self.length
        left = min(max(length - distance if self.backwards else distance, 0.0), length)
        for start, end in self.parts:
            if left <= end - start:
                return start + left
            left -= end - start
        return self.parts[-1][1]

    def neighbour(self, *, at_end: bool) -> Edge:
        """The edge next to it on its piece, where the seam comes in or, at the end, goes out."""
        edges = self.ring.edges
        here = next(i for i, edge in enumerate(edges) if edge.letter == self.edge.letter)
        return edges[(here + (1 if at_end != self.backwards else -1)) % len(edges)]

    def corner(self, *, at_end: bool) -> Point:
        """Where the seam comes in or, at the end, goes out."""
        return self.edge.path.end if at_end != self.backwards else self.edge.path.start

    def __str__(self) -> str:
        return f"{self.piece.name}.{self.edge.letter}"


@dataclass(frozen=True, slots=True)
class SeamPlace:
    """A place on one side of a seam.

    Args:
        piece: The piece that it is on.
        edge: The edge of the piece's stitch ring.
        along: Millimetres on that edge's path, clockwise from its start.
        point: The place itself, on the stitch line.
        direction: Unit vector there, in the direction of the seam.
    """

    piece: Piece
    edge: Edge
    along: float
    point: Point
    direction: tuple[float, float]


@dataclass(frozen=True, slots=True)
class SewnSide:
    """All edges of one side of a seam, end to end.

    Args:
        edges: In the order of the seam.
    """

    edges: tuple[SewnEdge, ...]

    @property
    def lengths(self) -> tuple[float, ...]:
        """Sewn millimetres of each edge."""
        return tuple(edge.length for edge in self.edges)

    @property
    def total(self) -> float:
        """Sewn millimetres of the whole side."""
        return sum(self.lengths)

    @property
    def joints(self) -> tuple[float, ...]:
        """Where one edge follows another, in millimetres from the side's start."""
        return tuple(accumulate(self.lengths))[:-1]

    @property
    def marks(self) -> tuple[SewnNotch, ...]:
        """Its notches, counted from the side's start."""
        starts = (0.0, *self.joints)
        return tuple(
            SewnNotch(start + notch.at, notch.count, notch.places)
            for start, edge in zip(starts, self.edges, strict=True)
            for notch in edge.notches
        )

    @property
    def notches(self) -> tuple[float, ...]:
        """Millimetres of its notches from the side's start, in order."""
        return tuple(mark.at for mark in self.marks)

    def at(self, distance: float) -> SeamPlace:
        """The place a number of millimetres from the side's start; beyond an end, that end."""
        left = distance
        for edge, length in zip(self.edges, self.lengths, strict=True):
            if left <= length or edge is self.edges[-1]:
                break
            left -= length
        along = edge.along(left)
        point, (x, y) = edge.edge.path.point_at(along)
        way = (-x, -y) if edge.backwards else (x, y)
        return SeamPlace(edge.piece, edge.edge, along, point, way)

    def reversed(self) -> SewnSide:
        """The same side walked from its other end."""
        return SewnSide(
            tuple(
                SewnEdge(e.piece, e.ring, e.edge, not e.backwards, e.parts, e.marks)
                for e in reversed(self.edges)
            )
        )

    def __str__(self) -> str:
        return " + ".join(str(edge) for edge in self.edges)
