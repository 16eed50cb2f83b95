"""Leg notches stand where the legs, carried on, meet the outline.

Outside values: similar triangles.
"""

import pytest
from hypothesis import given

from tests.drafting.darts.shapes import WORKED, anywhere, moved
from tiler.drafting.darts.dart import Dart
from tiler.drafting.darts.notches import leg_notches
from tiler.intake.edges import edges_of
from tiler.intake.ring import ring_from
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Outline, Role
from tiler.pattern.path import Path, circle, polyline, rectangle

#: The cut line: 15 outside of the worked dart's seam at y = 100.
CUT = Outline(Role.CUT, edges_of(ring_from(rectangle(Bounds(-200, -300, 200, 115)), "back.svg")))


def test_on_a_cut_line_the_notches_are_further_apart_than_the_legs() -> None:
    """The dart is 30 wide at 100 from its tip, so it is 34.5 wide at 115."""
    left, right = leg_notches(CUT, WORKED)
    assert left.at == pytest.approx((-17.25, 115))
    assert right.at == pytest.approx((17.25, 115))
    assert (left.letter, right.letter) == ("B", "B")
    assert (left.distance, right.distance) == pytest.approx((182.75, 217.25))
    assert left.inward == pytest.approx((0, -1))


def test_a_notch_is_drawn_into_the_piece() -> None:
    mark = leg_notches(CUT, WORKED)[0].mark(6)
    assert mark.role is Role.NOTCH
    assert list(mark.path.nodes()) == [pytest.approx((-17.25, 115)), pytest.approx((-17.25, 109))]


@given(anywhere())
def test_the_places_go_with_the_piece(by: Affine) -> None:
    edges = tuple(Edge(e.letter, e.path.moved(by)) for e in CUT.edges)
    left, right = leg_notches(Outline(Role.CUT, edges), moved(WORKED, by))
    assert left.at.to(by(Point(-17.25, 115))) < 1e-6
    assert right.distance == pytest.approx(217.25, abs=1e-6)


def test_on_a_curve() -> None:
    """A circle of radius 200 about the tip is met 200 from the tip (within 0.03 % by cubics)."""
    round_cut = Outline(Role.CUT, edges_of(ring_from(circle(WORKED.tip, 200), "hat.svg")))
    for notch, leg in zip(leg_notches(round_cut, WORKED), (-15, 15), strict=True):
        assert notch.at.to(WORKED.tip) == pytest.approx(200, rel=3e-4)
        assert notch.at.x / notch.at.y == pytest.approx(leg / 100)


def test_the_crossing_next_to_the_leg_counts() -> None:
    high = polyline(
        [Point(-200, 115), Point(-30, 115), Point(-30, 400), Point(200, 400), Point(200, -300),
         Point(-200, -300)], closed=True)  # fmt: skip
    slot = Path(high.segments, closed=True)
    outline = Outline(Role.CUT, edges_of(ring_from(slot, "back.svg")))
    left, _ = leg_notches(outline, WORKED)
    assert left.at == pytest.approx((-30, 200))


def test_a_dart_outside_is_refused() -> None:
    away = Dart(Point(-15, 900), Point(0, 800), Point(15, 900))
    with pytest.raises(PatternError, match="the left leg of the dart does not meet the outline"):
        leg_notches(CUT, away)
