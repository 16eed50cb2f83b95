"""Items on a strip: apart, inside, in turns that they may take, on no more than shelves take."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.demos import DEMOS, pattern_of_demo
from tests.layout.strip.checking import check_lain, lying
from tests.strategies import patterns
from tiler.layout.packing.options import Packing
from tiler.layout.strip.items import Item, items_of
from tiler.layout.strip.lay import ends, lay
from tiler.layout.strip.paper import Strip
from tiler.layout.strip.shelves import shelved
from tiler.layout.units import units_of
from tiler.pattern.errors import Terminated
from tiler.pattern.model import Pattern

QUICK = Packing("quick")


def boxes(*sizes: tuple[float, float], turns: tuple[float, ...] = (0.0, 90.0)) -> list[Item]:
    return [Item(shapely.box(0, 0, width, height), turns) for width, height in sizes]


def items_in(pattern: Pattern, packing: Packing = QUICK) -> tuple[Item, ...]:
    return items_of(units_of(pattern), packing)


@pytest.mark.parametrize("demo", DEMOS)
def test_the_demos_lie_apart_on_a_roll_and_take_less_than_rows(demo: str) -> None:
    """36 in rolls are 914.4 mm wide; 10 mm on each side are the plotter's."""
    items, strip = items_in(pattern_of_demo(demo)), Strip(894.0, head=120.0)
    lain = lay(items, strip, QUICK)
    check_lain(items, lain, strip, QUICK.gap)
    rows = max(ends(items, shelved(items, strip, QUICK.gap)))
    assert lain.longest < rows
    area = sum(item.area for item in items)
    assert lain.longest >= strip.head + area / strip.width


@settings(max_examples=4, deadline=None)
@given(patterns(most=5, largest=250), st.sampled_from([0.0, 4.0, 11.0]), st.booleans())
def test_whatever_is_laid_lies_apart_and_never_longer_than_rows(
    pattern: Pattern, gap: float, turn: bool
) -> None:
    """Any pieces, any gap, free or unturned."""
    packing = Packing("quick", gap=gap, turn=turn)
    items, strip = items_in(pattern, packing), Strip(640.0, head=40.0)
    lain = lay(items, strip, packing)
    check_lain(items, lain, strip, gap)
    assert lain.longest <= max(ends(items, shelved(items, strip, gap))) + 1e-6
    if not turn:
        assert all(spot.at[:4] == (1, 0, 0, 1) for spot in lain.spots)


@settings(max_examples=2, deadline=None)
@given(patterns(most=4))
def test_the_same_items_are_always_laid_the_same_way(pattern: Pattern) -> None:
    items, strip = items_in(pattern), Strip(700.0)
    assert lay(items, strip, QUICK) == lay(items, strip, QUICK)


def test_pieces_of_a_square_go_back_into_it() -> None:
    """Four boxes and a gap of nothing fill 200 x 200 mm, with the rim of 1 mm round them."""
    items = boxes((120, 80), (80, 120), (80, 120), (120, 80), turns=(0.0, 90.0))
    lain = lay(items, Strip(202.0), Packing("quick", gap=0.0))
    check_lain(items, lain, Strip(202.0), 0.0)
    # The hole of 40 x 40 mm in the middle stays; no way is shorter than the area asks for.
    assert lain.longest <= 242
    assert lain.longest >= 2 + 4 * 120 * 80 / 200


def test_an_item_that_just_fits_the_width_is_laid() -> None:
    """Nothing is lost to pixels at the sides."""
    items = boxes((498.0, 100.0), (498.0, 60.0), turns=(0.0,))
    lain = lay(items, Strip(500.0), QUICK)
    check_lain(items, lain, Strip(500.0), QUICK.gap)
    assert lain.longest == pytest.approx(2 + 160 + QUICK.gap, abs=0.2)


def test_items_that_may_only_turn_by_half_do_so_only() -> None:
    """As on cloth with a nap both ways; two wedges lie head to foot."""
    wedge = shapely.Polygon([(0, 0), (90, 0), (0, 300)])
    items = [Item(wedge, (0.0, 180.0)) for _ in range(4)]
    strip = Strip(230.0)
    lain = lay(items, strip, QUICK)
    check_lain(items, lain, strip, QUICK.gap)
    assert {round(spot.at.a) for spot in lain.spots} == {1, -1}
    assert lain.longest < 2 * 300


