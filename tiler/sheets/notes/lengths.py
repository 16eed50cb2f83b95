"""Lengths in the reader's units and words."""

from __future__ import annotations

import math
from fractions import Fraction

from markupsafe import Markup

from tiler.layout.cloth.buying import metric, yards
from tiler.pattern.units import MM_PER_INCH
from tiler.sheets.notes.facts import Units
from tiler.sheets.notes.words import WordTable

#: From here on, lengths are told in centimetres, millimetres.
_LONG = 100.0
_MM_PER_CM = 10.0
#: Tapes show eighths of an inch.
_EIGHTHS = 8
#: How wide cloth is, is told to the quarter of an inch, as in lay plans.
_QUARTERS = 4
#: As fine as a deviation is told, millimetres.
_FINEST = 0.001


#: A number stays with its unit (Unicode, no-break space).
_HELD = "\u00a0"


class Lengths:
    """Tells lengths, as Markdown: nothing in a number with its unit means anything there.

    Args:
        words: Of the language.
        units: Which to use.
    """

    def __init__(self, words: WordTable, units: Units) -> None:
        self._words, self._units = words["unit"], units
        self._point = str(words["unit"]["decimal"])

    def length(self, mm: float) -> Markup:
        """Such as ``24 cm (9 1/2 in)``: millimetres below 100 mm, eighths of an inch."""
        return self._told(mm, _EIGHTHS)

    def cloth_width(self, mm: float) -> Markup:
        """How wide cloth lies: ``90 cm (35 1/2 in)``."""
        return self._told(mm, _QUARTERS)

    def _told(self, mm: float, parts: int) -> Markup:
        inches = Fraction(round(mm / MM_PER_INCH * parts), parts)
        return self._both(self._metric(mm), f"{_mixed(inches)} {self._words['in']}")

    def paper(self, width: float, height: float) -> Markup:
        """Two sides of a paper."""
        sides = (self._number(side / MM_PER_INCH, 1) for side in (width, height))
        return self._both(
            f"{width:.0f} × {height:.0f} {self._words['mm']}",
            f"{' × '.join(sides)} {self._words['in']}",
        )

    def to_buy(self, mm: float) -> Markup:
        """A length of cloth, rounded up as shops sell it: to 10 cm, or 1/8 yard."""
        return self._both(
            f"{self._number(metric(mm) / 1000, 1)} {self._words['m']}",
            f"{_mixed(yards(mm))} {self._words['yd']}",
        )

    def exact(self, mm: float) -> Markup:
        """A deviation, in millimetres whatever the units, rounded up to a micrometre."""
        up = max(math.ceil(mm / _FINEST - 1e-9), 1) * _FINEST
        return _held(f"{self._number(up, 3)} {self._words['mm']}")

    def share(self, share: float) -> Markup:
        """Such as ``5 %``."""
        return _held(f"{self._number(100 * share, 1)} %")

    def _both(self, metric_words: str, inch_words: str) -> Markup:
        metric_words, inch_words = _held(metric_words), _held(inch_words)
        if self._units is Units.MM:
            return metric_words
        if self._units is Units.INCH:
            return inch_words
        return Markup(f"{metric_words} ({inch_words})")

    def _metric(self, mm: float) -> str:
        if round(mm, 1) < _LONG:
            return f"{self._number(mm, 1)} {self._words['mm']}"
        return f"{self._number(mm / _MM_PER_CM, 1)} {self._words['cm']}"

    def _number(self, value: float, places: int) -> str:
        told = f"{value:.{places}f}"
        if "." in told:
            told = told.rstrip("0").rstrip(".")
        return told.replace(".", self._point)


def _held(words: str) -> Markup:
    """Words that stay in one line."""
    return Markup(words.replace(" ", _HELD))


def _mixed(number: Fraction) -> str:
    """Such as ``9 1/2``."""
    whole, rest = divmod(number, 1)
    if not rest:
        return str(whole)
    part = f"{rest.numerator}/{rest.denominator}"
    return f"{whole} {part}" if whole else part
