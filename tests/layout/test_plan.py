"""What a plan knows of its pages: which are taped to each other, and which make a sheet."""

from __future__ import annotations

from tiler.layout.arrange import arrange
from tiler.layout.papers import find_paper
from tiler.layout.plan import Plan
from tiler.layout.tiles import Cell, PageSetup

A4 = PageSetup(find_paper("a4"))


def test_joints_are_between_printed_neighbours_of_one_sheet() -> None:
    """By hand: an L of three pages has two joints, the sheet below it none with it."""
    grid = arrange(A4, [(2, 2), (1, 2)])
    cells = (Cell(0, 0), Cell(1, 0), Cell(1, 1), Cell(2, 0), Cell(2, 1))
    plan = Plan(grid, (), cells)
    named = [(under.name, over.name) for under, over in plan.joints]
    assert named == [("A1", "B1"), ("B1", "B2"), ("C1", "C2")]
    assert [[cell.name for cell in sheet] for sheet in plan.sheets] == [
        ["A1", "B1", "B2"],
        ["C1", "C2"],
    ]


def test_pages_that_stand_alone_have_no_joint() -> None:
    """Side by side in the grid, and yet nothing to tape."""
    grid = arrange(A4, [(1, 1), (1, 1)])
    plan = Plan(grid, (), (Cell(0, 0), Cell(0, 1)))
    assert plan.joints == ()
    assert len(plan.sheets) == 2
