"""The assembly map: every sheet with its pages, their joints and the pieces on them, small."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from tiler.layout.plan import Placement, Plan
from tiler.layout.tiles import Cell
from tiler.pattern.affine import Affine
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import rectangle
from tiler.sheets.drawing import Fill, Item, Pen, Stroke, Words
from tiler.sheets.mapfit import fit
from tiler.sheets.mapgrain import arrow_of, arrow_paths, grain_of
from tiler.sheets.maplabels import (
    MapRoom,
    Numbers,
    Shown,
    draw_joint_number,
    draw_page_name,
    draw_piece_name,
)
from tiler.sheets.mapsteps import draw_steps
from tiler.sheets.outlined import rims_of, small_outlines

PAPER_TINT = 0.94
PAGE_LINE = Pen(0.22, grey=0.3)
BLANK_LINE = Pen(0.15, grey=0.6, dash=(0.3, 1.5))
PIECE_LINE = Pen(0.35)
#: Where pages are smaller than this across, joints are too short for their numbers, millimetres.
_NUMBERED = 14.0


@dataclass(frozen=True)
class DrawnMap:
    """A map with what has to be explained beside it.

    Args:
        items: What is drawn.
        extent: The part of the frame that it takes.
        ringed: Whether a piece is shown by its number, for want of room for its name.
        joints: Whether joints have their numbers.
        blank: Whether there are places within a sheet that are not printed.
    """

    items: list[Item]
    extent: Bounds
    ringed: bool
    joints: bool
    blank: bool


def draw_map(plan: Plan, frame: Bounds, numbers: Numbers) -> DrawnMap:
    """Every sheet with the names of its pages, its joints, the pieces, and the steps of taping.

    A page's name stands in the upper left of its cell, or as near to it as no line runs; a piece's
    name stands within the piece, or else its number.

    Args:
        plan: What is printed.
        frame: Where to draw.
        numbers: Of joints and pieces, as on the pages.
    """
    fitted = fit(plan, frame)
    numbered = fitted.factor * min(plan.grid.setup.pitch) >= _NUMBERED
    items: list[Item] = [
        Words(heading.text, heading.at, heading.size_pt, bold=True) for heading in fitted.headings
    ]
    ringed = blank = False
    for cells, at in fitted.sheets:
        sheet = _Sheet(plan, cells, at, numbers)
        items += sheet.ground()
        blank = blank or bool(sheet.blanks)
        items += draw_steps(plan, cells, at)
        labels, rings = sheet.labels(numbered=numbered)
        items += labels
        ringed = ringed or rings
    return DrawnMap(items, fitted.extent, ringed, numbered and bool(plan.joints), blank)


class _Sheet:
    """One sheet on the map."""

    def __init__(self, plan: Plan, cells: tuple[Cell, ...], at: Affine, numbers: Numbers) -> None:
        self.cells = cells
        here = set(cells)
        self.joints = [
            (pair, numbers.joints[pair]) for pair in plan.joints if here.issuperset(pair)
        ]
        self.boxes = {cell: plan.grid.core(cell).moved(at) for cell in cells}
        block = plan.grid.block_of(cells[0])
        rows = [cell.row for cell in cells]
        columns = [cell.column for cell in cells]
        inside = {
            Cell(row, column)
            for row in range(min(rows), max(rows) + 1)
            for column in range(min(columns), max(columns) + 1)
        }
        self.blanks = [
            plan.grid.core(cell).moved(at).grown(-0.3) for cell in sorted_cells(inside - here)
        ]
        own = plan.grid.bounds_of_block(block)
        laid = [p for p in plan.placements if own.grown(1.0).holds(_point(p))]
        self.pieces = [
            Shown(
                numbers.pieces[placement.piece.name],
                placement.piece.name,
                small_outlines(placement, at),
            )
            for placement in laid
        ]
        self.grains = [grain for placement in laid for grain in grain_of(placement, at)]

    def ground(self) -> Iterator[Item]:
        """Pages, blank places, pieces with their grain, and the lines of the pages over them."""
        if self.blanks:
            yield Stroke(tuple(rectangle(box) for box in self.blanks), BLANK_LINE)
        yield Fill(tuple(rectangle(box) for box in self.boxes.values()), PAPER_TINT)
        for shown in self.pieces:
            yield Fill(tuple(rims_of(shown.area)), 1.0)
        yield Stroke(tuple(rectangle(box) for box in self.boxes.values()), PAGE_LINE)
        yield Stroke(tuple(path for shown in self.pieces for path in shown.outlines), PIECE_LINE)
        for grain in self.grains:
            yield from arrow_of(*grain)

    def labels(self, *, numbered: bool) -> tuple[list[Item], bool]:
        """Names of pages and pieces, numbers of joints; whether a piece has its number only."""
        lines = [path for shown in self.pieces for path in shown.outlines]
        lines += [path for grain in self.grains for path in arrow_paths(*grain)]
        room = MapRoom(lines, [rectangle(box) for box in self.boxes.values()])
        items: list[Item] = []
        for cell in self.cells:
            items += draw_page_name(cell.name, self.boxes[cell], room)
        ringed = False
        for shown in self.pieces:
            drawn, ring = draw_piece_name(shown, room)
            items += drawn
            ringed = ringed or ring
        for (under, over), number in self.joints if numbered else []:
            items += draw_joint_number(number, self.boxes[under], self.boxes[over], room)
        return items, ringed


def sorted_cells(cells: set[Cell]) -> list[Cell]:
    """In reading order."""
    return sorted(cells, key=lambda cell: (cell.row, cell.column))


def _point(placement: Placement) -> Bounds:
    box = placement.piece.bounds.moved(placement.at).centre
    return Bounds(*box, *box)
