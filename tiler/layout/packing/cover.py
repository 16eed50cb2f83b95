"""A picture of pixels as few overlapping squares, so that a test for collision is few steps."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from tiler.layout.packing.raster import Bits

Bytes = npt.NDArray[np.uint8]

#: Squares have sides of 1, 2, 4, 8, 16 pixels: the powers of two below this exponent.
LEVELS = 5


def squares(mask: Bits) -> list[tuple[int, int, int]]:
    """Squares (level, row, column) of side 2**level whose union is exactly the picture.

    Large squares first; of each size those are taken that cover a pixel not yet covered.
    """
    fits = _where_squares_fit(mask)
    missing = mask.copy()
    # How much is missing to the left of and above a corner of a pixel; counted anew after a change.
    sums = np.zeros((mask.shape[0] + 1, mask.shape[1] + 1), dtype=np.int32)
    counted = False
    found: list[tuple[int, int, int]] = []
    for level in range(LEVELS - 1, 0, -1):
        side, room = 1 << level, fits[level]
        step = 1 if level <= 2 else side // 2
        for first_row in range(0, side, step):
            for first_column in range(0, side, step):
                rows, columns = np.nonzero(room[first_row::side, first_column::side])
                if not len(rows):
                    continue
                rows, columns = rows * side + first_row, columns * side + first_column
                if not counted:
                    np.cumsum(missing, axis=0, dtype=np.int32, out=sums[1:, 1:])
                    np.cumsum(sums[1:, 1:], axis=1, out=sums[1:, 1:])
                    counted = True
                here = (
                    sums[rows + side, columns + side]
                    - sums[rows, columns + side]
                    - sums[rows + side, columns]
                    + sums[rows, columns]
                )
                useful = here > (side if first_row or first_column else 0) // 2
                for row, column in zip(
                    rows[useful].tolist(), columns[useful].tolist(), strict=True
                ):
                    found.append((level, row, column))
                    counted = False
                    missing[row : row + side, column : column + side] = False
    rows, columns = np.nonzero(missing)
    found += [(0, r, c) for r, c in zip(rows.tolist(), columns.tolist(), strict=True)]
    return found


def tables_of(taken: Bytes) -> list[Bytes]:
    """For each size of square and each shift of 0 to 7 bits: is a pixel of the square taken?

    Table ``level * 8 + shift`` has a bit for every pixel, row by row, lowest bit first.

    Args:
        taken: Shape (rows, columns), 0 or 1; columns in whole bytes of bits.
    """
    width = taken.shape[1]
    bits: Bytes = np.packbits(taken.ravel(), bitorder="little")
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


def _where_squares_fit(mask: Bits) -> list[Bits]:
    fits: list[npt.NDArray[np.bool_]] = [mask]
    for level in range(1, LEVELS):
        half, last = 1 << (level - 1), fits[-1]
        if min(last.shape) <= half:
            fits.append(np.zeros((0, 0), dtype=bool))
            continue
        fits.append(
            last[:-half, :-half] & last[half:, :-half] & last[:-half, half:] & last[half:, half:]
        )
    return fits
