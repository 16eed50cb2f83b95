"""How thick lines are, and how large letters, when a projector shows them on the mat."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.pattern.units import PT_PER_MM
from tiler.sheets.drawing import Pen
from tiler.sheets.lettering import CAPITALS
from tiler.sheets.pens import CUT, GRAIN

#: Height of capitals, mm: of a piece's name, of what is read standing at the table, and of what
#: need not be read. A letter of 8 mm seen from 1.2 m is 23 minutes of arc high, more than four
#: times what an eye with normal sight just makes out (5 minutes, ISO 8596, from memory).
NAME, READ, ASIDE = 12.0, 8.0, 5.0
#: Of a cut line, where nothing else is asked for, mm.
LINE = 1.5
#: Other lines are thinner, but no thinner than this share of the cut line.
_THINNEST = 0.6
#: A gap between dashes is no shorter than this many widths, so that it is seen.
_GAP = 1.6


def size_of(capitals: float) -> float:
    """The type size whose capitals are so high (mm), in points."""
    return capitals / CAPITALS * PT_PER_MM


@dataclass(frozen=True)
class Brush:
    """Pens for the mat.

    Args:
        line: Width of a cut line, mm.
        least: Width of the thinnest line that is seen everywhere on the mat, mm.
    """

    line: float
    least: float

    def of(self, pen: Pen) -> Pen:
        """The pen of a pattern line on paper, as it is projected.

        Dashes grow as the lines do, so that they look alike; a dot becomes as long as the line is
        wide.
        """
        share = max(_THINNEST, min(1.0, pen.width / CUT.width))
        width = max(self.least, self.line * share)
        grown = 2.0 * self.line
        dash = tuple(
            max(length * grown, width * (_GAP if number % 2 else 1.0))
            for number, length in enumerate(pen.dash)
        )
        return Pen(width, 0.0, dash)

    @property
    def grain(self) -> Pen:
        """Of grainlines and what else is no line of the piece."""
        return self.of(GRAIN)

    @property
    def fine(self) -> Pen:
        """Of crosses, squares and outlines that are measured or laid upon: as thin as is seen."""
        return Pen(self.least)

    @property
    def faint(self) -> Pen:
        """Of what is only there to be recognised."""
        return Pen(self.least, grey=0.45)
