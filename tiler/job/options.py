"""What one may ask for when a pattern is published."""

from __future__ import annotations

from dataclasses import dataclass

ORIENTATIONS = ("auto", "portrait", "landscape")
EFFORTS = ("quick", "normal", "long")
JOINTS = ("overlap", "butt", "see-through")
MAPS = ("png", "svg", "pdf")


@dataclass(frozen=True)
class Surface:
    """What to publish on.

    Args:
        paper: Its name, such as ``a4``.
        orientation: auto (whichever needs fewer pages), portrait or landscape.
        margin: What the printer leaves free on each side, millimetres.
        overlap: How far neighbouring printable areas cover each other, millimetres.
        joint: How pages are put together: overlap, butt or see-through.
    """

    paper: str
    orientation: str = "auto"
    margin: float = 10.0
    overlap: float = 10.0
    joint: str = "overlap"


@dataclass(frozen=True)
class Laying:
    """How the pieces are laid on the pages.

    Args:
        effort: How long to look for fewer pages: quick, normal or long.
        seed: Another one gives another search; the same one the same pages.
        turn: Whether pieces may turn.
        small_whole: Whether a piece that fits a page is never split.
        gap: Free paper between two pieces, millimetres.
    """

    effort: str = "normal"
    seed: int = 1
    turn: bool = True
    small_whole: bool = False
    gap: float = 4.0
