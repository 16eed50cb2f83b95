"""A piece as small as a thumbnail: its outline, its seam and its grain."""

from __future__ import annotations

from tiler.pattern.model import Piece
from tiler.sheets.drawing import Drawing, Fill, Group, Item, Stroke
from tiler.sheets.pens import CUT, GRAIN


def draw_small_piece(piece: Piece) -> Drawing:
    """The outlines of all styles, filled.

    Args:
        piece: Drafted.
    """
    outlines = [outline.path for outline in piece.outlines]
    items: list[Item] = [
        Group((Fill(tuple(outlines), 1.0),), layers=("paper",)),
        Group(tuple(Stroke((path,), CUT) for path in outlines), layers=("cut",)),
    ]
    if piece.grain:
        items.append(Group((Stroke((piece.grain,), GRAIN),), layers=("grain",)))
    return Drawing(piece.bounds.grown(2.0), tuple(items))
