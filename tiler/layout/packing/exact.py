"""What an arrangement costs in truth: the cells with ink, and whether units keep their distance."""

from __future__ import annotations

from collections.abc import Sequence

from tiler.layout.ink import moved
from tiler.layout.packing.shape import Shape
from tiler.layout.pages import sheets_of
from tiler.pattern.affine import Affine

#: A column and a row (upwards) of the canvas, from 0.
Place = tuple[int, int]
#: Units may be nearer to each other than asked by this much, millimetres.
TOLERANCE = 0.1


def inked_cells(
    shapes: Sequence[Shape],
    at: Sequence[Affine],
    pitch: tuple[float, float],
    past: tuple[float, float],
) -> list[frozenset[Place]]:
    """The cells of each unit, with the fewest blank ones that make them hang together.

    Units that share a cell are one sheet; a page shows a little beyond its own cell.

    Args:
        shapes: The units.
        at: Unit -> canvas, millimetres; cell (i, j) is from i and j pitches to one more.
        pitch: Millimetres from page to page, across and up.
        past: Millimetres that a page shows beyond its cell, each side.
    """
    lying = [moved(shape.chords, place) for shape, place in zip(shapes, at, strict=True)]
    found: list[frozenset[Place]] = [frozenset()] * len(shapes)
    for sheet in sheets_of(lying, pitch, past):
        for number, cells in zip(sheet.members, sheet.cells, strict=True):
            # Rows of cells count downwards from -1.
            found[number] = frozenset((c.column, -1 - c.row) for c in cells)
    return found


def pages_of(cells: Sequence[frozenset[Place]]) -> int:
    """How many pages are printed."""
    return len(frozenset().union(*cells))
