"""How large the pieces of a picture are drawn, and where each of them lies."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from tiler.pattern.model import Pattern
from tiler.sheets.pictured import Pictured, draw_pictured
from tiler.sheets.skyline import packed

#: Between two pieces, millimetres.
GAP = 7.0
#: The tallest piece is drawn this high at most, and the larger side of the largest one at least
#: this long if that goes on the smaller paper, millimetres.
TALLEST, LEAST = 230.0, 165.0
#: Room for the words on both sides of the widest piece, millimetres.
_BESIDE = 60.0
_STEP = 0.92
#: A guess that is over by less than this share is tried.
_NEARLY = 1.04

_Size = tuple[float, float]


@dataclass(frozen=True)
class Composed:
    """Pieces at one scale, and how far from the left and the top each one's corner lies."""

    factor: float
    pieces: tuple[Pictured, ...]
    places: tuple[tuple[float, float], ...]

    @property
    def height(self) -> float:
        """Millimetres that the pieces take."""
        return max(
            down + piece.extent.height
            for piece, (_, down) in zip(self.pieces, self.places, strict=True)
        )


def compose(pattern: Pattern, width: float, heights: Sequence[float]) -> Composed:
    """The pieces as large as they fit, at one scale.

    Args:
        pattern: Drafted, at least one piece.
        width: Room across, millimetres.
        heights: Room down on each paper, the smallest first; where the pieces would be too small
            on one, the next is taken, and the last one may be run over.
    """
    tries = list(_tries(pattern, width, heights))
    first = _at(pattern, tries[0][0], width)
    # The words take the same room at any scale, or nearly so.
    sides = [(box.width, box.height) for box in (piece.bounds for piece in pattern.pieces)]
    drawn = {each.name: each.extent for each in first.pieces}
    words = [
        (
            drawn[piece.name].width - first.factor * wide,
            drawn[piece.name].height - first.factor * high,
        )
        for piece, (wide, high) in zip(pattern.pieces, sides, strict=True)
    ]
    made = first
    for factor, room in tries:
        guess = [
            (wide * factor + more[0], high * factor + more[1])
            for (wide, high), more in zip(sides, words, strict=True)
        ]
        if _lowest(guess, width)[2] > room * _NEARLY:
            continue
        made = first if factor == first.factor else _at(pattern, factor, width)
        if made.height <= room:
            return made
    smallest = tries[-1][0]
    return made if made.factor == smallest else _at(pattern, smallest, width)


def _tries(
    pattern: Pattern, width: float, heights: Sequence[float]
) -> Iterator[tuple[float, float]]:
    """Scales with the room that they are for, best first."""
    tallest = max(piece.bounds.height for piece in pattern.pieces)
    widest = max(piece.bounds.width for piece in pattern.pieces)
    most = min(1.0, TALLEST / tallest, (width - _BESIDE) / widest)
    least = min(most, LEAST / max(tallest, widest))
    for room in heights:
        factor = most
        while factor > least:
            yield factor, room
            factor *= _STEP
        yield least, room


def _at(pattern: Pattern, factor: float, width: float) -> Composed:
    drawn = [draw_pictured(piece, pattern, factor) for piece in pattern.pieces]
    order, places, _ = _lowest([(p.extent.width, p.extent.height) for p in drawn], width)
    return Composed(factor, tuple(drawn[number] for number in order), tuple(places))


def _lowest(sizes: Sequence[_Size], width: float) -> tuple[list[int], list[_Size], float]:
    """The lowest of some packings: high, large or wide pieces first; else in the pattern's order.

    Sizes are compared roughly, so that pieces of about the same size stay in order.

    Returns:
        The pieces' numbers as they are set, their places, and the height of all.
    """
    orders: tuple[Callable[[_Size], float], ...] = (
        lambda size: round(size[1] / 12),
        lambda size: round(size[0] * size[1] / 500),
        lambda size: round(size[0] / 12),
    )
    tried = []
    for order in orders:
        numbers = sorted(range(len(sizes)), key=lambda number: -order(sizes[number]))
        boxes = [(sizes[n][0] + GAP, sizes[n][1] + GAP) for n in numbers]
        places = packed(boxes, width + GAP)
        high = max(down + box[1] - GAP for box, (_, down) in zip(boxes, places, strict=True))
        tried.append((numbers, places, high))
    return min(tried, key=lambda packing: packing[2])
