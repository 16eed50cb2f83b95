"""The bound by area against areas in closed form."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import rectangular
from tiler.layout.bound import area_bound, body_area
from tiler.layout.papers import find_paper
from tiler.layout.tiles import PageSetup
from tiler.pattern.affine import Affine, Point
from tiler.pattern.model import Edge, Outline, Piece, Role
from tiler.pattern.path import Path, circle

#: A4 less two margins of 10 mm and the overlap of 10 mm: 180 x 267 mm from page to page.
A4 = PageSetup(find_paper("a4"))
PITCH = 180.0 * 267.0
HOME = Point(0, 0)


def round_piece(radius: float, style: str = "", at: Point = HOME) -> Outline:
    ring = circle(at, radius).reversed()
    return Outline(Role.CUT, (Edge("A", Path(ring.segments)),), style)


def test_a_piece_as_big_as_the_pitch_is_one_page() -> None:
    assert area_bound([[rectangular("Front", 180, 267)]], A4) == 1


def test_a_little_more_than_a_page_is_two() -> None:
    assert area_bound([[rectangular("Front", 180, 267.1)]], A4) == 2


def test_the_smallest_piece_takes_a_page() -> None:
    assert area_bound([[rectangular("Tab", 20, 20)]], A4) == 1


def test_areas_of_all_units_are_added_before_rounding() -> None:
    """Ten thirds of a page are four pages, not ten."""
    unit = [rectangular("Cuff", 180, 89)]
    assert area_bound([unit] * 10, A4) == 4


@given(st.integers(1, 4000), st.integers(1, 4000), st.integers(1, 9))
def test_rectangles_count_by_width_times_height(width: int, height: int, many: int) -> None:
    units = [[rectangular("Front", width, height)]] * many
    pages = width * height * many / PITCH
    if abs(pages - round(pages)) > 1e-5:
        assert area_bound(units, A4) == max(1, math.ceil(pages))


def test_lying_paper_has_the_same_bound() -> None:
    lying = PageSetup(find_paper("a4"), landscape=True)
    units = [[rectangular("Front", 700, 500)]]
    assert area_bound(units, lying) == area_bound(units, A4) == math.ceil(700 * 500 / PITCH)


def test_a_circle_has_the_area_of_its_cubics() -> None:
    """Its four cubics leave it by at most 0.0273 % of the radius, chords by 0.05 mm more."""
    piece = Piece("Yoke", (round_piece(200),))
    assert body_area([piece]) == pytest.approx(math.pi * 200**2, rel=1e-3)


def test_nested_styles_count_once() -> None:
    """The largest of three circles round one centre covers the others."""
    piece = Piece("Yoke", tuple(round_piece(r, f"size {r}") for r in (150, 180, 200)))
    assert body_area([piece]) == pytest.approx(math.pi * 200**2, rel=1e-3)


def test_what_lies_over_one_another_in_a_unit_counts_once() -> None:
    """Two circles whose centres are a radius apart: the lens is r^2 (2 pi / 3 - sqrt 3 / 2)."""
    r = 200.0
    unit = [
        Piece("Front", (round_piece(r),)),
        Piece("Back", (round_piece(r, at=Point(r, 0)),)),
    ]
    lens = r * r * (2 * math.pi / 3 - math.sqrt(3) / 2)
    assert body_area(unit) == pytest.approx(2 * math.pi * r * r - lens, rel=1e-3)


def test_turning_does_not_change_the_area() -> None:
    piece = rectangular("Front", 300, 400)
    (outline,) = piece.outlines
    turned = Outline(
        outline.role,
        tuple(Edge(e.letter, e.path.moved(Affine.turn(31))) for e in outline.edges),
    )
    assert body_area([Piece("Front", (turned,))]) == pytest.approx(120_000)
