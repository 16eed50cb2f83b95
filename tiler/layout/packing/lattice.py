"""The raster that the search works on: a whole number of pixels in every cell."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from tiler.layout.packing.shape import Shape

#: Millimetres of a pixel that is wished for, and the most pixels of a canvas, for each effort.
_FINENESS = {"quick": (8.0, 45_000), "normal": (5.0, 170_000), "long": (3.0, 300_000)}
#: A pixel is never wider than this share of a cell.
_LEAST_PER_CELL = 12
#: Cells of the canvas for each cell that the bodies fill.
_ROOM = 1.7


@dataclass(frozen=True)
class Lattice:
    """A canvas of cells, each of `nx` by `ny` pixels, with a margin of `rim` pixels round it.

    Args:
        pitch: Millimetres across and up a cell.
        nx: Pixels across a cell.
        ny: Pixels up a cell.
        columns: Cells across the canvas.
        rows: Cells up the canvas.
        rim: Pixels beyond the cells on all four sides, where only the gap of a unit may lie.
    """

    pitch: tuple[float, float]
    nx: int
    ny: int
    columns: int
    rows: int
    rim: int

    @property
    def pixel(self) -> tuple[float, float]:
        """Millimetres across and up a pixel."""
        return self.pitch[0] / self.nx, self.pitch[1] / self.ny

    @property
    def width(self) -> int:
        """Pixels across, rims included: whole bytes of bits."""
        return -(-(self.columns * self.nx + 2 * self.rim) // 8) * 8

    @property
    def height(self) -> int:
        """Pixels up, rims included."""
        return self.rows * self.ny + 2 * self.rim


def lattice_for(
    shapes: Sequence[Shape],
    extents: Sequence[tuple[float, float]],
    pitch: tuple[float, float],
    effort: str,
    gap: float,
    roomier: int = 0,
) -> Lattice:
    """A canvas with ample room for all shapes.

    Args:
        shapes: The units.
        extents: Width and height of each unit in its turn that needs the fewest cells.
        pitch: Millimetres across and up a cell.
        effort: How fine the pixels are to be.
        gap: Least free paper between two units, millimetres.
        roomier: Further rows and columns of cells.
    """
    across, up = pitch
    area = sum(shape.area for shape in shapes) / (across * up)
    columns = max(2, *(math.ceil(width / across) for width, _ in extents))
    rows = max(2, *(math.ceil(height / up) for _, height in extents))
    while columns * rows < _ROOM * area + 2:
        if columns * across <= rows * up:
            columns += 1
        else:
            rows += 1
    columns, rows = columns + roomier, rows + roomier
    wished, most = _FINENESS[effort]
    coarsest = math.sqrt(columns * across * rows * up / most)
    fine = min(max(wished, coarsest), min(pitch) / _LEAST_PER_CELL)
    nx, ny = max(1, round(across / fine)), max(1, round(up / fine))
    rim = math.ceil((gap / 2 + 0.5) / min(across / nx, up / ny)) + 1
    return Lattice(pitch, nx, ny, columns, rows, rim)