def test_sheets_of_one_size_hold_whole_items_and_are_as_few_as_the_area_allows() -> None:
    """Six halves of a sheet: three sheets, by area."""
    items = boxes(*[(196.0, 146.0)] * 6)
    strip = Strip(200.0, limit=300.0)
    lain = lay(items, strip, QUICK)
    check_lain(items, lain, strip, QUICK.gap)
    assert lain.lengths == 3


def test_a_head_on_the_first_sheet_is_kept_free_even_if_nothing_else_goes_there() -> None:
    """The second sheet takes what is too long for the rest of the first."""
    items = boxes((190.0, 280.0), turns=(0.0,))
    strip = Strip(200.0, limit=300.0, head=100.0)
    lain = lay(items, strip, QUICK)
    check_lain(items, lain, strip, QUICK.gap)
    assert (lain.lengths, lain.spots[0].length) == (2, 1)


def test_even_lengths_share_the_work() -> None:
    """Eight equal strips on two lengths: four on each, each as short as four make it."""
    items = boxes(*[(190.0, 50.0)] * 8, turns=(0.0,))
    strip = Strip(200.0, limit=500.0, count=2, even=True)
    lain = lay(items, strip, QUICK)
    check_lain(items, lain, strip, QUICK.gap)
    assert lain.lengths == 2
    assert lain.longest == pytest.approx(2 + 4 * 50 + 3 * QUICK.gap, abs=0.2)


def test_what_does_not_go_on_the_lengths_that_there_are_is_refused() -> None:
    items = boxes(*[(190.0, 250.0)] * 3, turns=(0.0,))
    with pytest.raises(ValueError, match="lengths that there are"):
        lay(items, Strip(200.0, limit=300.0, count=2, even=True), QUICK)
    with pytest.raises(ValueError, match="no length"):
        lay(items, Strip(100.0), QUICK)


def test_an_interrupt_ends_the_search_and_keeps_the_best() -> None:
    """Ctrl-C after the first arrangement; whoever is terminated wants nothing more."""
    items, strip = items_in(pattern_of_demo("smock")), Strip(880.0)

    def interrupt(_lengths: int, _length: float, _share: float) -> None:
        raise KeyboardInterrupt

    lain = lay(items, strip, Packing("long"), interrupt)
    assert lain.stopped
    check_lain(items, lain, strip, 4.0)

    def terminate(_lengths: int, _length: float, _share: float) -> None:
        raise Terminated

    with pytest.raises(Terminated):
        lay(items, strip, Packing("long"), terminate)


def test_progress_tells_the_best_so_far() -> None:
    told: list[tuple[int, float, float]] = []
    items = items_in(pattern_of_demo("apron"))
    lay(items, Strip(880.0), QUICK, lambda *facts: told.append(facts))
    shares = [share for _, _, share in told]
    assert shares == sorted(shares)
    assert all(0 <= share <= 1 for share in shares)
    assert {lengths for lengths, _, _ in told} == {1}
    # Pixels are 6 mm, and what they leave is pushed together later.
    assert told[-1][1] >= lay(items, Strip(880.0), QUICK).longest - 12


def test_a_narrow_turn_is_among_those_of_an_item() -> None:
    """A slanting bar of 1000 x 100 mm goes on a strip of 102.1 mm: the closed form of its width."""
    slanted = shapely.affinity.rotate(shapely.box(0, 0, 1000, 100), 33.21)
    pattern_item = Item(slanted, (0.0, *(angle for angle in _square_turns(33.21))))
    assert pattern_item.least_width == pytest.approx(100, abs=1e-6)
    lain = lay([pattern_item], Strip(102.1), QUICK)
    assert lying([pattern_item], lain)[0].bounds[3] == pytest.approx(-1, abs=0.2)
    assert math.isclose(lain.longest, 1002, abs_tol=0.3)


def _square_turns(degrees: float) -> list[float]:
    return [(quarter * 90 - degrees) % 360 for quarter in range(4)]
