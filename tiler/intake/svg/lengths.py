"""Lengths as SVG and CSS write them.

Source: CSS Values and Units, "absolute lengths" (96 px, 72 pt and 6 pc to the inch, Q = 1/4 mm);
SVG 2, 8.9 "Units" (percentages of the viewport).
"""

from __future__ import annotations

import math
import re
from typing import NamedTuple

from tiler.intake.svg import limits
from tiler.intake.svg.xmltree import Node, excerpt
from tiler.pattern.units import MM_PER_UNIT

MM_PER_PX = MM_PER_UNIT["px"]
NUMBER = r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?"

_MM = {name: MM_PER_UNIT[name] for name in ("mm", "cm", "in", "pt", "pc", "px")} | {"q": 0.25}
_LENGTH = re.compile(rf"\s*(?P<number>{NUMBER})(?P<unit>[a-zA-Z]*|%)\s*")
_OF_FONT = frozenset({"em", "ex", "rem", "ch", "cap", "ic", "lh", "rlh"})
_OF_WINDOW = frozenset({"vw", "vh", "vi", "vb", "vmin", "vmax"})


class Length(NamedTuple):
    """A number with its unit: one of `mm cm in pt pc px q %`, or empty for user units."""

    number: float
    unit: str

    @property
    def mm(self) -> float:
        """Millimetres, where 1 user unit is 1 px; not for percentages."""
        return self.number * _MM[self.unit or "px"]

    def user(self, whole: float) -> float:
        """User units; a percentage is taken of `whole`."""
        if self.unit == "%":
            return self.number / 100 * whole
        if self.unit in ("", "px"):
            return self.number
        return self.mm / MM_PER_PX


def read_length(node: Node, attribute: str, text: str) -> Length:
    """Read one length of an element.

    Raises:
        DrawingError: No number, a unit that depends on a font or window, or an absurd value.
    """
    match = _LENGTH.fullmatch(text) if len(text) < 400 else None
    if match is None:
        raise node.fault(
            f'{attribute}="{excerpt(text)}" is not a length',
            f'Write a number with its unit, such as {attribute}="412mm".',
        )
    unit = match["unit"].lower()
    if unit in _OF_FONT or unit in _OF_WINDOW:
        source = "the font" if unit in _OF_FONT else "the window"
        raise node.fault(
            f'{attribute}="{excerpt(text)}" depends on {source}, so its size is not known',
            f'Write it in millimetres, such as {attribute}="15mm".',
        )
    if unit and unit != "%" and unit not in _MM:
        raise node.fault(
            f'{attribute}="{excerpt(text)}" has the unknown unit "{excerpt(match["unit"])}"',
            "Use mm, cm, in, pt, pc or px.",
        )
    number = float(match["number"])
    if not math.isfinite(number) or abs(number) > limits.LARGEST_NUMBER:
        raise node.fault(
            f'{attribute}="{excerpt(text)}" is too large to be a length in a drawing',
            "Correct the number.",
        )
    return Length(number, unit)
