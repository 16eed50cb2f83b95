"""A unit in one of its turns, as pixels: what it takes up, and which cells it inks from where."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from tiler.layout.ink import moved
from tiler.layout.packing.cover import squares
from tiler.layout.packing.lattice import Lattice
from tiler.layout.packing.raster import Bits, filled, touched
from tiler.layout.packing.shape import Floats, Shape
from tiler.pattern.affine import Affine

#: Paper between a unit's ink and the border of the pixel that it starts in, millimetres: a line on
#: the border itself would ink the next page too.
INSET = 0.1
#: A unit that fills this share of its cells may have them for itself.
_FULL = 0.8
#: Keeps what lies on a border of pixels on its upper side, millimetres.
_ROUNDING = 1e-6
#: What a place that is not allowed costs, in cells.
NEVER = 10_000.0

Ints = npt.NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Stamp:
    """A unit in one turn. Its pixels start `rim` pixels left of and below its ink.

    Args:
        index: The unit.
        at: From the unit's coordinates to millimetres from the first inked pixel's corner.
        mask: Pixels of its body and half the gap round it, shape (rows, columns).
        kinds: For each offset (rows, columns) of its ink in a cell the number of its pattern.
        patterns: Which cells it inks, shape (patterns, up * across), 1 or 0.
        counts: How many cells each pattern inks, NEVER for one that is not allowed.
        cells: Cells up and across that a pattern is long.
        width: Pixels across the canvas.
        alone: Whether it has its cells for itself.
    """

    index: int
    at: Affine
    mask: Bits
    kinds: npt.NDArray[np.intp]
    patterns: npt.NDArray[np.float32]
    counts: npt.NDArray[np.float32]
    cells: tuple[int, int]
    width: int
    alone: bool = False

    @cached_property
    def probes(self) -> tuple[tuple[int, int], ...]:
        """The mask as (table of `Room.tables`, byte) of squares that cover it, large first."""
        found = []
        for level, row, column in squares(self.mask):
            bit = row * self.width + column
            found.append((level * 8 + bit % 8, bit // 8))
        return tuple(found)

    @cached_property
    def edge(self) -> tuple[Ints, Ints]:
        """Rows and columns of the pixels just outside the mask, from its first pixel."""
        return _edge(self.mask)

    @cached_property
    def ban(self) -> npt.NDArray[np.float32]:
        """What makes patterns dear that are not allowed."""
        return np.where(self.counts >= NEVER, np.float32(1e6), np.float32(0))

    @property
    def fewest(self) -> float:
        """The fewest cells that it can ink."""
        return float(self.counts.min())


def stamp_of(
    shape: Shape, grown: list[Floats], margin: float, degrees: float, lattice: Lattice
) -> Stamp:
    """A unit in one turn.

    Args:
        shape: The unit.
        grown: Rings of its body, grown by the margin.
        margin: About half the gap, millimetres.
        degrees: The turn, anticlockwise.
        lattice: The raster.
    """
    turn = Affine.turn(degrees)
    chords = moved(shape.chords, turn)
    low = chords.min(axis=(0, 1))
    at = turn.then(Affine.move(INSET - low[0], INSET - low[1]))
    ink = _ink(chords - low + INSET, lattice)
    mask = _mask(grown, margin, at, ink, lattice)
    kinds, patterns, cells = _patterns(ink, lattice)
    counts = patterns.sum(axis=1)
    if shape.whole:
        counts = np.where(counts > 1, NEVER, counts).astype(np.float32)
    return Stamp(shape.index, at, mask, kinds, patterns, counts, cells, lattice.width)


def lone_stamp_of(
    shape: Shape, degrees: float, lattice: Lattice, past: tuple[float, float]
) -> Stamp | None:
    """A unit that has its cells for itself: it may reach past their outer sides, and units on the
    pages beside it may be near.

    None where it saves no row or column of cells and leaves room for others.

    Args:
        shape: The unit.
        degrees: The turn, anticlockwise.
        lattice: The raster.
        past: Millimetres that the outermost pages of a sheet show beyond their cells, each side.
    """
    turn = Affine.turn(degrees)
    chords = moved(shape.chords, turn)
    low, high = chords.min(axis=(0, 1)), chords.max(axis=(0, 1))
    size = high - low
    plain = [-int(-(size[k] + INSET) // lattice.pitch[k]) for k in (0, 1)]
    tight = [max(1, -int(-(size[k] - 2 * past[k]) // lattice.pitch[k])) for k in (0, 1)]
    fill = shape.area / (tight[0] * tight[1] * lattice.pitch[0] * lattice.pitch[1])
    if plain == tight and fill < _FULL:
        return None
    middle = [(tight[k] * lattice.pitch[k] - size[k]) / 2 for k in (0, 1)]
    shift = [min(INSET, place) for place in middle]
    at = turn.then(Affine.move(shift[0] - low[0], shift[1] - low[1]))
    ink = _ink(chords - low + np.array(shift), lattice)[
        : tight[1] * lattice.ny, : tight[0] * lattice.nx
    ]
    own = np.zeros((tight[1] * lattice.ny, tight[0] * lattice.nx), dtype=bool)
    own[: ink.shape[0], : ink.shape[1]] = ink
    cells = own.reshape(tight[1], lattice.ny, tight[0], lattice.nx).any(axis=(1, 3))
    mask = np.pad(np.ones_like(own), lattice.rim)
    kinds = np.ones((lattice.ny, lattice.nx), dtype=np.intp)
    kinds[0, 0] = 0
    patterns = np.stack([cells.ravel(), np.zeros(cells.size)]).astype(np.float32)
    counts = np.array([cells.sum(), NEVER], dtype=np.float32)
    if shape.whole and cells.sum() > 1:
        return None
    return Stamp(
        shape.index,
        at,
        mask,
        kinds,
        patterns,
        counts,
        (tight[1], tight[0]),
        lattice.width,
        alone=True,
    )


def _ink(chords: Floats, lattice: Lattice) -> Bits:
    (width, height), high = lattice.pixel, chords.max(axis=(0, 1))
    size = int(high[1] / height) + 1, int(high[0] / width) + 1
    return touched(chords, lattice.pixel, size)


def _mask(grown: list[Floats], margin: float, at: Affine, ink: Bits, lattice: Lattice) -> Bits:
    """The grown body's pixels.

    All units are shifted alike against the ink, so that the left and lower sides of an upright
    rectangle run along borders of pixels and cost no part of one.
    """
    rim, pixel = lattice.rim, lattice.pixel
    size = ink.shape[0] + 2 * rim, ink.shape[1] + 2 * rim
    start = [rim * pixel[k] + (margin - INSET) % pixel[k] + _ROUNDING for k in (0, 1)]
    shift = at.then(Affine.move(*start))
    return filled([moved(ring, shift) for ring in grown], pixel, size)


def _edge(mask: Bits) -> tuple[Ints, Ints]:
    """Pixels just outside the mask, next to one of its own by a side."""
    wide = np.pad(mask, 1)
    near = np.zeros_like(wide)
    near[1:] |= wide[:-1]
    near[:-1] |= wide[1:]
    near[:, 1:] |= wide[:, :-1]
    near[:, :-1] |= wide[:, 1:]
    rows, columns = np.nonzero(near & ~wide)
    return rows - 1, columns - 1


def _patterns(
    ink: Bits, lattice: Lattice
) -> tuple[npt.NDArray[np.intp], npt.NDArray[np.float32], tuple[int, int]]:
    """Which cells the ink touches, for each offset of it in a cell."""
    nx, ny = lattice.nx, lattice.ny
    rows, columns = ink.shape
    up, across = (rows + ny - 2) // ny + 1, (columns + nx - 2) // nx + 1
    sums = np.pad(ink.astype(np.int32).cumsum(axis=1), ((0, 0), (1, 0)))
    ends = np.clip(np.arange(across + 1)[None] * nx - np.arange(nx)[:, None], 0, columns)
    by_column = np.diff(sums[:, ends], axis=2) > 0
    sums = np.pad(by_column.astype(np.int32).cumsum(axis=0), ((1, 0), (0, 0), (0, 0)))
    ends = np.clip(np.arange(up + 1)[None] * ny - np.arange(ny)[:, None], 0, rows)
    found = np.diff(sums[ends], axis=1) > 0
    flat = found.transpose(0, 2, 1, 3).reshape(ny * nx, up * across)
    packed = np.ascontiguousarray(np.packbits(flat, axis=1))
    keys = packed.view(np.dtype((np.void, packed.shape[1]))).ravel()
    _, first, kinds = np.unique(keys, return_index=True, return_inverse=True)
    return (
        kinds.reshape(ny, nx).astype(np.intp),
        flat[first].astype(np.float32),
        (up, across),
    )
