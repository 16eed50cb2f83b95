"""Pages of a piece hang together edge to edge, with as few blank pages as that takes."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.sparse import coo_matrix
from scipy.sparse.csgraph import connected_components

from tiler.layout.bridges import groups_of, linked
from tiler.layout.tiles import Cell

cells = st.frozensets(
    st.builds(Cell, st.integers(0, 6), st.integers(0, 6)), min_size=1, max_size=14
)


def components(found: frozenset[Cell]) -> set[frozenset[Cell]]:
    """Groups of neighbours, as scipy finds them in the graph of cells."""
    number = {cell: k for k, cell in enumerate(sorted(found, key=lambda c: (c.row, c.column)))}
    edges = [
        (number[cell], number[other])
        for cell in found
        for other in (Cell(cell.row + 1, cell.column), Cell(cell.row, cell.column + 1))
        if other in found
    ]
    start, end = np.array(edges or [(0, 0)]).T
    matrix = coo_matrix((np.ones(len(start)), (start, end)), shape=(len(found), len(found)))
    _, labels = connected_components(matrix, directed=False)
    groups: dict[int, set[Cell]] = {}
    for cell, k in number.items():
        groups.setdefault(int(labels[k]), set()).add(cell)
    return {frozenset(group) for group in groups.values()}


@settings(deadline=None)
@given(cells)
def test_groups_are_the_connected_components(found: frozenset[Cell]) -> None:
    """As scipy finds them."""
    assert set(groups_of(found)) == components(found)


@settings(deadline=None)
@given(cells, cells)
def test_what_is_linked_hangs_together_and_loses_nothing(
    found: frozenset[Cell], free: frozenset[Cell]
) -> None:
    """Every cell stays, and one can go from each to each over edges."""
    result = linked(found, free)
    assert found <= result
    assert len(components(result)) == 1


@settings(deadline=None)
@given(st.builds(Cell, st.integers(0, 6), st.integers(0, 6)), st.data())
def test_two_cells_are_linked_by_a_shortest_way(first: Cell, data: st.DataObject) -> None:
    """Between two pages stand as many blank ones as the rows and columns between them."""
    second = data.draw(st.builds(Cell, st.integers(0, 6), st.integers(0, 6)))
    steps = abs(first.row - second.row) + abs(first.column - second.column)
    assert len(linked({first, second})) == steps + 1


def test_pages_that_are_printed_anyway_are_gone_over_first() -> None:
    """By hand: round by three printed pages instead of straight over one blank one."""
    round_by = {Cell(1, 0), Cell(1, 1), Cell(1, 2)}
    assert linked({Cell(0, 0), Cell(0, 2)}, round_by) == {Cell(0, 0), Cell(0, 2)} | round_by
    assert linked({Cell(0, 0), Cell(0, 2)}) == {Cell(0, 0), Cell(0, 1), Cell(0, 2)}
