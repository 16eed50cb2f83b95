"""Sheets that are taped separately, in one grid so that every page has a name of its own."""

from __future__ import annotations

from collections.abc import Sequence

from tiler.layout.tiles import Block, Grid, PageSetup
from tiler.pattern.affine import Point

#: Single pages stand side by side in rows of this many, or as many as the widest sheet has columns.
ABREAST = 6
#: Paper between the windows of two sheets, millimetres.
BETWEEN = 20.0


def arrange(setup: PageSetup, sizes: Sequence[tuple[int, int]]) -> Grid:
    """One grid for several sheets: a row of pages belongs to one sheet, single pages excepted.

    Larger sheets come first, so that their rows have the first letters; single pages share the
    last rows.

    Args:
        setup: The paper.
        sizes: Rows and columns of each sheet.

    Returns:
        A grid whose blocks are in the order of `sizes`.
    """
    if len(sizes) == 1:
        (rows, columns) = sizes[0]
        return Grid(setup, rows, columns, (Block(0, 0, rows, columns),))
    order = sorted(range(len(sizes)), key=lambda k: (-sizes[k][0] * sizes[k][1], k))
    large = [k for k in order if sizes[k] != (1, 1)]
    single = [k for k in order if sizes[k] == (1, 1)]
    abreast = max([ABREAST, *(sizes[k][1] for k in large)])
    bands = [[k] for k in large]
    bands += [single[n : n + abreast] for n in range(0, len(single), abreast)]
    apart = 2 * setup.bleed + BETWEEN
    blocks: dict[int, Block] = {}
    row = 0
    for number, band in enumerate(bands):
        up = (len(bands) - 1 - number) * apart
        for place, k in enumerate(band):
            blocks[k] = Block(row, place, *sizes[k], Point(place * apart, up))
        row += sizes[band[0]][0]
    columns = max(block.column + block.columns for block in blocks.values())
    return Grid(setup, row, columns, tuple(blocks[k] for k in range(len(sizes))))
