"""Half of a ring, and the whole of it, where its points lie nearly on the line."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from tiler.drafting.unfold.mirror import Axis
from tiler.layout.cloth.halves import halved, opened
from tiler.layout.cloth.ring import area_of, points_of
from tiler.pattern.affine import Point

UPRIGHT = Axis(Point(0.0, 0.0), Point(0.0, 100.0))
nearly = st.floats(-0.049, 0.049)


@settings(max_examples=60, deadline=None)
@given(st.lists(nearly, min_size=4, max_size=4), st.floats(0.001, 0.04))
def test_a_half_of_a_ring_with_points_about_its_middle_does_not_cross_itself(
    off: list[float], apart: float
) -> None:
    """The area is that of the half rectangle with its dent, by hand: 50 x 100 less 50 x 10 / 2."""
    a, b, c, d = off
    ring = tuple(
        Point(*at)
        for at in (
            (-50.0, 0.0),
            (a, 0.0),
            (b, apart),
            (50.0, 0.0),
            (50.0, 100.0),
            (c, 90.0),
            (d, 90.0 + apart),
            (-50.0, 100.0),
        )
    )
    if not shapely.Polygon([(p.x, p.y) for p in ring]).is_valid:
        return
    half = points_of(halved(ring, UPRIGHT))
    assert shapely.Polygon(half).is_valid
    assert abs(area_of(half)) == pytest.approx(50 * 100 - 50 * 10 / 2, rel=0.01)


def test_a_tip_on_the_middle_that_is_narrower_than_what_counts_as_on_it_leaves_no_spike() -> None:
    """Its sides are moved on to the line, and would run down it and up again."""
    ring = tuple(
        Point(*at)
        for at in (
            (-50.0, 0.0),
            (-0.03, 0.0),
            (0.0, -0.4),
            (0.03, 0.0),
            (50.0, 0.0),
            (50.0, 100.0),
            (-50.0, 100.0),
        )
    )
    half = points_of(halved(ring, UPRIGHT))
    assert shapely.Polygon(half).is_valid
    assert abs(area_of(half)) == pytest.approx(50 * 100, rel=1e-3)


def test_a_half_whose_fold_wanders_opens_to_a_ring_that_does_not_cross_itself() -> None:
    half = tuple(
        Point(*at)
        for at in (
            (0.02, 0.0),
            (60.0, 0.0),
            (60.0, 80.0),
            (-0.03, 80.0),
            (0.04, 79.99),
            (0.0, 40.0),
        )
    )
    whole = points_of(opened(half, UPRIGHT, "piece"))
    assert shapely.Polygon(whole).is_valid
    assert abs(area_of(whole)) == pytest.approx(2 * 60 * 80, rel=0.01)
