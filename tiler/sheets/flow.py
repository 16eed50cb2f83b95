"""Blocks of words and lines, dealt into columns side by side."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.sheets.column import Column
from tiler.sheets.drawing import Group, Item

#: Far below anything that a block may need, millimetres.
_DEEP = -10_000.0
#: Steps in which a height is looked for, millimetres.
_STEP = 1.0


@dataclass(frozen=True)
class Block:
    """Something that stays in one column.

    Args:
        items: From the upper left corner at the origin, downwards.
        height: Millimetres.
    """

    items: tuple[Item, ...]
    height: float

    def at(self, corner: Point) -> Item:
        """The block with its upper left corner at a point."""
        return Group(self.items, at=Affine.move(*corner))


@dataclass(frozen=True)
class Flow:
    """Blocks with the column and the depth at which each begins.

    Args:
        blocks: In their order.
        starts: Left and top of each, from the upper left corner, y up.
        height: That they take, millimetres.
    """

    blocks: tuple[Block, ...]
    starts: tuple[Point, ...]
    height: float

    def items(self, corner: Point) -> list[Item]:
        """All blocks, from an upper left corner."""
        return [
            block.at(Point(corner.x + start.x, corner.y + start.y))
            for block, start in zip(self.blocks, self.starts, strict=True)
        ]


def frame_of(width: float) -> Bounds:
    """Where a block is set that begins at the origin."""
    return Bounds(0.0, _DEEP, width, 0.0)


def block_of(column: Column) -> Block:
    """What was set in a column in the frame of a block."""
    return Block(tuple(column.items), -column.top)


def flowed(
    blocks: Callable[[float], Sequence[Block]],
    width: float,
    widths: tuple[float, float],
    gutter: float,
    least: float,
) -> Flow:
    """The blocks in as many columns as make them lowest; of equals the fewest columns.

    Args:
        blocks: For the width of a column, its blocks in reading order.
        width: Of all columns together, millimetres.
        widths: Least and greatest width of a column; a narrow frame has one column in any case.
        gutter: Between two columns.
        least: A height that is taken in any case.
    """
    most = max(1, int((width + gutter) // (widths[0] + gutter)))
    found = []
    for count in range(1, most + 1):
        wide = min(widths[1], (width - (count - 1) * gutter) / count)
        set_in = tuple(blocks(wide))
        heights = [block.height for block in set_in]
        tall = max([least, sum(heights) / count, *heights])
        while (tops := _dealt(heights, tall, count)) is None:
            tall += _STEP
        starts = tuple(Point(column * (wide + gutter), -down) for column, down in tops)
        used = max(down + height for (_, down), height in zip(tops, heights, strict=True))
        found.append((round(max(used, least), 3), count, Flow(set_in, starts, max(used, least))))
    return min(found, key=lambda each: each[:2])[2]


def _dealt(heights: Sequence[float], tall: float, columns: int) -> list[tuple[int, float]] | None:
    """Column and depth of each block; None where they need more columns."""
    places, column, down = [], 0, 0.0
    for height in heights:
        if down and down + height > tall + 0.01:
            column, down = column + 1, 0.0
        places.append((column, down))
        down += height
    return places if column < columns else None
