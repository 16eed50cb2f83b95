"""A vernier read with the eyes of the sewist: from pictures of two pages that lie together.

Two neighbouring pages are rendered by poppler, cut along their joint as the way says, and laid
together with a known displacement. The pair of ticks in one line must say how far they are off.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from tests.demos import pattern_of_demo, plan_of
from tests.output.tickreading import DOTS, Grey, Reading, laid_together, read, rendered
from tests.printed import uses_on
from tiler.layout.tiles import Cell
from tiler.output.pdf import pdf_bytes
from tiler.pattern.affine import Point
from tiler.sheets.drawing import Page, Publication
from tiler.sheets.publication import lay_out
from tiler.sheets.ticks import Ticks, vernier
from tiler.sheets.ways import Way

DEMO, PAPER = "apron", "a4"
FINE_DPI = DOTS * 25.4
TENTHS = tuple(range(-5, 6))
each_joint = pytest.mark.parametrize(
    ("way", "upright"), [(way, upright) for way in Way for upright in (True, False)]
)


@cache
def published(way: Way) -> tuple[Publication, bytes]:
    """The pages and the file."""
    publication = lay_out(pattern_of_demo(DEMO), plan_of(DEMO, PAPER), way=way)
    return publication, pdf_bytes(publication)


@cache
def both_sides(
    way: Way, upright: bool, kind: Ticks, dpi: float = FINE_DPI, mono: bool = False
) -> tuple[Grey, Grey]:
    """The surroundings of ticks on the two pages of a joint, about the same point of the sheet."""
    publication, pdf = published(way)
    grid = plan_of(DEMO, PAPER).grid
    numbers = {page.name: number for number, page in enumerate(publication.pages, start=1)}
    pair, spots = next(
        (pair, spots)
        for pair in plan_of(DEMO, PAPER).joints
        if (pair[0].row == pair[1].row) == upright
        for spots in [[_spot(publication.pages[numbers[c.name] - 1], c, pair, kind) for c in pair]]
        if None not in spots
    )
    one, other = (grid.origin(cell) for cell in pair)
    shift = Point(one.x - other.x, one.y - other.y)
    assert Point(spots[0].x + shift.x, spots[0].y + shift.y).to(spots[1]) < 1e-9
    under, over = (
        rendered(
            pdf,
            numbers[cell.name],
            Point(spot.x, grid.setup.height - spot.y),
            dpi,
            upright=upright,
            mono=mono,
        )
        for cell, spot in zip(pair, spots, strict=True)
    )
    return under, over


def _spot(page: Page, cell: Cell, pair: tuple[Cell, Cell], kind: Ticks) -> Point | None:
    """Where a page prints the ticks of a joint, page coordinates; None without words."""
    grid = plan_of(DEMO, PAPER).grid
    core, origin = grid.core(pair[0]), grid.origin(cell)
    upright = pair[0].row == pair[1].row
    places = [Point(at.e, at.f) for at in uses_on(page, vernier(kind, cell == pair[1]))]
    line = core.right - origin.x if upright else core.bottom - origin.y
    here = [at for at in places if abs((at.x if upright else at.y) - line) < 0.01]
    assert len(here) <= 1
    return here[0] if here else None


def displaced(
    way: Way,
    upright: bool,
    slid: float,
    gap: float,
    dpi: float = FINE_DPI,
    mono: bool = False,
) -> tuple[Reading, Reading]:
    """What straight and slanted ticks say when the over page is off by so many millimetres."""
    straight, slanted = (shown(kind, way, upright, slid, gap, dpi, mono) for kind in Ticks)
    return straight, slanted


def shown(
    kind: Ticks,
    way: Way,
    upright: bool,
    slid: float,
    gap: float,
    dpi: float = FINE_DPI,
    mono: bool = False,
) -> Reading:
    """What one kind of ticks says."""
    both = both_sides(way, upright, kind, dpi, mono)
    return read(laid_together(*both, slid, gap, way=way.value, upright=upright))


@each_joint
def test_each_tenth_along_the_joint_is_read_from_the_straight_ticks(
    way: Way, upright: bool
) -> None:
    """The n-th ticks of both pages are in one line, on the side to which the page has slid."""
    for n in TENTHS:
        straight = shown(Ticks.STRAIGHT, way, upright, n / 10, 0.0)
        assert (straight.under, straight.over) == (n, n)
        assert straight.off < 0.02
        assert straight.spare > 0.06


@each_joint
def test_each_tenth_across_the_joint_is_read_from_the_slanted_ticks(
    way: Way, upright: bool
) -> None:
    """A gap is counted one way from 0 and an overlap the other way; straight ticks stay at 0."""
    for n in TENTHS:
        straight, slanted = displaced(way, upright, 0.0, n / 10)
        assert (straight.under, straight.over) == (0, 0)
        assert (slanted.under, slanted.over) == (n, n)
        assert slanted.off < 0.03
        assert slanted.spare > 0.04


@each_joint
def test_slanted_less_straight_is_the_gap_when_a_page_is_off_both_ways(
    way: Way, upright: bool
) -> None:
    """Sliding shifts both kinds of ticks alike, so their difference is the gap."""
    for slid in (-5, -3, -1, 2, 5):
        for gap in (-5, -2, 1, 3, 4):
            straight, slanted = displaced(way, upright, slid / 10, gap / 10)
            assert straight.tenths == slid
            assert slanted.tenths - straight.tenths == gap
            if abs(slid + gap) <= 5:
                assert (slanted.under, slanted.over) == (slid + gap, slid + gap)


@each_joint
def test_the_ticks_of_both_pages_run_on_straight(way: Way, upright: bool) -> None:
    """Straight ones stand square to the joint, slanted ones lean by 45 degrees, on both sides."""
    straight, slanted = displaced(way, upright, 0.0, 0.0)
    assert straight.lean == pytest.approx(0.0, abs=0.01)
    assert slanted.lean == pytest.approx(1.0, abs=0.01)


@each_joint
def test_a_whole_millimetre_sets_a_long_tick_beside_the_wrong_one(way: Way, upright: bool) -> None:
    """At 1 mm the over page's long tick meets the tick next to the other long one."""
    for sign in (-1, 1):
        straight = shown(Ticks.STRAIGHT, way, upright, sign * 1.0, 0.0)
        assert straight.tenths == sign * 10
        assert (straight.under, straight.over) == (sign, 0)


