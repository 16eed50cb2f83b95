"""Small patterns on pages, and which pages their lines ask for, found without our own counting."""

from __future__ import annotations

from functools import cache

import numpy as np
import shapely
from scipy.ndimage import label
from shapely.geometry.base import BaseGeometry

from tests.strategies import pattern_of, rectangular
from tiler.layout.ink import paths_of
from tiler.layout.packing.options import Packing
from tiler.layout.papers import find_paper
from tiler.layout.plan import Plan
from tiler.layout.settle import RIM
from tiler.layout.spots import Spot, laid
from tiler.layout.tiles import Cell, PageSetup
from tiler.layout.units import units_of
from tiler.pattern.affine import Point
from tiler.pattern.model import Pattern, Piece

A4 = PageSetup(find_paper("a4"))
QUICK = Packing(effort="quick")
#: Lines are looked at through chords that stay this close to them, millimetres.
CLOSE = 0.02


@cache
def apart() -> Pattern:
    """Two pieces that fill some pages each, and a small one."""
    return pattern_of(
        rectangular("Front", 400, 500), rectangular("Back", 380, 480), rectangular("Tab", 60, 90)
    )


@cache
def laid_apart(setup: PageSetup = A4) -> Plan:
    """These on one sheet, square to the paper, each sharing pages with the others."""
    spots = [
        Spot(0, Cell(1, 1), Point(90.0, 110.0), 90.0),
        Spot(0, Cell(3, 1), Point(80.0, 188.0)),
        Spot(0, Cell(2, 0), Point(35.0, 111.0)),
    ]
    return laid(apart(), setup, units_of(apart()), spots)


def ink_of(plan: Plan, piece: Piece) -> BaseGeometry:
    """The lines of a piece on the sheet."""
    at = next(each.at for each in plan.placements if each.piece.name == piece.name)
    return shapely.union_all(
        [
            shapely.LineString([at(point) for point in path.flattened(CLOSE)])
            for path in paths_of(piece)
        ]
    )


def body_of(plan: Plan, piece: Piece) -> BaseGeometry:
    """The paper of a piece on the sheet."""
    at = next(each.at for each in plan.placements if each.piece.name == piece.name)
    rings = [
        shapely.Polygon([at(p) for p in outline.path.flattened(CLOSE)])
        for outline in piece.outlines
    ]
    return shapely.union_all([shapely.make_valid(ring) for ring in rings])


def check_pages(plan: Plan, pattern: Pattern) -> None:
    """Exactly the pages are printed that are needed, by shapely and scipy alone.

    All ink shows in the windows. A page that no ink enters beyond what its neighbours show is there
    only where pages of one unit would not hang together without it, or ink along a joint would
    show nowhere.
    """
    grid, printed = plan.grid, set(plan.cells)
    assert len(plan.cells) == len(printed) == len({cell.name for cell in plan.cells})
    inks = [ink_of(plan, each.piece) for each in plan.placements]
    windows = {cell: shapely.box(*grid.window(cell)) for cell in printed}
    for ink in inks:
        assert ink.difference(shapely.union_all(list(windows.values()))).length < 0.1
    # What a neighbour shows past the joint, less the rim that stays free of lines.
    past = grid.setup.bleed - RIM
    everywhere = {
        Cell(row, column)
        for row in range(grid.rows)
        for column in range(grid.columns)
        if any(block.holds(Cell(row, column)) for block in grid.blocks)
    }
    deep = [
        {cell for cell in everywhere if shapely.box(*core_of(plan, cell, past)).intersects(ink)}
        for ink in inks
    ]
    assert set().union(*deep) <= printed
    for cell in printed - set().union(*deep):
        others = [windows[other] for other in printed - {cell}]
        hidden = max(ink.difference(shapely.union_all(others)).length for ink in inks)
        parted = any(parts_of(printed - {cell}, own) > 1 for own in deep)
        assert hidden > 0 or parted, cell.name


def core_of(plan: Plan, cell: Cell, past: float) -> tuple[float, float, float, float]:
    """What only this page shows, a hair smaller: rounding may move lines by 0.05 mm."""
    x, y = plan.grid.origin(cell)
    window, bleed = plan.grid.setup.window, plan.grid.setup.bleed
    inside = bleed + past + 0.06
    return (
        x + window.left + inside,
        y + window.bottom + inside,
        x + window.right - inside,
        y + window.top - inside,
    )


def parts_of(cells: set[Cell], own: set[Cell]) -> int:
    """In how many parts some cells lie that do not hang together over others, edge to edge."""
    rows = 1 + max(cell.row for cell in cells | own)
    columns = 1 + max(cell.column for cell in cells | own)
    there = np.zeros((rows, columns), dtype=bool)
    for cell in cells:
        there[cell.row, cell.column] = True
    numbers, _ = label(there)
    return len({int(numbers[cell.row, cell.column]) for cell in own})
