"""The eight lines of the grid, and where their numbers stand in the drawing of it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from tiler.layout.mats.lengths import ENDS, MIDDLES, NAMES

if TYPE_CHECKING:
    from tiler.layout.mats.mat import Mat

#: Width of the drawing, and from its edge to the lines.
_WIDE, _EDGE = 320.0, 22.0
#: Where a number stands along its line; those that cross in the middle keep clear of it.
_ALONG = {"rising": 0.25, "falling": 0.75, "middle-level": 0.3, "middle-upright": 0.68}


@dataclass(frozen=True)
class Line:
    """A line that is measured.

    Args:
        key: Its name, as the job has it.
        number: As in the grid.
        ends: Both, in the drawing.
        at: Where its number stands.
    """

    key: str
    number: int
    ends: tuple[tuple[float, float], tuple[float, float]] = ((0.0, 0.0), (0.0, 0.0))
    at: tuple[float, float] = (0.0, 0.0)

    @property
    def optional(self) -> bool:
        """Whether it may be left out."""
        return self.key in MIDDLES

    @property
    def word(self) -> str:
        """The text that names it."""
        return f"line_{self.key.replace('-', '_')}"


LINES = tuple(Line(key, number) for number, key in enumerate(NAMES, start=1))


@dataclass(frozen=True)
class Lines:
    """The drawing.

    Args:
        width: Of all of it.
        height: Of all of it.
        places: The ringed crosses: corners, then middles of the sides.
        lines: In the order of their numbers.
    """

    width: float
    height: float
    places: tuple[tuple[float, float], ...]
    lines: tuple[Line, ...]


def lines_of(mat: Mat) -> Lines:
    """The lines of a mat's grid, in the proportions of its picture."""
    height = 2 * _EDGE + (_WIDE - 2 * _EDGE) * mat.height_px / mat.width_px
    left, top, right, low = _EDGE, _EDGE, _WIDE - _EDGE, height - _EDGE
    corners = ((left, low), (right, low), (right, top), (left, top))
    middles = tuple(
        ((a[0] + b[0]) / 2, (a[1] + b[1]) / 2)
        for a, b in zip(corners, corners[1:] + corners[:1], strict=True)
    )
    places = corners + middles
    lines = []
    for line in LINES:
        first, last = (places[end] for end in ENDS[line.key])
        share = _ALONG.get(line.key, 0.3)
        x, y = (a + (b - a) * share for a, b in zip(first, last, strict=True))
        lines.append(Line(line.key, line.number, (first, last), (x, y)))
    return Lines(_WIDE, height, places, tuple(lines))
