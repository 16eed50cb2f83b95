"""How sheets share one grid: rows of their own, single pages side by side, windows apart."""

from __future__ import annotations

from itertools import combinations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from tiler.layout.arrange import ABREAST, arrange
from tiler.layout.papers import find_paper
from tiler.layout.tiles import Block, Cell, Grid, PageSetup

A4 = PageSetup(find_paper("a4"))
sizes = st.lists(st.tuples(st.integers(1, 4), st.integers(1, 5)), min_size=1, max_size=9)


def cells_of(block: Block) -> list[Cell]:
    return [
        Cell(block.row + row, block.column + column)
        for row in range(block.rows)
        for column in range(block.columns)
    ]


@settings(deadline=None)
@given(sizes, st.sampled_from([10.0, 25.0, 60.0]))
def test_windows_of_two_sheets_never_meet(sizes: list[tuple[int, int]], overlap: float) -> None:
    """A page shows its own sheet only, however wide the overlap."""
    grid = arrange(PageSetup(find_paper("a3"), overlap=overlap), sizes)
    sheets = [shapely.box(*grid.bounds_of_block(block)) for block in grid.blocks]
    for one, other in combinations(sheets, 2):
        assert one.distance(other) >= 19.9


@settings(deadline=None)
@given(sizes)
def test_every_cell_belongs_to_one_sheet_and_has_a_name_of_its_own(
    sizes: list[tuple[int, int]],
) -> None:
    """Blocks keep their sizes and their order, lie in the grid and share no cell."""
    grid = arrange(A4, sizes)
    assert [(block.rows, block.columns) for block in grid.blocks] == sizes
    names = [cell.name for block in grid.blocks for cell in cells_of(block)]
    assert len(names) == len(set(names)) == sum(rows * columns for rows, columns in sizes)
    for block in grid.blocks:
        assert 0 <= block.row <= grid.rows - block.rows
        assert 0 <= block.column <= grid.columns - block.columns
        assert all(grid.block_of(cell) == block for cell in cells_of(block))


@settings(deadline=None)
@given(sizes)
def test_a_row_letter_belongs_to_one_sheet_unless_its_pages_stand_alone(
    sizes: list[tuple[int, int]],
) -> None:
    """Whoever reads B3 knows the sheet by the B; no letter is left out."""
    grid = arrange(A4, sizes)
    rows: dict[int, list[Block]] = {}
    for block in grid.blocks:
        for row in range(block.row, block.row + block.rows):
            rows.setdefault(row, []).append(block)
    assert sorted(rows) == list(range(grid.rows))
    for blocks in rows.values():
        assert len(blocks) == 1 or all((b.rows, b.columns) == (1, 1) for b in blocks)


@settings(deadline=None)
@given(sizes)
def test_within_a_sheet_pages_meet_as_in_a_grid_of_its_own(sizes: list[tuple[int, int]]) -> None:
    """Windows and cores of a block are those of a plain grid of its size, shifted."""
    grid = arrange(A4, sizes)
    for block in grid.blocks:
        alone = Grid(A4, block.rows, block.columns)
        corner = grid.bounds_of_block(block)
        for cell in cells_of(block):
            own = Cell(cell.row - block.row, cell.column - block.column)
            for here, there in (
                (grid.window(cell), alone.window(own)),
                (grid.core(cell), alone.core(own)),
            ):
                moved = (corner.left, corner.bottom, corner.left, corner.bottom)
                expected = [a + b for a, b in zip(there, moved, strict=True)]
                assert list(here) == pytest.approx(expected, abs=1e-9)


def test_the_largest_sheet_has_the_first_letters_and_single_pages_the_last() -> None:
    """By hand: 2 x 3 in rows A and B, 2 x 2 in C and D, then the single pages E1 and E2."""
    grid = arrange(A4, [(1, 1), (2, 2), (1, 1), (2, 3)])
    corners = [Cell(block.row, block.column).name for block in grid.blocks]
    assert corners == ["E1", "C1", "E2", "A1"]


def test_many_single_pages_fill_rows() -> None:
    """Seven pages that stand alone: six in row A, one in row B."""
    grid = arrange(A4, [(1, 1)] * (ABREAST + 1))
    assert (grid.rows, grid.columns) == (2, ABREAST)
    assert [Cell(b.row, b.column).name for b in grid.blocks][-2:] == ["A6", "B1"]


def test_one_sheet_is_a_plain_grid() -> None:
    """Nothing is shifted where there is nothing to keep apart."""
    grid = arrange(A4, [(3, 2)])
    assert grid.bounds == pytest.approx(Grid(A4, 3, 2).bounds)
    assert grid.origin(Cell(1, 1)) == Grid(A4, 3, 2).origin(Cell(1, 1))


def test_a_cell_between_the_sheets_belongs_to_none() -> None:
    """A 1 x 2 sheet and a single page: B2 is no page of either."""
    grid = arrange(A4, [(1, 2), (1, 1)])
    with pytest.raises(KeyError):
        grid.block_of(Cell(1, 1))
