"""Marks of the projected grid: lines of whole pixels, ringed crosses, stripes, words on black."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.layout.mats.grid import GRID_INSET
from tiler.pattern.path import circle, polyline
from tiler.sheets.drawing import Item, Pen, Stroke, Words
from tiler.sheets.lettering import width_of, wrapped
from tiler.sheets.screen import PX_MM, block, on_page, size_pt

#: Greys on the black ground.
WHITE, SOFT, FAINT, BLACK = 1.0, 0.62, 0.26, 0.0
#: Height of capitals as a share of the type size, and from baseline to baseline.
_CAPITALS, _LEADING = 0.714, 1.32


@dataclass(frozen=True)
class Screen:
    """A picture to draw on, in pixels, y down.

    Args:
        width: Pixels across.
        height: Pixels down.
    """

    width: int
    height: int

    def px(self, of_1080: float) -> int:
        """Whole pixels for a measure that is meant for a picture of 1920 x 1080."""
        inner = (self.width - 2 * GRID_INSET) / 1840, (self.height - 2 * GRID_INSET) / 1000
        return max(1, round(of_1080 * min(inner)))

    def even(self, of_1080: float) -> int:
        """The same, and even: a line on a whole number then covers whole pixels."""
        return max(2, 2 * round(self.px(of_1080) / 2))

    def line(self, ax: float, ay: float, bx: float, by: float, thick: int, grey: float) -> Item:
        """A straight line; level and upright ones are crisp."""
        half = thick / 2
        if ay == by:
            return block(min(ax, bx), ay - half, max(ax, bx), ay + half, self.height, grey)
        if ax == bx:
            return block(ax - half, min(ay, by), ax + half, max(ay, by), self.height, grey)
        ends = on_page(ax, ay, self.height), on_page(bx, by, self.height)
        return Stroke((polyline(ends),), Pen(thick * PX_MM, grey))

    def cross(self, x: float, y: float) -> tuple[Item, ...]:
        """A thin cross in a ring on free ground; its middle is measured."""
        ring, arm = self.px(30), self.px(26)
        path = circle(on_page(x, y, self.height), ring * PX_MM)
        return (
            block(x - arm, y - arm, x + arm, y + arm, self.height, BLACK),
            Stroke((path,), Pen(self.even(3) * PX_MM, SOFT)),
            self.line(x - arm, y, x + arm, y, 2, WHITE),
            self.line(x, y - arm, x, y + arm, 2, WHITE),
        )

    def stripes(self, x: float, y: float) -> tuple[Item, ...]:
        """Stripes of one, two and three pixels, upright and level, with the pixels' number.

        Args:
            x: Middle of the patch; whole.
            y: Likewise.
        """
        side, gap, type_size = 6 * self.px(10), self.px(14), self.px(24)
        left, top = x - (3 * side + 2 * gap) // 2, y - side - gap // 2
        items: list[Item] = []
        for number in range(3):
            thick, at = number + 1, left + number * (side + gap)
            for step in range(0, side - thick + 1, 2 * thick):
                items.append(
                    block(at + step, top, at + step + thick, top + side, self.height, WHITE)
                )
                low = top + side + gap + step
                items.append(block(at, low, at + side, low + thick, self.height, WHITE))
            baseline = top + 2 * side + gap + type_size
            place = on_page(at + side / 2, baseline, self.height)
            items.append(Words(str(thick), place, size_pt(type_size), "middle", grey=SOFT))
        frame = self.px(16)
        ground = block(
            left - frame,
            top - frame,
            left + 3 * side + 2 * gap + frame,
            top + 2 * side + gap + type_size + frame,
            self.height,
            BLACK,
        )
        return (ground, *items)

    def words(
        self,
        text: str,
        x: float,
        y: float,
        size: int,
        *,
        most: float = 0.0,
        anchor: str = "middle",
        bold: bool = False,
        grey: float = WHITE,
    ) -> tuple[tuple[Item, ...], float]:
        """Upright words on free ground.

        Args:
            text: What they say; broken into lines when `most` is given.
            x: Middle, left or right end, as `anchor` says, pixels.
            y: Top of the first line's capitals.
            size: Type size, pixels.
            most: Widest that a line may be, pixels; 0 for one line.
            anchor: start, middle or end.
            bold: Heavy letters.
            grey: Of the letters.

        Returns:
            The items, and the y below them, pixels.
        """
        points = size_pt(size)
        lines = wrapped(text, points, most * PX_MM, bold=bold) if most else [text]
        wide = max(width_of(line, points, bold=bold) for line in lines) / PX_MM
        left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[anchor]
        foot = y + (_CAPITALS + _LEADING * (len(lines) - 1)) * size
        free = size * 0.4
        items: list[Item] = [
            block(
                round(left - free),
                round(y - free),
                round(left + wide + free),
                round(foot + free),
                self.height,
                BLACK,
            )
        ]
        for number, line in enumerate(lines):
            place = on_page(x, y + (_CAPITALS + _LEADING * number) * size, self.height)
            items.append(Words(line, place, points, anchor, bold=bold, grey=grey))
        return tuple(items), foot