@given(slid=st.integers(-25, 25), gap=st.integers(-25, 25))
@example(slid=15, gap=0)
def test_what_lies_between_two_tenths_is_read_as_the_nearer(slid: int, gap: int) -> None:
    """Displacements in fiftieths of a millimetre: never wrong by more than half a tenth."""
    straight, slanted = displaced(Way.OVERLAP, True, slid / DOTS, gap / DOTS)
    assert straight.tenths == pytest.approx(slid / DOTS * 10, abs=0.7)
    assert slanted.tenths == pytest.approx((slid + gap) / DOTS * 10, abs=0.8)


@each_joint
@pytest.mark.parametrize(("dpi", "wrong"), [(600.0, 0), (300.0, 1)])
def test_a_printer_with_black_dots_only_shows_it_too(
    way: Way, upright: bool, dpi: float, wrong: int
) -> None:
    """At 600 dpi to the tenth, at 300 dpi (dots of 0.085 mm) to the tenth beside it."""
    for n in TENTHS:
        straight = shown(Ticks.STRAIGHT, way, upright, n / 10, 0.0, dpi, mono=True)
        assert abs(straight.tenths - n) <= wrong
        slanted = shown(Ticks.SLANTED, way, upright, 0.0, n / 10, dpi, mono=True)
        assert abs(slanted.tenths - n) <= wrong


def test_the_reading_is_wrong_for_a_page_printed_elsewhere() -> None:
    """A page whose ticks are 0.3 mm beside their place reads 3: the reading is no tautology."""
    under, over = both_sides(Way.OVERLAP, False, Ticks.STRAIGHT)
    beside = np.roll(over, round(0.3 * DOTS), axis=1)
    picture = laid_together(under, beside, 0.0, 0.0, way="overlap", upright=False)
    assert read(picture).under == 3
