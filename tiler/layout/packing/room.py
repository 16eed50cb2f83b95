"""The canvas while units are laid on it: which pixels are taken, which cells are inked."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tiler.layout.packing.cover import Bytes, tables_of
from tiler.layout.packing.lattice import Lattice
from tiler.layout.packing.stamp import Stamp


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a unit lies: which of its stamps, and the pixel of the cells that its ink starts in."""

    stamp: int
    row: int
    column: int


class Room:
    """Taken pixels and inked cells of a canvas."""

    def __init__(self, lattice: Lattice) -> None:
        self.lattice = lattice
        self.taken = np.zeros((lattice.height, lattice.width), dtype=np.uint8)
        self.inked = np.zeros((lattice.rows, lattice.columns), dtype=np.int32)
        self._tables: list[Bytes] | None = None

    def copy(self) -> Room:
        """The same, free to be changed."""
        other = Room.__new__(Room)
        other.lattice = self.lattice
        other.taken, other.inked = self.taken.copy(), self.inked.copy()
        other._tables = None
        return other

    def add(self, stamp: Stamp, row: int, column: int) -> None:
        """Lay a unit down."""
        rows, columns = stamp.mask.shape
        self.taken[row : row + rows, column : column + columns] |= stamp.mask
        self._count(stamp, row, column, 1)

    def remove(self, stamp: Stamp, row: int, column: int) -> None:
        """Take a unit up again."""
        rows, columns = stamp.mask.shape
        self.taken[row : row + rows, column : column + columns] &= ~stamp.mask
        self._count(stamp, row, column, -1)

    def _count(self, stamp: Stamp, row: int, column: int, by: int) -> None:
        cells = cells_of(stamp, row, column, self.lattice)
        for cell in cells:
            self.inked[cell] += by
        self._tables = None

    @property
    def tables(self) -> list[Bytes]:
        """The taken pixels as `tables_of` makes them."""
        if self._tables is None:
            self._tables = tables_of(self.taken)
        return self._tables


def cells_of(stamp: Stamp, row: int, column: int, lattice: Lattice) -> list[tuple[int, int]]:
    """The cells (row, column) that a unit inks."""
    up, off_row = divmod(row, lattice.ny)
    across, off_column = divmod(column, lattice.nx)
    pattern = stamp.patterns[stamp.kinds[off_row, off_column]].reshape(stamp.cells)
    return [(up + int(r), across + int(c)) for r, c in zip(*np.nonzero(pattern), strict=True)]
