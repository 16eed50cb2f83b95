"""The naive layout against layouts worked out by hand."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.demos import DEMOS, pattern_of_demo
from tests.strategies import rectangular
from tiler.layout.bound import area_bound
from tiler.layout.naive import naive_pages
from tiler.layout.papers import find_paper
from tiler.layout.tiles import PageSetup
from tiler.layout.units import units_of

#: Pitch 180 x 267 mm; the windows of n pages together are 3.2 mm longer than n times the pitch.
A4 = PageSetup(find_paper("a4"))
LYING = PageSetup(find_paper("a4"), landscape=True)


def test_a_small_piece_is_one_page() -> None:
    assert naive_pages([[rectangular("Tab", 60, 60)]], A4) == 1


def test_a_square_of_a_page_by_a_page_is_two() -> None:
    """250 mm is more than one page across and less than one down, standing or lying."""
    assert naive_pages([[rectangular("Front", 250, 250)]], A4) == 2


def test_pages_within_a_frame_are_not_counted() -> None:
    """880 x 1320 mm standing: 5 across and 5 down, of which the middle 3 x 3 see no line."""
    # Lying: 4 across (4 x 267 = 1068) and 8 down, of which 2 x 6 see no line: 20.
    assert naive_pages([[rectangular("Front", 880, 1320)]], A4) == 25 - 9


def test_two_in_a_row_share_a_page() -> None:
    """100 + 4 + 70 mm fit beside each other within one page of 180 mm."""
    units = [[rectangular("Cuff", 100, 200)], [rectangular("Flap", 70, 200)]]
    assert naive_pages(units, A4) == 1


def test_a_row_ends_at_the_length_of_a_table() -> None:
    """Of pieces of 1000 mm only one lies in a row: 1000 + 4 + 1000 is more than 1800."""
    # Standing: 6 across, and 150 + 4 + 150 mm are 2 down. Lying: 4 across and 2 down.
    units = [[rectangular("Front", 1000, 150)], [rectangular("Back", 1000, 150)]]
    assert naive_pages(units, A4) == 8


def test_a_piece_longer_than_the_table_has_a_row_of_its_own() -> None:
    """2500 mm: 14 pages across standing, 10 lying (9.4); it is not turned to save any."""
    assert naive_pages([[rectangular("Sash", 2500, 100)]], A4) == 10


def test_pieces_are_not_turned() -> None:
    """100 x 2500 mm: 10 down standing; lying 14 down."""
    assert naive_pages([[rectangular("Sash", 100, 2500)]], A4) == 10


@given(st.integers(20, 1700), st.integers(20, 1700))
def test_a_lone_rectangle_takes_the_rim_of_its_grid(width: int, height: int) -> None:
    """Rows times columns less those that lie within: better of standing and lying."""

    def pages(across: float, down: float) -> int:
        # A grid of n pages is n pitches and 3.2 mm; the rim of 1 mm is kept on both sides.
        columns = max(1, math.ceil((width + 2 - 3.2) / across - 1e-9))
        rows = max(1, math.ceil((height + 2 - 3.2) / down - 1e-9))
        return rows * columns - max(0, rows - 2) * max(0, columns - 2)

    assert naive_pages([[rectangular("Front", width, height)]], A4) == min(
        pages(180, 267), pages(267, 180)
    )


@pytest.mark.parametrize("demo", DEMOS)
def test_it_is_the_same_for_standing_and_lying_paper(demo: str) -> None:
    units = units_of(pattern_of_demo(demo))
    assert naive_pages(units, A4) == naive_pages(units, LYING)


@pytest.mark.parametrize("demo", DEMOS)
def test_the_demos_take_more_than_their_area(demo: str) -> None:
    units = units_of(pattern_of_demo(demo))
    assert naive_pages(units, A4) > area_bound(units, A4)
