"""The order of taping: every joint once, rows as they are printed, one sheet at the end."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from scipy.sparse import coo_array
from scipy.sparse.csgraph import connected_components

from tests.printed import words_on
from tests.sheets.map_plans import ragged_plans, sheets_plan
from tiler.layout.plan import Plan
from tiler.layout.tiles import Cell
from tiler.pattern.affine import Affine
from tiler.sheets.drawing import Page
from tiler.sheets.mappage import begin_words
from tiler.sheets.mapsteps import Step, draw_steps, steps_of

Pair = tuple[Cell, Cell]


def taped_by(step: Step, plan: Plan) -> list[Pair]:
    """The joints that a reader closes at a step: of a row, or of a row and the one above it."""
    above = step.row - step.hung
    return [
        (one, other)
        for one, other in plan.joints
        if (one.row, other.row) == (above, step.row) and (one.row == other.row) != step.hung
    ]


@settings(deadline=None)
@given(ragged_plans())
def test_every_joint_is_taped_once_and_the_sheet_is_whole_at_the_end(plan: Plan) -> None:
    """Counted with the connected components of scipy."""
    (cells,) = plan.sheets
    steps = steps_of(plan, cells)
    assert [step.number for step in steps] == list(range(1, len(steps) + 1))
    taped = [pair for step in steps for pair in taped_by(step, plan)]
    assert len(taped) == len(set(taped))
    assert set(taped) == set(plan.joints)
    assert all(taped_by(step, plan) for step in steps)
    place = {cell: number for number, cell in enumerate(cells)}
    ends = np.array([[place[one], place[other]] for one, other in taped])
    graph = coo_array((np.ones(len(ends)), ends.T), shape=(len(cells), len(cells)))
    assert connected_components(graph, directed=False)[0] == 1


@settings(deadline=None)
@given(ragged_plans())
def test_no_step_waits_for_a_row_that_is_printed_later_than_the_next_one_needs(plan: Plan) -> None:
    """Rows come one after the other, and a row is hung on to the one above at once."""
    (cells,) = plan.sheets
    needed = [
        max(cell.row for pair in taped_by(step, plan) for cell in pair)
        for step in steps_of(plan, cells)
    ]
    assert needed == sorted(needed)


@settings(deadline=None)
@given(ragged_plans())
def test_the_numbers_stand_at_the_left_of_the_sheet_from_the_top(plan: Plan) -> None:
    """A row's number beside the row, that of two rows between them, none over the sheet."""
    (cells,) = plan.sheets
    at = Affine.scale(0.1, 0.1).then(Affine.move(40, 20))
    page = Page("map", 400, 500, tuple(draw_steps(plan, cells, at)))
    found = {int(words.text): words.ink.bounds for words in words_on(page)}
    left = min(plan.grid.core(cell).moved(at).left for cell in cells)
    assert sorted(found) == [step.number for step in steps_of(plan, cells)]
    for step in steps_of(plan, cells):
        _, bottom, right, top = found[step.number]
        assert right < left
        row = next(plan.grid.core(cell).moved(at) for cell in cells if cell.row == step.row)
        middle = (bottom + top) / 2
        assert abs(middle - (row.top if step.hung else row.centre.y)) < 0.2


def test_the_words_say_what_to_begin_with() -> None:
    """The first two rows of the first sheet, or its only row, or its first two pages."""
    assert "begin with A1 to A3, then B1 to B3," in begin_words(sheets_plan([(2, 3), (1, 1)])[1])
    assert begin_words(sheets_plan([(1, 4)])[1]) == "So begin with A1 to A4."
    assert begin_words(sheets_plan([(3, 1)])[1]) == "So begin with A1 and B1."
