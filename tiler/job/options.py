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
        paper: Its name, such as ``a4``, or ``roll:914mm``.
        orientation: auto (whichever needs fewer pages), portrait or landscape.
        margin: What the printer leaves free on each side, millimetres.
        overlap: How far neighbouring printable areas cover each other, millimetres.
        joint: How pages are put together: overlap, butt or see-through.
        panels: Whether a piece that is too large for a roll may come in panels to be joined.
        one_length: Whether a roll is one page, however long it gets.
        printer: Name of the kept printer whose error the pages make up for; empty for any printer.
    """

    paper: str
    orientation: str = "auto"
    margin: float = 10.0
    overlap: float = 10.0
    joint: str = "overlap"
    panels: bool = False
    one_length: bool = False
    printer: str = ""
