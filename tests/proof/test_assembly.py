"""Pages put together by crosses, against closed forms."""

from __future__ import annotations

import numpy as np
import pytest

from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.proof.assembly import assemble, assembly_faults
from tiler.proof.crosses import Tie, ties
from tiler.proof.matching import match
from tiler.proof.neighbours import find_neighbours
from tiler.proof.record import PageEntry, Record

COLUMNS, ROWS, ACROSS, UP = 5, 4, 180.0, 267.0


def record(columns: int = COLUMNS, rows: int = ROWS) -> Record:
    pages = tuple(
        PageEntry(f"{'ABCD'[r]}{c + 1}", r, c, Point(c * ACROSS, (rows - 1 - r) * UP))
        for r in range(rows)
        for c in range(columns)
    )
    window, pitch = Bounds(13, 13, 197, 284), Point(ACROSS, UP)
    return Record("", 210, 297, window, pitch, rows, columns, pages, (), ())


def printed(book: Record, errors: np.ndarray) -> list[Tie]:
    """All ties of a grid whose pages are printed off their places by the errors."""
    on_page: list[dict[tuple[int, int], Point]] = [{} for _ in book.pages]
    neighbours, misplaced = find_neighbours(book)
    assert misplaced == []
    joint = 0
    cells = {(page.row, page.column): k for k, page in enumerate(book.pages)}
    for (row, column), one in cells.items():
        for cell in ((row, column + 1), (row + 1, column)):
            if cell in cells:
                joint += 1
                for point in (1, 2):
                    at = np.array([joint * 7.0, point * 100.0])
                    for page in (one, cells[cell]):
                        x, y = at - np.array(book.pages[page].origin) - errors[page]
                        on_page[page][joint, point] = Point(x, y)
    found, faults = ties(book, neighbours, on_page)
    assert faults == []
    return found


def test_any_errors_of_pages_are_recovered() -> None:
    book = record()
    errors = np.random.default_rng(1).normal(0, 0.3, (len(book.pages), 2))
    errors[7] = 0
    found = assemble(book, printed(book, errors), -errors)
    assert found.errors == pytest.approx(errors, abs=1e-5)
    assert np.abs(found.residuals).max() < 1e-9


def test_one_page_off_its_place_is_told_from_nineteen() -> None:
    book = record()
    errors = np.zeros((len(book.pages), 2))
    errors[8] = (0.12, -0.16)
    crosses = printed(book, errors)
    found = assemble(book, crosses, np.full((len(book.pages), 2), np.nan))
    (fault,) = assembly_faults(book, crosses, found, 0.05)
    assert (fault.code, fault.where) == ("shift", book.pages[8].name)
    assert fault.deviation == pytest.approx(0.2, abs=1e-5)


def test_of_two_pages_the_one_whose_lines_are_off_is_named() -> None:
    book = record(2, 1)
    for wrong in (0, 1):
        errors = np.zeros((2, 2))
        errors[wrong] = (0.2, 0)
        crosses = printed(book, errors)
        found = assemble(book, crosses, -errors)
        (fault,) = assembly_faults(book, crosses, found, 0.05)
        assert fault.where == book.pages[wrong].name


def test_least_squares_against_numpy() -> None:
    book = record()
    dice = np.random.default_rng(5)
    crosses = [
        Tie(
            t.first,
            t.second,
            t.key,
            Point(*(np.array(t.on_first) + dice.normal(0, 0.1, 2))),
            t.on_second,
        )
        for t in printed(book, np.zeros((len(book.pages), 2)))
    ]
    found = assemble(book, crosses, np.zeros((len(book.pages), 2)))
    design = np.zeros((len(crosses), len(book.pages)))
    for k, tie in enumerate(crosses):
        design[k, tie.first], design[k, tie.second] = 1, -1
    best = np.linalg.lstsq(design, found.gaps, rcond=None)[0]
    shift = found.errors - best
    assert shift == pytest.approx(np.broadcast_to(shift[0], shift.shape), abs=1e-5)


def test_groups_that_do_not_touch_are_laid_on_their_own() -> None:
    book = record(3, 1)
    crosses = [tie for tie in printed(book, np.zeros((3, 2))) if tie.second != 2]
    off = np.array([[0.0, 0], [0, 0], [0.4, 0]])
    assert assemble(book, crosses, off).errors == pytest.approx(np.zeros((3, 2)), abs=1e-9)


def test_segments_are_matched_whichever_way_they_are_drawn() -> None:
    dice = np.random.default_rng(9)
    expected = dice.uniform(0, 500, (300, 4, 2))
    order = dice.permutation(300)
    drawn = expected[order] + dice.uniform(-0.02, 0.02, (300, 4, 2))
    drawn[::3] = drawn[::3, ::-1]
    found = match(drawn, expected)
    assert np.array_equal(order[found.of], np.arange(300))
    assert found.flipped.sum() == 100
    assert found.distance.max() <= 0.02 * 2**0.5
    assert found.chosen.all()


def test_segments_out_of_reach_stay_alone() -> None:
    expected = np.zeros((1, 4, 2)) + np.array([[0, 0], [10, 0], [20, 0], [30, 0]])
    assert match(expected + np.array([0, 2.9]), expected).distance[0] == pytest.approx(2.9)
    lost = match(expected + np.array([0, 3.1]), expected)
    assert lost.of[0] == -1
    assert np.isinf(lost.nearest[0])
