"""The ring of a half opened across its fold, and the letters of its edges."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from tiler.drafting.unfold.half import Half
from tiler.drafting.unfold.lines import pinned
from tiler.drafting.unfold.mirror import Axis
from tiler.intake.edges import CORNER_TURN, edges_of, letter_of, nearest_lower_left
from tiler.pattern.model import Edge, Outline
from tiler.pattern.path import Path
from tiler.pattern.segment import turn_between


@dataclass(frozen=True, slots=True)
class Lettering:
    """How the edges of a half and of its mirror image become the edges of the whole.

    Args:
        at_start: Whether the edges that meet at the fold's start are one edge in the whole.
        at_end: The same at the fold's end.
        letters: Letter in the half, and whether the mirror image is meant -> letter in the whole.
    """

    at_start: bool
    at_end: bool
    letters: dict[tuple[str, bool], str]


def lettering(half: Half, axis: Axis) -> Lettering:
    """Letter the whole by the rule for drawn outlines.

    Edges keep their corners on both sides. At an end of the fold there is a corner when the
    opened line turns there by more than 30 degrees. A is the edge that starts at the corner
    nearest the lower left.
    """
    parts = _parts(half, axis)
    count = len(half.rest)
    at_end, at_start = (
        abs(turn_between(parts[k - 1][1].segments[-1], parts[k][1].segments[0])) <= CORNER_TURN
        for k in (0, count)
    )
    starts = [
        k for k in range(2 * count) if not (k == 0 and at_end) and not (k == count and at_start)
    ]
    letters: dict[tuple[str, bool], str] = {}
    if starts:
        ring = Path(tuple(s for _, path in parts for s in path.segments), closed=True)
        firsts = [sum(len(path.segments) for _, path in parts[:k]) for k in starts]
        first = firsts.index(nearest_lower_left(ring, firsts))
        order = starts[first:] + starts[:first]
        for number, start in enumerate(order):
            stop = order[(number + 1) % len(order)]
            for k in _from_to(start, stop, 2 * count):
                letters[(parts[k][0].letter, k >= count)] = letter_of(number)
    else:
        letters = {(half.rest[0].letter, side): "A" for side in (False, True)}
    return Lettering(at_start, at_end, letters)


def opened_ring(half: Half, axis: Axis, made: Lettering) -> Outline:
    """The half and its mirror image as one ring; names and what lies on the edges are kept."""
    parts = _parts(half, axis)
    count = len(half.rest)
    if made.at_start and made.at_end and count == 1:
        ring = Path(tuple(s for _, path in parts for s in path.segments), closed=True)
        only = half.rest[0]
        found = tuple(replace(only, letter=e.letter, path=e.path) for e in edges_of(ring))
        return Outline(half.outline.role, found, half.outline.style)
    edges: list[Edge] = []
    for k, (edge, path) in enumerate(parts):
        letter = made.letters[edge.letter, k >= count]
        if edges and edges[-1].letter == letter:
            edges[-1] = _longer(edges[-1], path)
        else:
            edges.append(replace(edge, letter=letter, path=path))
    if len(edges) > 1 and edges[0].letter == edges[-1].letter:
        last = edges.pop()
        edges[0] = _longer(last, edges[0].path)
    first = next(number for number, edge in enumerate(edges) if edge.letter == "A")
    return Outline(half.outline.role, tuple(edges[first:] + edges[:first]), half.outline.style)


def _longer(edge: Edge, by: Path) -> Edge:
    return replace(edge, path=Path(edge.path.segments + by.segments))


def _parts(half: Half, axis: Axis) -> list[tuple[Edge, Path]]:
    """The edges clockwise from the fold's end to its start, then their images back to its end."""
    drawn = [edge.path for edge in half.rest]
    drawn[0] = pinned(drawn[0], axis.foot(drawn[0].start), drawn[0].end)
    drawn[-1] = pinned(drawn[-1], drawn[-1].start, axis.foot(drawn[-1].end))
    images = [path.moved(axis.mirror).reversed() for path in reversed(drawn)]
    images[0] = pinned(images[0], drawn[-1].end, images[0].end)
    images[-1] = pinned(images[-1], images[-1].start, drawn[0].start)
    return [*zip(half.rest, drawn, strict=True), *zip(reversed(half.rest), images, strict=True)]


def _from_to(start: int, stop: int, count: int) -> Sequence[int]:
    if start < stop:
        return range(start, stop)
    return [*range(start, count), *range(stop)]
