"""Open lines that touch end to end and close round: an outline drawn in parts."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from tiler.intake.drawn import DrawnPath
from tiler.intake.ring import MEETS, with_end, with_start
from tiler.pattern.affine import Point
from tiler.pattern.bounds import bounds_of
from tiler.pattern.path import Path
from tiler.pattern.segment import Segment, Straight


class _End(NamedTuple):
    """One end of a line: which line, and whether it is the last point."""

    line: int
    last: bool

    @property
    def other(self) -> _End:
        return _End(self.line, not self.last)


class Fork(NamedTuple):
    """A place where more than two ends meet.

    Args:
        at: Millimetres.
        lines: Lines that end there.
    """

    at: Point
    lines: tuple[DrawnPath, ...]


class Ring(NamedTuple):
    """Lines that close round, and the one closed line that they make."""

    parts: tuple[DrawnPath, ...]
    joined: DrawnPath


class Group(NamedTuple):
    """Lines that hang together by their ends.

    Args:
        lines: In drawing order.
        loose: Ends that meet no other.
        fork: The first place where an end meets more than one other; None when there is none.
    """

    lines: tuple[DrawnPath, ...]
    loose: tuple[Point, ...]
    fork: Fork | None

    @property
    def length(self) -> float:
        """Millimetres along all lines."""
        return sum(drawn.path.length for drawn in self.lines)

    @property
    def size(self) -> float:
        """Diagonal of the bounds of all lines, millimetres."""
        bounds = bounds_of([drawn.path.bounds for drawn in self.lines])
        return math.hypot(bounds.width, bounds.height)


class Chains:
    """How the ends of open lines meet, within 0.05 mm.

    Args:
        lines: Open lines with the same role and style.
    """

    def __init__(self, lines: Sequence[DrawnPath]) -> None:
        self._lines = lines
        self._mates = _mates(lines)

    def rings(self) -> list[Ring]:
        """The rows of lines that close round, where every end meets exactly one other."""
        rings = [
            Ring(tuple(self._lines[end.line] for end in row), self._joined(row))
            for row in self._rows()
        ]
        return [ring for ring in rings if _encloses(ring.joined)]

    def groups(self) -> list[Group]:
        """All lines, those together that hang together by their ends."""
        reached: set[int] = set()
        groups: list[Group] = []
        for first in range(len(self._lines)):
            if first in reached:
                continue
            reached.add(first)
            members, todo = [first], [first]
            while todo:
                line = todo.pop()
                for end in (_End(line, last=False), _End(line, last=True)):
                    new = [mate.line for mate in self._mates[end] if mate.line not in reached]
                    reached.update(new)
                    members += dict.fromkeys(new)
                    todo += dict.fromkeys(new)
            groups.append(self._group(sorted(members)))
        return groups

    def _group(self, members: Sequence[int]) -> Group:
        ends = [_End(line, last) for line in members for last in (False, True)]
        forked = next((end for end in ends if len(self._mates[end]) > 1), None)
        fork = None
        if forked is not None:
            meeting = sorted({end.line for end in (forked, *self._mates[forked])})
            fork = Fork(self._at(forked), tuple(self._lines[line] for line in meeting))
        loose = tuple(self._at(end) for end in ends if not self._mates[end])
        return Group(tuple(self._lines[line] for line in members), loose, fork)

    def _rows(self) -> Iterator[list[_End]]:
        """Ends from which lines are walked to come round to the first."""
        walked: set[int] = set()
        for line in range(len(self._lines)):
            if line in walked:
                continue
            row: list[_End] = []
            here = _End(line, last=False)
            while here.line not in walked:
                walked.add(here.line)
                row.append(here)
                mates = self._mates[here.other]
                if len(mates) != 1 or len(self._mates[mates[0]]) != 1:
                    break
                here = mates[0]
            else:
                if here == row[0] and len(row) > 1:
                    yield row

    def _joined(self, row: Sequence[_End]) -> DrawnPath:
        segments: list[Segment] = []
        for end in row:
            path = self._lines[end.line].path
            part = list((path.reversed() if end.last else path).segments)
            if segments:
                middle = Straight(segments[-1].end, part[0].start).at(0.5)
                segments[-1] = with_end(segments[-1], middle)
                part[0] = with_start(part[0], middle)
            segments += part
        middle = Straight(segments[-1].end, segments[0].start).at(0.5)
        segments[-1] = with_end(segments[-1], middle)
        segments[0] = with_start(segments[0], middle)
        parts = [self._lines[end.line] for end in row]
        first = parts[0]
        slip = next((part.slip for part in parts if part.slip), None)
        element = f"{first.element} and {len(parts) - 1} more"
        path = Path(tuple(segments), closed=True)
        return DrawnPath(path, first.role, first.style, False, element, first.layers, slip)

    def _at(self, end: _End) -> Point:
        path = self._lines[end.line].path
        return path.end if end.last else path.start


def _encloses(drawn: DrawnPath) -> bool:
    """Whether there is room inside: a line drawn there and back again is no outline."""
    return abs(drawn.path.area) > MEETS * drawn.path.length


def _mates(lines: Sequence[DrawnPath]) -> dict[_End, list[_End]]:
    """End -> the ends of lines that it meets; no more than two, since two are too many."""
    places = {
        _End(line, last): drawn.path.end if last else drawn.path.start
        for line, drawn in enumerate(lines)
        for last in (False, True)
    }
    squares: dict[tuple[int, int], list[_End]] = {}
    for end, place in places.items():
        squares.setdefault(_square(place), []).append(end)
    mates: dict[_End, list[_End]] = {}
    for end, place in places.items():
        found = mates[end] = []
        column, row = _square(place)
        near = (
            other
            for x in (column - 1, column, column + 1)
            for y in (row - 1, row, row + 1)
            for other in squares.get((x, y), ())
        )
        for other in near:
            if other != end and places[other].to(place) <= MEETS:
                found.append(other)
                if len(found) > 1:
                    break
    return mates


def _square(place: Point) -> tuple[int, int]:
    return math.floor(place.x / MEETS), math.floor(place.y / MEETS)
