"""The graphics state as far as it decides where a stroke lands and whether it shows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from tiler.pattern.affine import Affine
from tiler.proof.geometry import Floats
from tiler.proof.ink import Unseen

_NEARLY_WHITE = 0.95
_NEARLY_CLEAR = 0.05


class Graphics(NamedTuple):
    """What an ExtGState says about strokes; None where it says nothing."""

    width: float | None = None
    alpha: float | None = None
    masked: bool | None = None
    dash: Sequence[float] | None = None


class Pen:
    """One graphics state, as q keeps it and Q brings it back.

    Args:
        window: The clip that it starts with.
        unseen: Why strokes do not show from the start.
    """

    __slots__ = ("cap", "matrix", "no_dash", "space", "unseen", "window")

    def __init__(self, window: Floats, unseen: Unseen) -> None:
        self.matrix = Affine()
        self.window = window
        self.unseen = unseen
        self.space = "gray"
        self.cap = 0
        self.no_dash = bool(unseen & Unseen.DASHED)

    def hide(self, flag: Unseen, hidden: bool) -> None:
        """Set or lift one reason why strokes do not show."""
        self.unseen = self.unseen | flag if hidden else self.unseen & ~flag

    def ends(self, cap: int) -> None:
        """Ends of lines: 0 butt, 1 round, 2 square."""
        self.cap = cap
        self._dots()

    def dash(self, lengths: Sequence[float]) -> None:
        """Lengths of dashes and gaps in turn."""
        self.no_dash = len(lengths) > 0 and len(lengths) % 2 == 0 and sum(lengths[::2]) <= 0
        self._dots()

    def _dots(self) -> None:
        # Dashes of no length still show as dots where the ends of lines are round or square.
        self.hide(Unseen.DASHED, self.no_dash and self.cap == 0)

    def take_up(self, said: Graphics) -> None:
        """All that an ExtGState says."""
        if said.width is not None:
            self.hide(Unseen.THIN, said.width <= 0)
        if said.alpha is not None:
            self.hide(Unseen.CLEAR, said.alpha < _NEARLY_CLEAR)
        if said.masked is not None:
            self.hide(Unseen.MASKED, said.masked)
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
