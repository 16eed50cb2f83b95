"""The canvas while units are laid on it: which pixels are taken, which cells are inked."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tiler.layout.packing.cover import LEVELS
from tiler.layout.packing.lattice import Lattice
from tiler.layout.packing.stamp import Stamp

Bytes = npt.NDArray[np.uint8]


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
        """For each size of square and each shift of 0 to 7 bits: is a pixel of the square taken?

        Table ``level * 8 + shift`` has a bit for every pixel, row by row, lowest bit first.
        """
        if self._tables is None:
            self._tables = self._made_tables()
        return self._tables

    def _made_tables(self) -> list[Bytes]:
        width = self.lattice.width
        bits: Bytes = np.packbits(self.taken.ravel(), bitorder="little")
        # Squares may reach past the end; what they find there is free.
        bits = np.concatenate([bits, np.zeros((1 << LEVELS) * (width // 8 + 2), np.uint8)])
        tables: list[Bytes] = []
        for level in range(LEVELS):
            shifted: list[Bytes] = [bits]
            for by in range(1, 8):
                table: Bytes = bits >> np.uint8(by)
                table[:-1] |= bits[1:] << np.uint8(8 - by)
                shifted.append(table)
            tables += shifted
            if level < LEVELS - 1:
                side = 1 << level
                bits = bits.copy()
                for off in (side, side * width, side * width + side):
                    more = shifted[off & 7][off >> 3 :]
                    bits[: len(more)] |= more
        return tables


def cells_of(stamp: Stamp, row: int, column: int, lattice: Lattice) -> list[tuple[int, int]]:
    """The cells (row, column) that a unit inks."""
    up, off_row = divmod(row, lattice.ny)
    across, off_column = divmod(column, lattice.nx)
    pattern = stamp.patterns[stamp.kinds[off_row, off_column]].reshape(stamp.cells)
    return [(up + int(r), across + int(c)) for r, c in zip(*np.nonzero(pattern), strict=True)]
