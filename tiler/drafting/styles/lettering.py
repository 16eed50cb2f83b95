"""The edges of a changed ring in their order, each letter once."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace

from tiler.intake.edges import CORNER_TURN
from tiler.pattern.model import Edge, Outline
from tiler.pattern.path import Path
from tiler.pattern.segment import Segment, turn_between


@dataclass(frozen=True, slots=True)
class Named:
    """A path that takes letter, name and all else from an edge of the ring before.

    Args:
        origin: That edge's index.
        path: From corner to corner, clockwise.
    """

    origin: int
    path: Path

    def then(self, path: Path) -> Named:
        """With another path behind it."""
        return replace(self, path=Path(self.path.segments + path.segments))


def base_letter(letter: str) -> str:
    """The letter of the tracing: B for B, B2 and B3."""
    return letter.rstrip("0123456789")


def bends(before: Segment, after: Segment) -> bool:
    """Whether there is a corner between two segments."""
    return abs(turn_between(before, after)) > CORNER_TURN


def split_at_corners(line: Path) -> list[Path]:
    """The parts of an open line between its corners (turns of more than 30 degrees)."""
    parts: list[list[Segment]] = []
    for segment in line.segments:
        if parts and not bends(parts[-1][-1], segment):
            parts[-1].append(segment)
        else:
            parts.append([segment])
    return [Path(tuple(part)) for part in parts]


def in_order(before: Outline, ring: Sequence[Named]) -> Outline:
    """Edges clockwise from the lowest letter, several of one letter told apart as B, B2, B3.

    Args:
        before: The ring whose edges they were.
        ring: Clockwise, from anywhere.
    """
    lowest = min(named.origin for named in ring)
    starts = [
        number
        for number, named in enumerate(ring)
        if named.origin == lowest and ring[number - 1].origin > lowest
    ]
    first = starts[0] if starts else 0
    seen: Counter[str] = Counter()
    edges: list[Edge] = []
    for named in (*ring[first:], *ring[:first]):
        edge = before.edges[named.origin]
        letter = base_letter(edge.letter)
        seen[letter] += 1
        number = str(seen[letter]) if seen[letter] > 1 else ""
        edges.append(replace(edge, letter=letter + number, path=named.path))
    return replace(before, edges=tuple(edges))
