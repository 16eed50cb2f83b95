"""Whether anything of a line would show: its fill, its stroke, and how clear they are.

Source: SVG 2, 13.2 "Specifying paint", 13.3 "fill", 13.5 "stroke" (both inherited, and so are
their opacities); CSS Color 4, "opacity" (not inherited, but fades all that is inside).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import NamedTuple

from tinycss2.color4 import parse_color

from tiler.intake.svg.lengths import NUMBER

_AMOUNT = re.compile(rf"({NUMBER})%?")


class Paint(NamedTuple):
    """The paint of an element; as it stands here, that of an element on which nothing is set.

    Args:
        fill: Whether the fill has a colour that is not transparent.
        stroke: Whether the stroke has one.
        fill_clear: Whether fill-opacity is zero.
        stroke_clear: Whether stroke-opacity is zero.
        faded: Whether the opacity of the element, or of one round it, is zero.
    """

    fill: bool = True
    stroke: bool = False
    fill_clear: bool = False
    stroke_clear: bool = False
    faded: bool = False

    def with_style(self, style: Mapping[str, str]) -> Paint:
        """The paint of an element inside, given its own properties after the cascade."""
        return Paint(
            _coloured(style.get("fill"), self.fill, True),
            _coloured(style.get("stroke"), self.stroke, False),
            _clear(style.get("fill-opacity"), self.fill_clear),
            _clear(style.get("stroke-opacity"), self.stroke_clear),
            self.faded or _clear(style.get("opacity"), False),
        )

    @property
    def fills(self) -> bool:
        """Whether the inside shows."""
        return self.fill and not self.fill_clear and not self.faded

    @property
    def strokes(self) -> bool:
        """Whether the line shows."""
        return self.stroke and not self.stroke_clear and not self.faded


def _coloured(text: str | None, outer: bool, initial: bool) -> bool:
    word = "inherit" if text is None else text.strip().lower()
    if word in ("", "inherit", "unset", "revert"):
        return outer
    if word in ("none", "initial"):
        return word == "initial" and initial
    # What is not a colour is a gradient, or a mistake; neither hides the line.
    colour = parse_color(word)
    return colour is None or isinstance(colour, str) or colour.alpha > 0


def _clear(text: str | None, outer: bool) -> bool:
    if text is None:
        return outer
    word = text.strip().lower()
    match = _AMOUNT.fullmatch(word)
    if match is not None:
        return float(match[1]) <= 0
    return outer and word != "initial"
