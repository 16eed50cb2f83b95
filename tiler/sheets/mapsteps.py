"""The order of taping, beside each sheet of the map: along a row, then to the row above."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.layout.plan import Plan
from tiler.layout.tiles import Cell
from tiler.pattern.affine import Affine, Point
from tiler.pattern.path import polyline
from tiler.sheets.arrow import arrowhead
from tiler.sheets.drawing import Item, Pen, Stroke, Words
from tiler.sheets.lettering import BODY, SMALL, height_of

_PEN = Pen(0.3)
#: Length of an arrow and of its head, and where it ends from the sheet, millimetres.
_ARROW, _HEAD, _FROM = 5.0, 2.0, 1.4
#: Rows lower than this have smaller numbers, millimetres.
_LOW = 9.0


@dataclass(frozen=True)
class Step:
    """One thing to do with the tape.

    Args:
        number: From 1 in each sheet.
        row: The row that is taped, or the lower one of two that are taped together.
        hung: Whether the row is taped to the one above it.
    """

    number: int
    row: int
    hung: bool


def steps_of(plan: Plan, cells: tuple[Cell, ...]) -> list[Step]:
    """Each row of a sheet once it is printed, and then its joint with the rows above."""
    own = set(cells)
    pairs = [pair for pair in plan.joints if pair[0] in own]
    level = {under.row for under, over in pairs if under.row == over.row}
    hung = {over.row for under, over in pairs if under.row != over.row}
    found: list[Step] = []
    for row in sorted({cell.row for cell in cells}):
        if row in level:
            found.append(Step(len(found) + 1, row, hung=False))
        if row in hung:
            found.append(Step(len(found) + 1, row, hung=True))
    return found


def draw_steps(plan: Plan, cells: tuple[Cell, ...], at: Affine) -> list[Item]:
    """Numbers with arrows at the left of a sheet: to the right for a row, up for two rows."""
    items: list[Item] = []
    boxes = {cell: plan.grid.core(cell).moved(at) for cell in cells}
    left = min(box.left for box in boxes.values()) - _FROM
    for step in steps_of(plan, cells):
        row = next(box for cell, box in boxes.items() if cell.row == step.row)
        y = row.top if step.hung else row.centre.y
        size = BODY if row.height >= _LOW else SMALL
        if step.hung:
            half = min(_ARROW, row.height * 0.45) / 2
            start, tip, along = Point(left - 1, y - half), Point(left - 1, y + half), (0.0, 1.0)
        else:
            start, tip, along = Point(left - _ARROW, y), Point(left, y), (1.0, 0.0)
        items.append(Stroke((polyline([start, tip]),), _PEN))
        items.append(arrowhead(tip, along, _HEAD))
        base = Point(left - _ARROW - 0.7, y - height_of(size) / 2)
        items.append(Words(str(step.number), base, size, anchor="end", bold=True))
    return items
