"""What the bench check finds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from tiler.drafting.walking.measured import SeamWalk
from tiler.pattern.affine import Point
from tiler.pattern.model import Severity
from tiler.pattern.path import Path
from tiler.pattern.units import format_inch, format_mm


@dataclass(frozen=True, slots=True)
class Spot:
    """A place to ring in a picture.

    Args:
        piece: The piece's name.
        points: Places on it.
        paths: Lines on it.
        style: The style that they belong to, or empty.
        seams: Seams or folds that end at the first point: what lies beyond them goes on there.
    """

    piece: str
    points: tuple[Point, ...] = ()
    paths: tuple[Path, ...] = ()
    style: str = ""
    seams: tuple[Path, ...] = ()


@dataclass(frozen=True, slots=True)
class Fault:
    """Something on the bench that does not hold.

    Args:
        code: A short fixed name, for scripts.
        severity: What it does to the garment.
        subject: The piece, the seam or the cloth that it is about.
        text: What was found, with the numbers, full sentences.
        remedy: What to do, with the number that fits, full sentences.
        detail: Where on it, such as ``edge F``; empty when it is about the whole.
        style: The style that it is about, several joined by `AND`, or empty for all.
        numbers: Name -> value: millimetres, degrees or shares, as the name says.
        spots: What to ring.
        walk: The seam, walked, when it is about one.
    """

    code: str
    severity: Severity
    subject: str
    text: str
    remedy: str
    detail: str = ""
    style: str = ""
    numbers: Mapping[str, float] = field(default_factory=dict)
    spots: tuple[Spot, ...] = ()
    walk: SeamWalk | None = field(default=None, repr=False)

    @property
    def where(self) -> str:
        """Subject, detail and style."""
        style = f"style {self.style}" if self.style else ""
        return ", ".join(part for part in (self.subject, self.detail, style) if part)

    def __str__(self) -> str:
        return f"{self.where}: {self.text} {self.remedy}"


def both(length: float) -> str:
    """A length in millimetres and, to 1/16, in inches: ``6.4 mm (1/4 in)``."""
    inch = format_inch(abs(length), 16)
    if inch == "0 in":
        inch = "0 in" if abs(length) < 0.05 else "under 1/16 in"
    return f"{format_mm(length)} ({inch})"
