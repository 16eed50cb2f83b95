"""The graphics state as far as it decides where a stroke lands and whether it shows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from tiler.pattern.affine import Affine
from tiler.proof.geometry import Floats
from tiler.proof.ink import Nib, Unseen

_NEARLY_WHITE = 0.95
_NEARLY_CLEAR = 0.05
_DARK = 0.5
#: A dash shorter than this share of the gap after it does not show.
_SPECK = 0.01


class Graphics(NamedTuple):
    """What an ExtGState says; None where it says nothing."""

    width: float | None = None
    alpha: float | None = None
    fill_alpha: float | None = None
    masked: bool | None = None
    blended: bool | None = None
    dash: Sequence[float] | None = None


class Pen:
    """One graphics state, as q keeps it and Q brings it back.

    Args:
        window: The clip that it starts with.
        unseen: Why strokes do not show from the start.

    Attributes:
        width: Of lines, in its own space; None while nothing has set it.
        gap: The longest between dashes that show; None while nothing has set them.
        dark: Whether areas are known to be filled in a dark colour.
        fills: Whether areas that are filled show.
    """

    __slots__ = (
        "cap",
        "dark",
        "fill_space",
        "fills",
        "gap",
        "lengths",
        "matrix",
        "no_dash",
        "space",
        "unseen",
        "width",
        "window",
    )

    def __init__(self, window: Floats, unseen: Unseen) -> None:
        self.matrix = Affine()
        self.window = window
        self.unseen = unseen
        self.space = self.fill_space = "gray"
        self.cap = 0
        self.width: float | None = None
        self.gap: float | None = None
        self.lengths: tuple[float, ...] | None = None
        self.no_dash = bool(unseen & Unseen.DASHED)
        self.dark, self.fills = False, True

    @property
    def nib(self) -> Nib:
        """How wide a line comes out."""
        return Nib(Affine(*self.matrix[:4]), self.width, self.gap)

    def hide(self, flag: Unseen, hidden: bool) -> None:
        """Set or lift one reason why strokes do not show."""
        self.unseen = self.unseen | flag if hidden else self.unseen & ~flag

    def ends(self, cap: int) -> None:
        """Ends of lines: 0 butt, 1 round, 2 square."""
        self.cap = cap
        self._dots()

    def dash(self, lengths: Sequence[float]) -> None:
        """Lengths of dashes and gaps in turn."""
        self.lengths = tuple(lengths)
        self.no_dash = len(lengths) > 0 and len(lengths) % 2 == 0 and sum(lengths[::2]) <= 0
        self._dots()

    def _dots(self) -> None:
        # Dashes of no length still show as dots where the ends of lines are round or square.
        gone = self.no_dash and self.cap == 0
        self.hide(Unseen.DASHED, gone)
        if self.lengths is not None:
            self.gap = 0.0 if gone else _widest_gap(self.lengths, self.cap > 0)

    def take_up(self, said: Graphics) -> None:
        """All that an ExtGState says."""
        if said.width is not None:
            self.width = said.width
        if said.alpha is not None:
            self.hide(Unseen.CLEAR, said.alpha < _NEARLY_CLEAR)
        if said.fill_alpha is not None:
            self.fills = said.fill_alpha >= _NEARLY_CLEAR
        if said.masked is not None:
            self.hide(Unseen.MASKED, said.masked)
        if said.blended is not None:
            self.hide(Unseen.BLENDED, said.blended)
        if said.dash is not None:
            self.dash(said.dash)

    def colour(self, parts: Sequence[float], space: str) -> None:
        """The colour of strokes, in ``gray``, ``rgb``, ``cmyk`` or an ``other`` space."""
        self.space = space
        if space in ("gray", "rgb"):
            white = len(parts) > 0 and min(parts) >= _NEARLY_WHITE
        else:
            white = space == "cmyk" and len(parts) > 0 and max(parts) <= 1 - _NEARLY_WHITE
        self.hide(Unseen.WHITE, white)

    def fill_colour(self, parts: Sequence[float], space: str) -> None:
        """The colour of areas; a space alone brings black with it."""
        self.fill_space = space
        if space in ("gray", "rgb"):
            self.dark = max(parts, default=0.0) <= _DARK
        else:
            self.dark = space == "cmyk" and (len(parts) < 4 or parts[3] >= _DARK)


def _widest_gap(lengths: tuple[float, ...], dots: bool) -> float:
    """The longest stretch without ink, dashes that are mere specks counted as none."""
    if not lengths:
        return 0.0
    # An odd list goes on with dashes and gaps changed over (ISO 32000-1, 8.4.3.6).
    pattern = lengths * 2 if len(lengths) % 2 else lengths
    pairs = list(zip(pattern[::2], pattern[1::2], strict=True))
    if not any(dots or on > _SPECK * off for on, off in pairs):
        return math.inf
    widest = run = 0.0
    for on, off in pairs * 2:
        run = off if dots or on > _SPECK * off else run + on + off
        widest = max(widest, run)
    return widest
