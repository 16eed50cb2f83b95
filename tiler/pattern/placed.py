"""Where a maker has laid the pieces on the pages by hand."""

from __future__ import annotations

from dataclasses import dataclass

#: Decimal places of lengths in millimetres and of turns in degrees: a hundredth of a millimetre,
#: and a turn that moves the end of a piece two metres long by less than that.
LENGTH_PLACES, TURN_PLACES = 2, 3

#: Paper, margin and overlap in millimetres, and the chosen styles.
Kind = tuple[str, float, float, frozenset[str]]


@dataclass(frozen=True, slots=True)
class PlacedPiece:
    """A piece, with the one that is joined to it, on its sheet.

    Args:
        piece: Its name; of joined pieces the first one's.
        sheet: Number of its sheet, from 1. Sheets are taped each by itself.
        page: Name of the place in the grid, printed or not, in which the middle lies of the
            upright rectangle round the piece as it is drawn.
        at: Where that middle lies in the page, from its left and from its lower joint line,
            millimetres.
        turn: Degrees anticlockwise by which the piece is turned about that middle, from 0 up to
            360.
    """

    piece: str
    sheet: int
    page: str
    at: tuple[float, float]
    turn: float = 0.0


@dataclass(frozen=True, slots=True)
class Placed:
    """All pieces on the pages of one paper.

    Args:
        on: The paper's name in small letters.
        landscape: Whether it lies on its long side.
        margin: What is left free on each side, millimetres.
        overlap: How far neighbouring pages cover each other, millimetres.
        pieces: Where each lies.
        styles: Names of the styles that are printed; empty for all.
        where: File, line and key.
    """

    on: str
    landscape: bool
    margin: float
    overlap: float
    pieces: tuple[PlacedPiece, ...]
    styles: tuple[str, ...] = ()
    where: str = ""

    @property
    def kind(self) -> Kind:
        """What it is for: there is one for each paper, margin, overlap and choice of styles."""
        return (
            self.on,
            round(self.margin, LENGTH_PLACES),
            round(self.overlap, LENGTH_PLACES),
            frozenset(self.styles),
        )
