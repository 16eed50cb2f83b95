"""What all checks look at: the drafted pattern and its seams, walked once."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import TypeVar

from tiler.drafting.checks.fault import Fault
from tiler.drafting.walking.measured import SeamWalk, walk_seam
from tiler.drafting.walking.seams import pieces_in, seam_styles
from tiler.drafting.walking.sense import Ties
from tiler.intake.recall import Recall, afresh
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Outline, Pattern, Piece, Seam


@dataclass(frozen=True)
class Bench:
    """A drafted pattern on the bench.

    Args:
        pattern: Drafted.
        walks: Every seam, once for each style for which it is not the same.
        unwalked: Seams that cannot be walked, and why.
        ties: Which edges are sewn together.
        recall: How each piece and each seam is looked at.
    """

    pattern: Pattern
    walks: tuple[SeamWalk, ...]
    unwalked: tuple[tuple[Seam, PatternError], ...]
    ties: Ties
    recall: Recall = afresh

    def piece(self, name: str) -> Piece:
        """The piece of that name (there is one)."""
        return next(piece for piece in self.pattern.pieces if piece.name == name)

    def each_piece(self, look: Callable[[Piece], Iterator[Fault]]) -> Iterator[Fault]:
        """The faults of every piece, as far as they depend on nothing but the piece."""
        for piece in self.pattern.pieces:
            yield from self.recall((look, piece.name), _seen, look, piece)

    def each_walk(self, look: Callable[[SeamWalk], Iterator[Fault]]) -> Iterator[Fault]:
        """The faults of every walk along a seam, as far as they depend on nothing else."""
        for walk in self.walks:
            yield from self.recall((look, walk.name, walk.style), _seen, look, walk)


Seen = TypeVar("Seen")


def _seen(look: Callable[[Seen], Iterator[Fault]], thing: Seen) -> list[Fault]:
    return list(look(thing))


def bench_of(pattern: Pattern, recall: Recall = afresh) -> Bench:
    """Walk all seams of a drafted pattern.

    Args:
        pattern: Drafted.
        recall: How a seam is walked, and all that is looked at afterwards.
    """
    walks: list[SeamWalk] = []
    unwalked: list[tuple[Seam, PatternError]] = []
    ties = Ties(pattern.seams, pattern.pieces)
    for seam in pattern.seams:
        sewn = pieces_in(pattern, seam)
        try:
            walks += recall((seam.first, seam.second), _walked, sewn, seam, ties)
        except PatternError as error:
            unwalked.append((seam, error))
    return Bench(pattern, tuple(walks), tuple(unwalked), ties, recall)


def _walked(pieces: tuple[Piece, ...], seam: Seam, ties: Ties) -> list[SeamWalk]:
    pattern = Pattern("", pieces)
    return [walk_seam(pattern, seam, style, ties) for style in seam_styles(pattern, seam)]


def width_of(piece: Piece, edge: Edge) -> float | None:
    """The seam allowance of an edge in millimetres, its own or the piece's."""
    return piece.allowance if edge.allowance is None else edge.allowance


def edges_of(piece: Piece) -> Iterator[tuple[Outline, Edge]]:
    """Every edge of the stitch rings; one that several styles share only once."""
    seen: set[tuple[str, object]] = set()
    for ring in piece.stitch:
        for edge in ring.edges:
            key = edge.letter, edge.path
            if key not in seen:
                seen.add(key)
                yield ring, edge


def own_style(piece: Piece, ring: Outline, edge: Edge) -> str:
    """The style of an edge's ring, or empty when the edge is the same in all of them."""
    same = all(
        each.path == edge.path
        for other in piece.stitch or piece.outlines
        for each in other.edges
        if each.letter == edge.letter
    )
    return "" if same else ring.style


def edge_words(edge: Edge) -> str:
    """``edge F (hem)``."""
    return f"edge {edge.letter} ({edge.name})" if edge.name else f"edge {edge.letter}"
