"""All units shifted together against the joints."""

from __future__ import annotations

import random
from collections.abc import Sequence

import numpy as np

from tiler.layout.packing.lattice import Lattice
from tiler.layout.packing.room import Room, Spot
from tiler.layout.packing.stamp import Stamp


def slid(
    stamps: Sequence[Stamp], spots: Sequence[Spot], lattice: Lattice, rng: random.Random
) -> tuple[Room, list[Spot]] | None:
    """The arrangement as it is, laid over the joints where it inks fewest cells.

    Args:
        stamps: Of each unit the one that is laid down.
        spots: Where each lies.
        lattice: The raster.
        rng: Decides among equals.

    Returns:
        None where a unit has pages for itself, which ties it to the joints, or where every shift
        would split one that is to stay whole.
    """
    if any(stamp.alone for stamp in stamps):
        return None
    nx, ny, rim = lattice.nx, lattice.ny, lattice.rim
    low, left = min(spot.row for spot in spots), min(spot.column for spot in spots)
    pairs = list(zip(stamps, spots, strict=True))
    high = max(spot.row + stamp.mask.shape[0] - 2 * rim for stamp, spot in pairs)
    right = max(spot.column + stamp.mask.shape[1] - 2 * rim for stamp, spot in pairs)
    ups = np.arange(min(ny, lattice.rows * ny - (high - low) + 1)) - low
    overs = np.arange(min(nx, lattice.columns * nx - (right - left) + 1)) - left
    up = max(stamp.cells[0] for stamp in stamps)
    across = max(stamp.cells[1] for stamp in stamps)
    inked = np.zeros(
        (len(ups), len(overs), lattice.rows + up + 1, lattice.columns + across + 1), dtype=bool
    )
    barred = np.zeros(inked.shape[:2], dtype=bool)
    for stamp, spot in pairs:
        rows, columns = spot.row + ups, spot.column + overs
        patterns = stamp.patterns.reshape(-1, *stamp.cells) > 0
        kinds = stamp.kinds[np.ix_(rows % ny, columns % nx)]
        barred |= stamp.ban[kinds] > 0
        for first in np.unique(rows // ny).tolist():
            at_row = np.flatnonzero(rows // ny == first)
            for second in np.unique(columns // nx).tolist():
                at_column = np.flatnonzero(columns // nx == second)
                here = inked[
                    at_row[0] : at_row[-1] + 1,
                    at_column[0] : at_column[-1] + 1,
                    first : first + stamp.cells[0],
                    second : second + stamp.cells[1],
                ]
                here |= patterns[kinds[np.ix_(at_row, at_column)]]
    counts = np.where(barred, inked[0, 0].size + 1, inked.sum(axis=(2, 3)))
    if barred.all():
        return None
    choices = np.argwhere(counts == counts.min())
    row, column = choices[rng.randrange(len(choices))].tolist()
    room, moved = Room(lattice), []
    for stamp, spot in pairs:
        to = Spot(spot.stamp, spot.row + int(ups[row]), spot.column + int(overs[column]))
        room.add(stamp, to.row, to.column)
        moved.append(to)
    return room, moved
