"""What the printer makes of thin lines and of greys: samples to look at, not to measure."""

from __future__ import annotations

from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import rectangle
from tiler.sheets.column import Column
from tiler.sheets.drawing import Fill, Item, Pen, Stroke, Words
from tiler.sheets.lettering import SMALL, height_of
from tiler.sheets.pens import FINE, GLUE_TINT, HAIR, TICK, TRIM
from tiler.sheets.samples import line_sample
from tiler.sheets.words import say

#: Lines of the width samples, and how many stand side by side.
_ROWS, _COLUMNS = 4, 3
_GAP = 5.0
_OUTLINE = Pen(0.1)


def draw_ink_samples(frame: Bounds, row: float, *, short: bool) -> Column:
    """Ten line widths, nine tints and the lightest pens of our sheets, from the top of a frame.

    Args:
        frame: Where to draw.
        row: From line to line, millimetres.
        short: Whether to leave out what is not needed.
    """
    column = Column(frame)
    column.add(say("calibration_lines"), SMALL + 1, bold=True, after=1.0)
    third = (frame.width - (_COLUMNS - 1) * _GAP) / _COLUMNS
    for number in range(10):
        width = (number + 1) / 10
        part, line = divmod(number, _ROWS)
        at = Point(frame.left + part * (third + _GAP), column.top - (line + 0.5) * row)
        column.items += _labelled(f"{width:.1f}", at, third, Pen(width), 7)
    column.top -= (_ROWS + 0.5) * row
    column.add(say("calibration_tints"), SMALL + 1, bold=True, after=0.6)
    _tints(column, row * 1.5)
    column.add(say("calibration_ours"), SMALL + 1, bold=True, after=0.8)
    _pens(column, row)
    if not short:
        column.add(say("calibration_ink"), SMALL, after=2.5)
    return column


def _labelled(text: str, at: Point, width: float, pen: Pen, room: float) -> list[Item]:
    """A line with its words to the left of it."""
    level = Point(at.x, at.y - height_of(SMALL) / 2)
    sample = line_sample(Point(at.x + room, at.y), width - room, pen)
    return [Words(text, level, SMALL), *sample]


def _tints(column: Column, high: float) -> None:
    """10 to 90 % of black, each in a thin outline, so that a tint that vanishes is seen to."""
    frame = column.frame
    pitch = frame.width / 9
    for number in range(9):
        left = frame.left + number * pitch
        box = rectangle(Bounds(left, column.top - high, left + pitch - 1.2, column.top))
        percent = (number + 1) * 10
        column.items += [Fill((box,), 1 - percent / 100), Stroke((box,), _OUTLINE)]
        at = Point(left + (pitch - 1.2) / 2, column.top - high - 0.9 - height_of(SMALL))
        column.items.append(Words(str(percent), at, SMALL, anchor="middle"))
    column.top -= high + 0.9 + height_of(SMALL) + 2.6


def _pens(column: Column, row: float) -> None:
    """The thinnest and lightest lines that the sheets have, and their only tint."""
    pens = (
        ("calibration_tick", TICK),
        ("calibration_hair", HAIR),
        ("calibration_fine", FINE),
        ("calibration_trim", TRIM),
    )
    left = column.frame.left
    half, room = (column.frame.width - _GAP) / 2, 22.0
    for number, (key, pen) in enumerate(pens):
        part, line = divmod(number, 2)
        at = Point(left + part * (half + _GAP), column.top - (line + 0.5) * row)
        column.items += _labelled(say(key), at, half, pen, room)
    column.top -= 2 * row
    at = Point(left, column.top - row / 2 - 0.4)
    band = Bounds(left + room, column.top - row + 0.4, column.frame.right, column.top - 0.6)
    column.items.append(
        Words(say("calibration_glue"), Point(left, at.y - height_of(SMALL) / 2), SMALL)
    )
    column.items.append(Fill((rectangle(band),), GLUE_TINT))
    column.top -= row + 2.4
