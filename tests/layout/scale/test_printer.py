"""A printer's error is undone about the middle of the paper, in the directions of the paper."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tiler.layout.papers import find_paper
from tiler.layout.scale import Printer
from tiler.layout.tiles import PageSetup
from tiler.pattern.affine import Point
from tiler.pattern.errors import MeasureError

scales = st.floats(0.95, 1.05)
places = st.tuples(st.floats(0, 210), st.floats(0, 297)).map(lambda xy: Point(*xy))


def printer(across: float = 1.003, up: float = 0.996, margin: float | None = None) -> Printer:
    return Printer("home", across, up, 0.003, 0.002, "a4", margin)


def printed(point: Point, page: PageSetup, across: float, up: float) -> Point:
    """Where a printer with an error puts a point of the page: the paper's middle stays."""
    wide, high = (up, across) if page.landscape else (across, up)
    x, y = page.width / 2, page.height / 2
    return Point(x + (point.x - x) * wide, y + (point.y - y) * high)


@given(scales, scales, places, st.booleans())
def test_what_is_sent_through_the_printer_comes_out_where_it_was_wanted(
    across: float, up: float, wanted: Point, landscape: bool
) -> None:
    page = PageSetup(find_paper("a4"), landscape)
    sent = printer(across, up).compensation(page)(wanted)
    assert printed(sent, page, across, up).to(wanted) < 1e-9


def test_on_a_landscape_page_the_paper_is_fed_the_same_way() -> None:
    """Its long side lies across the page, so that is where `up` counts."""
    upright, lying = (
        printer().compensation(PageSetup(find_paper("a4"), landscape))
        for landscape in (False, True)
    )
    assert (upright.a, upright.d) == pytest.approx((1 / 1.003, 1 / 0.996))
    assert (lying.a, lying.d) == pytest.approx((1 / 0.996, 1 / 1.003))


@pytest.mark.parametrize(
    ("across", "up", "true", "possible"),
    [
        (1.002, 0.998, True, True),
        (1.003, 1.0, False, True),
        (0.985, 1.0, False, True),
        (1.0, 0.98, False, False),
    ],
)
def test_it_knows_whether_it_is_true_and_whether_it_can_be_made_up_for(
    across: float, up: float, true: bool, possible: bool
) -> None:
    assert printer(across, up).is_true is true
    assert printer(across, up).can_be_made_up_for is possible


@pytest.mark.parametrize("scale", [0.0, -1.0, math.nan, math.inf, 50.0])
def test_a_scale_that_no_printer_has_is_refused(scale: float) -> None:
    with pytest.raises(MeasureError, match="no printer's"):
        printer(across=scale)


@pytest.mark.parametrize("margin", [-1.0, 200.0])
def test_a_margin_that_no_printer_has_is_refused(margin: float) -> None:
    with pytest.raises(MeasureError, match="margin"):
        printer(margin=margin)
