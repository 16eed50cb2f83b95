"""How a long piece of cloth goes on a page in rows, so that it is drawn as large as possible.

A row is a stretch of the length, spread one way. Rows lie on shelves from the top down; short ones
share a shelf.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import count, pairwise

from tiler.layout.cloth.model import Part, Spread

#: Room left of a row for its width and the names of its edges, above it for words and inches, below
#: it for centimetres, and between two rows, millimetres of the picture.
LEFT, ABOVE, BELOW, APART = 15.0, 9.4, 5.4, 2.5
#: A further row has to be worth that much of the scale, a piece that goes on in another row that
#: much: each is one more thing to understand.
_ROW, _CROSSED = 0.10, 0.05
#: The part of a row in which it may end, to cross as few pieces as possible, and the places tried.
_LOOSE, _PLACES = 0.3, 24
#: Scales that are tried: 1 : 2, 1 : 3 and on.
_FIRST = 2


@dataclass(frozen=True)
class Row:
    """A stretch of the length and where it lies.

    Args:
        part: What it is a stretch of.
        start: Where it begins along the cloth, millimetres of cloth.
        end: Where it ends.
        tall: How far the cloth reaches across as it lies, millimetres of cloth.
        left: Of the picture's frame, to where `start` is, millimetres of the picture.
        down: From the top of the frame to the cloth's upper edge, millimetres of the picture.
    """

    part: Part
    start: float
    end: float
    tall: float
    left: float
    down: float

    @property
    def begins(self) -> bool:
        """Whether its part begins in it."""
        return self.start <= self.part.start

    @property
    def ends(self) -> bool:
        """Whether its part ends in it."""
        return self.end >= self.part.end


@dataclass(frozen=True)
class Rows:
    """All of them, drawn at 1 : `scale`; `height` in millimetres of the picture."""

    rows: tuple[Row, ...]
    scale: int
    height: float
    crossed: int

    def free(self, row: Row, wide: float) -> float:
        """How far it is from the beginning of a row to its neighbour on the right, or to the end.

        Args:
            row: One of them.
            wide: Of the frame, millimetres of the picture.
        """
        beside = (other for other in self.rows if other.down == row.down and other.left > row.left)
        return min((other.left - LEFT - APART for other in beside), default=wide) - row.left

    @property
    def worth(self) -> float:
        """The scale, made worse by what makes it harder to read; less is better."""
        return self.scale * (1 + _ROW * (len(self.rows) - 1) + _CROSSED * self.crossed)


def across(part: Part, width: float) -> float:
    """How far the cloth reaches across in a part, millimetres.

    Args:
        part: Spread one way.
        width: Of the cloth as it is cut.
    """
    return width / 2 if part.spread is Spread.FOLDED else width


def rows_of(parts: Sequence[Part], width: float, wide: float, high: float) -> Rows:
    """The rows that are best to read in a frame.

    Args:
        parts: In the order in which they follow one another along the cloth.
        width: Of the cloth as it is cut.
        wide: Of the frame, millimetres of the picture.
        high: Of the frame.
    """
    known = [_Known.of(part) for part in parts]
    best: Rows | None = None
    for scale in count(_FIRST):
        if best and scale > best.worth:
            return best
        for rows in _tried(known, width, wide, high, scale):
            if best is None or rows.worth < best.worth:
                best = rows
    raise AssertionError("the scale has no end")


@dataclass(frozen=True)
class _Known:
    """A part, and from where to where along the cloth each of its pieces reaches."""

    part: Part
    spans: tuple[tuple[float, float], ...]

    @classmethod
    def of(cls, part: Part) -> _Known:
        along = [[x for x, _ in laid.outline] for laid in part.laid]
        return cls(part, tuple((min(xs), max(xs)) for xs in along))

    def crosses(self, place: float) -> int:
        """How many pieces a line across the cloth runs through."""
        return sum(low < place < high for low, high in self.spans)


_Stretch = tuple[_Known, float, float]


def _tried(
    parts: Sequence[_Known], width: float, wide: float, high: float, scale: int
) -> Iterator[Rows]:
    room = (wide - LEFT) * scale
    stretches = [each for part in parts for each in _stretches(part, room)]
    yield from _fitting(_shelved(stretches, width, wide, scale), scale, high, stretches)
    # The last part may stand beside the rows of the others when it is short.
    for tower in parts[1:][-1:]:
        side = LEFT + (tower.part.end - tower.part.start) / scale + APART
        rest = (wide - side - LEFT) * scale
        if rest <= 0:
            continue
        others = [each for part in parts if part is not tower for each in _stretches(part, rest)]
        rows, height = _shelved(others, width, wide - side, scale)
        (row,), tall = _shelved([(tower, tower.part.start, tower.part.end)], width, side, scale)
        rows.append(replace(row, left=wide - side + APART + LEFT))
        yield from _fitting((rows, max(height, tall)), scale, high, others)


def _fitting(
    shelved: tuple[list[Row], float], scale: int, high: float, stretches: Sequence[_Stretch]
) -> Iterator[Rows]:
    rows, height = shelved
    if height <= high:
        ends = [(one, end) for (one, _, end), (other, *_) in pairwise(stretches) if one is other]
        crossed = sum(part.crosses(end) for part, end in ends)
        yield Rows(tuple(rows), scale, height, crossed)


def _stretches(known: _Known, room: float) -> Iterator[_Stretch]:
    """A part cut into lengths of at most `room` where few pieces are crossed."""
    start, last = known.part.start, known.part.end
    while last - start > room:
        # No more rows than are needed anyway.
        places = [start + room * (1 - _LOOSE * step / _PLACES) for step in range(_PLACES + 1)]
        places += [high for _, high in known.spans if places[-1] < high < places[0]]
        rows = -(-(last - start) // room)
        rest = [place for place in places if last - place <= (rows - 1) * room]
        end = min(rest or places[:1], key=known.crosses)
        yield known, start, end
        start = end
    yield known, start, last


def _shelved(
    stretches: Sequence[_Stretch], width: float, wide: float, scale: int
) -> tuple[list[Row], float]:
    rows: list[Row] = []
    top, left, deep = 0.0, 0.0, 0.0
    for known, start, end in stretches:
        takes = LEFT + (end - start) / scale
        tall = across(known.part, width)
        if left and left + takes > wide + 1e-6:
            top, left, deep = top + deep + APART, 0.0, 0.0
        rows.append(Row(known.part, start, end, tall, left + LEFT, top + ABOVE))
        left += takes + APART
        deep = max(deep, ABOVE + tall / scale + BELOW)
    return rows, top + deep
