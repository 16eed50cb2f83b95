"""The plan of the pages for the screen: every page with its name, and every piece by itself.

All sheets lie as they do in the plan's own grid. Each page and each piece is a layer, so that a
screen can colour them, and take hold of a piece.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator

from tiler.layout.byhand import units_on
from tiler.layout.plan import Placement, Plan
from tiler.layout.tiles import Cell
from tiler.pattern.affine import Affine
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Pattern
from tiler.pattern.path import rectangle
from tiler.sheets.assembly import (
    BLANK_LINE,
    PAGE_LINE,
    PAPER_TINT,
    PIECE_LINE,
    sorted_cells,
)
from tiler.sheets.drawing import Fill, Group, Item, Page, Pen, Stroke
from tiler.sheets.mapgrain import arrow_of, arrow_paths, grain_of
from tiler.sheets.maplabels import MapRoom, Numbers, Shown, draw_page_name, draw_piece_name
from tiler.sheets.outlined import rims_of, small_outlines

#: Millimetres of the plan that one millimetre of the picture stands for.
SCALE = 5.0
#: Round all pages, millimetres of the picture.
EDGE = 8.0
_OVER = Pen(0.9)


def draw_plan_picture(plan: Plan, pattern: Pattern, over: Collection[str] = ()) -> Page:
    """The plan at a fifth of its size.

    Layers: ``page:NAME`` for each page, ``blanks`` for places within a sheet that are not printed,
    ``unit:NAME`` for what moves as one, named after its first piece, in it ``piece:NAME`` for each
    piece, ``joints`` for the pages' edges over the pieces, and ``names`` for the pages' names.
    Within a piece: ``paper``, ``cut``, ``grain``, ``name``, and ``over`` where it lies over
    another one.

    Args:
        plan: What lies where.
        pattern: Whose pieces lie there; of its own pieces none is looked at.
        over: Names of pieces to be marked because they lie over others.
    """
    return _Picture(plan, pattern, over).page()


class _Picture:
    def __init__(self, plan: Plan, pattern: Pattern, over: Collection[str]) -> None:
        self.plan, self.pattern, self.over = plan, pattern, over
        bounds = plan.grid.bounds
        self.width = bounds.width / SCALE + 2 * EDGE
        self.height = bounds.height / SCALE + 2 * EDGE
        factor = 1 / SCALE
        left, bottom = EDGE - bounds.left * factor, EDGE - bounds.bottom * factor
        self.at = Affine(factor, 0, 0, factor, left, bottom)
        self.boxes = {cell: self._box(cell) for cell in plan.cells}
        numbers = Numbers.of(plan)
        self.shown = {
            placement.piece.name: Shown(
                numbers.pieces[placement.piece.name],
                placement.piece.name,
                small_outlines(placement, self.at),
            )
            for placement in plan.placements
        }
        lines = [path for each in self.shown.values() for path in each.outlines]
        for placement in plan.placements:
            for grain in grain_of(placement, self.at):
                lines += arrow_paths(*grain)
        self.room = MapRoom(lines, [rectangle(box) for box in self.boxes.values()])

    def page(self) -> Page:
        """The picture."""
        names = [
            item
            for cell, box in self.boxes.items()
            for item in draw_page_name(cell.name, box, self.room)
        ]
        edges = tuple(rectangle(box) for box in self.boxes.values())
        items: list[Item] = [
            Group(tuple(self._pages()), layers=("pages",)),
            Group(tuple(self._blanks()), layers=("blanks",)),
            Group(tuple(self._units()), layers=("units",)),
            Group((Stroke(edges, PAGE_LINE),), layers=("joints",)),
            Group(tuple(names), layers=("names",)),
        ]
        return Page("plan", self.width, self.height, tuple(items))

    def _pages(self) -> Iterator[Group]:
        for cell, box in self.boxes.items():
            yield Group((Fill((rectangle(box),), PAPER_TINT),), layers=(f"page:{cell.name}",))

    def _blanks(self) -> Iterator[Stroke]:
        grid = self.plan.grid
        for cells in self.plan.sheets:
            block = grid.block_of(cells[0])
            inside = {
                Cell(row, column)
                for row in range(block.row, block.row + block.rows)
                for column in range(block.column, block.column + block.columns)
            }
            blank = [self._box(cell).grown(-0.3) for cell in sorted_cells(inside - set(cells))]
            if blank:
                yield Stroke(tuple(rectangle(box) for box in blank), BLANK_LINE)

    def _units(self) -> Iterator[Group]:
        """The larger ones first: of pieces that lie over one another the small one can be seen."""
        lying = {placement.piece.name: placement for placement in self.plan.placements}
        units = units_on(self.plan, self.pattern)
        largest = sorted(units, key=lambda unit: -round(self.shown[unit[0].name].area.area, 3))
        for unit in largest:
            pieces = tuple(self._piece(lying[piece.name]) for piece in unit)
            yield Group(pieces, layers=(f"unit:{unit[0].name}",))

    def _piece(self, placement: Placement) -> Group:
        name = placement.piece.name
        shown = self.shown[name]
        cut = Stroke(tuple(shown.outlines), PIECE_LINE)
        parts: list[tuple[str, tuple[Item, ...]]] = [
            ("paper", (Fill(tuple(rims_of(shown.area)), 1.0),)),
            ("cut", (cut,)),
        ]
        if name in self.over:
            parts.append(("over", (Stroke(cut.paths, _OVER),)))
        arrows = tuple(item for grain in grain_of(placement, self.at) for item in arrow_of(*grain))
        words, _ = draw_piece_name(shown, self.room)
        parts += [("grain", arrows), ("name", tuple(words))]
        groups = tuple(Group(items, layers=(layer,)) for layer, items in parts if items)
        return Group(groups, layers=(f"piece:{name}",))

    def _box(self, cell: Cell) -> Bounds:
        return self.plan.grid.core(cell).moved(self.at)
