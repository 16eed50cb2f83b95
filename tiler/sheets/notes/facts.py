"""What the notes tell beside the pattern itself: the files that were published, and the lay plans.

Whoever publishes fills these in (`tiler.job.notes.print_facts` does it from what `publish` returns,
or from a published file), and hands them to `tiler.output.notes.notes_of`.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from tiler.sheets.drawing import Drawing
from tiler.sheets.notes.signs import Sign
from tiler.sheets.ways import Way


class Units(StrEnum):
    """In which units lengths are told to the reader."""

    MM = "mm"
    INCH = "inch"
    BOTH = "both"


@dataclass(frozen=True, slots=True)
class PrintFacts:
    """One published file.

    Args:
        file: Its name, without a folder.
        paper: What it is for, such as ``A4``.
        width: Of a page, millimetres.
        height: Of a page, millimetres.
        pages: Pages with the pattern.
        front: Pages before those.
        worst: The largest deviation that reading it back has shown, millimetres.
        way: How its pages are joined; None where nothing is taped.
        printer: The printer that it is made up for; empty for any.
        roll: Whether the paper comes from a roll.
        signs: What is drawn on its pages (`tiler.sheets.notes.signs.signs_of`).
        styles: The styles that were chosen; empty for all.
        pieces: The pieces that were chosen; empty for all.
    """

    file: str
    paper: str
    width: float
    height: float
    pages: int
    front: int
    worst: float
    way: Way | None = None
    printer: str = ""
    roll: bool = False
    signs: tuple[Sign, ...] = ()
    styles: tuple[str, ...] = ()
    pieces: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LayFacts:
    """How the pieces lie on one cloth.

    Args:
        cloth: Its name, as pieces are cut from it.
        width: As it is sold, selvedges included, millimetres.
        folded: Whether it lies folded lengthwise; else single.
        length: Millimetres that are cut, after washing.
        to_buy: Millimetres to buy, before washing; it is told rounded up as shops sell it.
        utilisation: The share of the cloth that the pieces cover, from 0 to 1.
        picture: The plan, to scale.
    """

    cloth: str
    width: float
    folded: bool
    length: float
    to_buy: float
    utilisation: float
    picture: Drawing


@dataclass(frozen=True, slots=True)
class NoteFacts:
    """All of it.

    Args:
        prints: The published files; without any, only the lines of the pattern are explained.
        lays: The lay plans.
        private: Whether to leave out who made the pattern, what it was traced from, and where it
            lives on the web.
        surfaces: What it is published on, as after ``--on``; for the cautions.
    """

    prints: tuple[PrintFacts, ...] = ()
    lays: tuple[LayFacts, ...] = ()
    private: bool = False
    surfaces: tuple[str, ...] = ()
