"""What one may ask for when a pattern is published."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.sheets.ways import Way

ORIENTATIONS = ("auto", "portrait", "landscape")
JOINTS = tuple(way.value for way in Way)
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
