"""The strip as pixels while items are laid on it. Row 0 is the beginning of the first length."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from tiler.layout.packing.cover import Bytes, squares, tables_of
from tiler.layout.packing.raster import Bits, Floats, filled, rings_of
from tiler.layout.strip.items import Item
from tiler.layout.strip.paper import RIM, Strip
from tiler.pattern.affine import Affine

#: Outlines are made simpler by half of this before they are drawn in pixels, millimetres.
_COARSE = 0.1
#: Millimetres that are added to half the gap, so that no rounding makes it less.
_SPARE = 0.1
#: So many of the largest squares of an item are held against the whole canvas at once; the others
#: row by row, so many rows at a time.
_ROUGH, _WINDOW = 12, 48
_FULL = np.uint8(255)
#: Keeps what lies on a border of pixels on its upper side, millimetres.
_ROUNDING = 1e-6


@dataclass(frozen=True)
class Raster:
    """How millimetres become pixels.

    Args:
        pixel: Side of a pixel, millimetres.
        columns: Across the strip, what an item's own gap may reach beyond the edge included.
        period: Rows of one length.
        lengths: How many lengths follow each other.
        margin: What every item is made wider by: half the gap, millimetres.
        taken: Rows at the beginning of the first length that are kept free of items.
        even: Whether a row costs what it costs on its own length, and not in the whole strip.
    """

    pixel: float
    columns: int
    period: int
    lengths: int
    margin: float
    taken: int
    even: bool

    @classmethod
    def of(cls, strip: Strip, wished: float, gap: float, longest: float, lengths: int) -> Raster:
        """A raster whose pixels fill the strip's width exactly.

        Args:
            strip: The paper.
            wished: About the side of a pixel, millimetres.
            gap: Least free paper between two items, millimetres.
            longest: Of a length, millimetres, where it has no limit.
            lengths: How many lengths follow each other.
        """
        margin = gap / 2 + _SPARE
        wide = strip.width - 2 * RIM + 2 * margin
        columns = max(8, round(wide / wished))
        pixel = wide / columns
        long = min(strip.limit, longest) - 2 * RIM + 2 * margin
        period = math.floor(long / pixel + 1e-6)
        taken = max(0, math.ceil((strip.head - RIM) / pixel - 1e-9))
        return cls(pixel, columns, period, lengths, margin, taken, strip.even)

    @property
    def rows(self) -> int:
        """Of all lengths together."""
        return self.period * self.lengths

    @property
    def over(self) -> float:
        """Millimetres by which the pixels begin outside the strip."""
        return self.margin - RIM

    @property
    def width(self) -> int:
        """Columns as whole bytes of bits."""
        return -(-self.columns // 8) * 8

    def prices(self) -> npt.NDArray[np.float64]:
        """What it costs that an item ends in a row."""
        rows = np.arange(self.rows)
        return np.asarray(rows % self.period if self.even else rows, dtype=np.float64)


@dataclass(frozen=True, eq=False)
class Stamp:
    """An item in one turn, as pixels.

    Args:
        at: Item -> millimetres from the upper left corner of its first pixel, y up.
        mask: What it takes up, half the gap included; row 0 is the highest.
        probes: The same as (table of `Canvas.tables`, byte) of squares that cover it.
        middle: Row of the centre of its area.
    """

    at: Affine
    mask: Bits
    probes: tuple[tuple[int, int], ...]
    middle: float


def stamps_of(item: Item, raster: Raster) -> list[Stamp]:
    """The item in all its turns that go on a length."""
    coarse = min(_COARSE, raster.margin)
    grown = item.body.buffer(raster.margin, quad_segs=8).simplify(coarse / 2)
    rings = rings_of(grown)
    made = [_stamp(item, rings, degrees, raster) for degrees in item.turns]
    return [
        stamp
        for stamp in made
        if stamp.mask.shape[0] <= raster.period and stamp.mask.shape[1] <= raster.columns
    ]


def _stamp(item: Item, rings: list[Floats], degrees: float, raster: Raster) -> Stamp:
    turn, pixel = Affine.turn(degrees), raster.pixel
    by = np.array([[turn.a, turn.b], [turn.c, turn.d]])
    # The corners of what is grown are cut a little; the item's own size is exact.
    low, _, _, high = item.turned(turn).bounds
    left, top = low - raster.margin, high + raster.margin
    # Downwards, as rows are counted; what a picture looks like mirrored does not matter here.
    down = [np.stack([(ring @ by)[:, 0] - left, top - (ring @ by)[:, 1]], axis=1) for ring in rings]
    size = (side + 2 * raster.margin for side in item.size(degrees))
    columns, rows = (max(1, math.ceil(side / pixel - 1e-6)) for side in size)
    mask = filled([ring + _ROUNDING for ring in down], (pixel, pixel), (rows, columns))
    probes = []
    for level, row, column in squares(mask):
        bit = row * raster.width + column
        probes.append((level * 8 + bit % 8, bit // 8))
    heights = mask.sum(axis=1)
    middle = float((heights * np.arange(rows)).sum() / heights.sum())
    return Stamp(turn.then(Affine.move(-left, -top)), mask, tuple(probes), middle)


class Canvas:
    """Taken pixels.

    Attributes:
        steps: Work done, in steps that take about a microsecond each on a common computer.
    """

    def __init__(self, raster: Raster) -> None:
        self.raster = raster
        self.steps = 0.0
        self.taken = np.zeros((raster.rows, raster.width), dtype=np.uint8)
        self.taken[:, raster.columns :] = 1
        self.taken[: raster.taken] = 1
        self._tables: list[Bytes] | None = None

    def copy(self) -> Canvas:
        """The same, free to be changed."""
        other = Canvas.__new__(Canvas)
        other.raster, other.taken, other._tables = self.raster, self.taken.copy(), None
        other.steps = 0.0
        return other

    def add(self, stamp: Stamp, row: int, column: int) -> None:
        """Lay an item down."""
        rows, columns = stamp.mask.shape
        self.taken[row : row + rows, column : column + columns] |= stamp.mask
        self._tables = None

    def remove(self, stamp: Stamp, row: int, column: int) -> None:
        """Take an item up again."""
        rows, columns = stamp.mask.shape
        self.taken[row : row + rows, column : column + columns] &= ~stamp.mask
        self._tables = None

    def highest(
        self, stamp: Stamp, start: int, stop: int
    ) -> tuple[int, npt.NDArray[np.intp]] | None:
        """The first row of one length in which an item's first pixel can lie, and its columns.

        Args:
            stamp: The item in one turn.
            start: The first row that is tried.
            stop: The row before which the search ends.
        """
        raster, (rows, columns) = self.raster, stamp.mask.shape
        wide, across = raster.columns - columns + 1, raster.width // 8
        end = (start // raster.period + 1) * raster.period
        count = min(stop, end - rows + 1) - start
        if count < 1:
            return None
        outside = np.packbits(np.arange(raster.width) >= wide, bitorder="little")
        hits = np.tile(outside, count)
        tables, join = self.tables, np.bitwise_or
        rough, fine = stamp.probes[:_ROUGH], stamp.probes[_ROUGH:]
        for table, byte in rough:
            byte += start * across
            join(hits, tables[table][byte : byte + len(hits)], hits)
        alive = np.flatnonzero((hits.reshape(count, across) != _FULL).any(axis=1))
        self.steps += 20 + len(rough) * (0.8 + len(hits) / 12_000) + len(hits) / 3000
        here = 0
        while here < len(alive):
            low, high = int(alive[here]), min(int(alive[here]) + _WINDOW, count)
            part = hits[low * across : high * across]
            begin = (start + low) * across
            for table, byte in fine:
                byte += begin
                join(part, tables[table][byte : byte + len(part)], part)
            self.steps += 10 + len(fine) * (0.8 + len(part) / 12_000)
            open_rows = np.flatnonzero((part.reshape(-1, across) != _FULL).any(axis=1))
            if len(open_rows):
                row = int(open_rows[0])
                bits = np.unpackbits(part[row * across : (row + 1) * across], bitorder="little")
                return start + low + row, np.flatnonzero(bits[:wide] == 0)
            here = int(np.searchsorted(alive, high))
        return None

    @property
    def tables(self) -> Sequence[Bytes]:
        """The taken pixels as `tables_of` makes them."""
        if self._tables is None:
            self.steps += 100 + self.taken.size / 250
            self._tables = tables_of(self.taken)
        return self._tables
