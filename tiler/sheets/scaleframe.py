"""Where everything stands on the calibration page."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from tiler.layout.papers import Paper
from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.errors import PaperError
from tiler.sheets.calibration import INCH

#: Nothing that is needed stands nearer to the paper's edge, millimetres (the margin of our sheets).
MARGIN = 10.0
#: From the paper's edge to a long bar: beyond the combs' numbers.
DEPTH = 21.5
#: From a bar or a comb to what stands inside, with the bar's ticks and numbers in between.
_CLEAR = 6.5
#: Room that the squares take with the numbers beside them.
SQUARES = INCH + 7.5
#: A rectangle of 3 : 4 has a diagonal of 5: with this step diagonals are multiples of 50 mm.
_STEP = 10.0
#: Half of a cross.
ARM = 2.0
#: Content is not spread further than this on large paper, so that it is read in one place.
_WIDEST, _TALLEST = 200.0, 248.0
#: The narrowest column of words beside the squares.
_BESIDE = 40.0
#: Teeth of the combs: 0 to 15 mm from the edge.
TEETH = 16
#: From tooth to tooth: numbers stand side by side along the short sides, one over the other on the
#: long ones.
PITCH_ACROSS, PITCH_UP = 3.6, 3.0
#: The smallest paper that has room for all of it: A5.
_LEAST = (148.0, 210.0)


@dataclass(frozen=True)
class ScaleFrame:
    """The parts of the page, millimetres from the lower left corner of the paper."""

    paper: Paper

    def __post_init__(self) -> None:
        if self.paper.width < _LEAST[0] or self.paper.height < _LEAST[1]:
            raise PaperError(
                f"{self.paper.name} is too small for the calibration page",
                remedy="Use A5 or larger: the longer the bars, the surer the answer.",
            )

    @property
    def bars(self) -> tuple[float, float]:
        """Lengths of the bars across and up: whole tens that keep the margin."""
        width, height = self.paper.width - 2 * MARGIN, self.paper.height - 2 * MARGIN
        return float(width // 10 * 10), float(height // 10 * 10)

    @property
    def across(self) -> tuple[Point, Point]:
        """Ends of the bar across."""
        left = (self.paper.width - self.bars[0]) / 2
        return Point(left, DEPTH), Point(left + self.bars[0], DEPTH)

    @property
    def up(self) -> tuple[Point, Point]:
        """Ends of the bar up, the upper one first."""
        foot = (self.paper.height - self.bars[1]) / 2
        return Point(DEPTH, foot + self.bars[1]), Point(DEPTH, foot)

    @cached_property
    def corners(self) -> Bounds:
        """The rectangle whose diagonals are measured: 3 wide and 4 high, so that they are 5."""
        lost = 2 * (MARGIN + ARM + 1)
        width, height = self.paper.width - lost, self.paper.height - lost
        count = int(min(width // (3 * _STEP), height // (4 * _STEP)))
        wide, high = 3 * _STEP * count, 4 * _STEP * count
        # In the middle, or at least to the left of the bar up.
        left = min((self.paper.width - wide) / 2, DEPTH - ARM - 1.5)
        # Clear of the bar across, yet with the upper crosses inside the margin.
        low = max((self.paper.height - high) / 2, DEPTH + 7)
        low = min(low, self.paper.height - MARGIN - ARM - high)
        return Bounds(left, low, left + wide, low + high)

    @property
    def squares(self) -> Point:
        """Common lower left corner of the calibration squares."""
        return Point(DEPTH + _CLEAR, DEPTH + _CLEAR)

    @property
    def content(self) -> Bounds:
        """What is left inside bars, combs and crosses."""
        left, low = self.squares
        right = min(self.paper.width - DEPTH, left + _WIDEST)
        return Bounds(left, low, right, min(self.paper.height - DEPTH, low + _TALLEST))

    @property
    def narrow(self) -> bool:
        """Whether the squares fill the width between the combs, and more."""
        return self.content.width < SQUARES

    @cached_property
    def combs(self) -> tuple[float, float, float, float]:
        """The middles of the combs along the bottom, right, top and left side."""
        width, height = self.paper.width, self.paper.height
        middle = height / 2
        if self.narrow:
            # The squares reach into its band: it stands above them.
            middle = self.corners.top - 7 - (TEETH - 1) * PITCH_UP / 2 - 1.5
        return width / 2, middle, width / 2, height / 2

    @property
    def above(self) -> Bounds:
        """The room over the squares."""
        return self.content._replace(bottom=self.squares.y + SQUARES + 2)

    @property
    def beside(self) -> Bounds | None:
        """The room to the right of the squares, if words fit there."""
        frame = self.content
        left = self.squares.x + SQUARES + 5
        if frame.right - left < _BESIDE:
            return None
        return Bounds(left, frame.bottom, frame.right, self.squares.y + INCH)

    @property
    def inside(self) -> Bounds:
        """The room within the squares, clear of their ticks and numbers."""
        x, y = self.squares
        return Bounds(x + 8, y + 8, x + 92, y + (91 if self.beside else 93))
