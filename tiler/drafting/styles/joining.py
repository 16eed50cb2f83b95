"""Lines of a style that were drawn in parts, made one where their ends meet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tiler.intake.ring import with_start
from tiler.pattern.affine import Point
from tiler.pattern.model import Line
from tiler.pattern.path import Path

#: Ends this near (millimetres) were meant to meet.
MEETS = 0.5


@dataclass(frozen=True, slots=True, eq=False)
class Joined:
    """A path, and the drawn lines that it is made of."""

    path: Path
    lines: tuple[Line, ...]


def joined_up(lines: Sequence[Line]) -> list[Joined]:
    """Open lines, joined wherever exactly two ends of different lines meet within 0.5 mm."""
    made = [Joined(line.path, (line,)) for line in lines]
    while (pair := _pair(made)) is not None:
        one, other = pair
        made = [each for each in made if each is not one and each is not other]
        made.append(_end_to_end(one, other))
    return made


def _pair(made: Sequence[Joined]) -> tuple[Joined, Joined] | None:
    ends = [(each, point) for each in made for point in (each.path.start, each.path.end)]
    for each, point in ends:
        meeting = [other for other, there in ends if other is not each and there.to(point) <= MEETS]
        if len(meeting) == 1:
            return each, meeting[0]
    return None


def _end_to_end(one: Joined, other: Joined) -> Joined:
    first, second = one.path, other.path
    gaps: list[tuple[float, Path, Path]] = [
        (a.end.to(b.start), a, b)
        for a in (first, first.reversed())
        for b in (second, second.reversed())
    ]
    _, a, b = min(gaps, key=lambda gap: gap[0])
    join: Point = a.end
    segments = (*a.segments, with_start(b.segments[0], join), *b.segments[1:])
    return Joined(Path(segments), one.lines + other.lines)
