"""Hollow curves tighter than the allowance, short edges and slits: no loops, or a plain refusal."""

import math

import pytest
import shapely

from tests.drafting.allowance.making import all_of, arc, corners, line, near, ring, ring_of
from tiler.drafting.allowance import cut_outline, stitch_outline
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Outline, Role
from tiler.pattern.path import Path


def hollow(radius: float, apart: bool = False) -> Outline:
    """An L of 100 whose inner corner is rounded by a radius."""
    up = line((50, 100), (50, 50 + radius))
    bend = arc(Point(50 + radius, 50 + radius), radius, 180, 270, 4)
    on = line((50 + radius, 50), (100, 50))
    inner = [up, bend, on] if apart else [Path((*up.segments, *bend.segments, *on.segments))]
    return ring_of(
        [
            line((0, 0), (0, 100)),
            line((0, 100), (50, 100)),
            *inner,
            line((100, 50), (100, 0)),
            line((100, 0), (0, 0)),
        ]
    )


@pytest.mark.parametrize("radius", [1.0, 5.0, 10.0, 14.0, 14.99, 15.0])
def test_a_bend_tighter_than_the_allowance_becomes_a_corner(radius: float) -> None:
    """The offsets of its straight neighbours cross at (65, 65) whatever the radius."""
    made = cut_outline(hollow(radius), all_of(hollow(radius), 15))
    turn = min(made.edges[2].path.nodes(), key=lambda node: node.to(Point(65, 65)))
    assert turn.to(Point(65, 65)) < 0.01
    assert made.area == pytest.approx(130 * 130 - 50 * 50, abs=0.5)
    assert made.edges[2].path.length == pytest.approx(100, abs=0.05)


@pytest.mark.parametrize("radius", [15.5, 20.0, 30.0])
def test_a_wider_bend_stays_round(radius: float) -> None:
    """Its radius is less by the allowance: length = straight parts + (radius - 15) pi / 2."""
    made = cut_outline(hollow(radius), all_of(hollow(radius), 15))
    straight = 2 * (50 + 15 - radius)
    assert made.edges[2].path.length == pytest.approx(
        straight + (radius - 15) * math.pi / 2, abs=0.02
    )


def test_a_short_edge_that_is_swallowed_keeps_a_sliver() -> None:
    """Its neighbours meet; it keeps 0.1 mm of the cut line, so that no letter is lost."""
    made = cut_outline(hollow(10, apart=True), all_of(hollow(10, apart=True), 15))
    assert made.edges[3].path.length == pytest.approx(0.1, abs=1e-6)
    assert made.edges[4].path.start.to(Point(65, 65)) < 1e-6
    assert made.area == pytest.approx(130 * 130 - 50 * 50, abs=1e-3)


def test_an_edge_that_its_neighbours_trim_away_keeps_a_sliver() -> None:
    """Raw edges lean in at 50 degrees: run on, they meet over the middle of the 20 mm between."""
    rise = 40 * math.tan(math.radians(50))
    asked = ring((0, 0), (40, rise), (60, rise), (100, 0))
    made = cut_outline(asked, {"A": 0, "B": 15, "C": 0, "D": 0})
    top = 50 * math.tan(math.radians(50))
    assert made.edges[0].path.end.to(Point(50, top)) < 0.11
    assert made.area == pytest.approx(100 * top / 2, abs=0.1)
    assert made.edges[1].path.length == pytest.approx(0.1, abs=1e-6)


def test_a_notch_narrower_than_the_allowances_is_bridged() -> None:
    """5 mm deep, 10 wide: the cut line goes straight over it."""
    asked = ring((0, 0), (0, 100), (45, 100), (45, 95), (55, 95), (55, 100), (100, 100), (100, 0))
    made = cut_outline(asked, all_of(asked, 10))
    assert made.area == pytest.approx(120 * 120, abs=1e-6)
    assert all(edge.path.length > 0.09 for edge in made.edges)


def test_a_slit_is_refused_with_edge_and_place() -> None:
    asked = ring((0, 0), (0, 99), (99, 99), (99, 60), (20, 60), (20, 50), (99, 50), (99, 0))
    with pytest.raises(PatternError, match=r"edge D, near \(59\.5, 60\.0\) mm: the allowances"):
        cut_outline(asked, all_of(asked, 15))


def test_arms_that_close_round_a_hole_are_refused() -> None:
    asked = ring(
        (0, 0), (0, 100), (100, 100), (100, 50), (80, 50), (80, 80), (20, 80), (20, 20), (80, 20),
        (80, 30), (100, 30), (100, 0),
    )  # fmt: skip
    with pytest.raises(PatternError, match=r"edge E, .*: the allowances overlap near \("):
        cut_outline(asked, all_of(asked, 15))


def test_a_piece_smaller_than_its_allowances_has_no_stitch_line() -> None:
    """The inner circle of the 30-40-50 triangle has a radius of 10."""
    asked = ring((0, 0), (0, 30), (40, 0), role=Role.CUT)
    with pytest.raises(PatternError, match="nothing is left inside the allowances"):
        stitch_outline(asked, all_of(asked, 10))


def test_a_piece_with_a_narrow_neck_falls_apart() -> None:
    asked = ring(
        (0, 0), (0, 50), (60, 50), (60, 30), (80, 30), (80, 50), (140, 50), (140, 0), (80, 0),
        (80, 20), (60, 20), (60, 0), role=Role.CUT,
    )  # fmt: skip
    with pytest.raises(PatternError, match="the allowances overlap near"):
        stitch_outline(asked, all_of(asked, 8))


def test_a_short_chamfer_vanishes_on_the_stitch_line() -> None:
    """A corner cut off by 5 x 5 within 15 mm of allowance leaves the plain corner of the lines."""
    asked = ring((0, 0), (0, 95), (5, 100), (100, 100), (100, 0), role=Role.CUT)
    made = stitch_outline(asked, all_of(asked, 15))
    assert made.area == pytest.approx(70 * 70, abs=1e-6)
    assert near([made.edges[0].path.start], [(15, 15)], 1e-9)


@pytest.mark.parametrize("width", [0.0, 15.0])
def test_a_curve_that_ends_tighter_than_its_allowance_has_no_horn(width: float) -> None:
    """The radius falls from 200 to 20 towards the corner, where the offset of 40 turns back."""
    curve = arc(Point(0, 0), 200, 120, 100, 2).segments
    end = curve[-1].end
    tight = arc(Point(end.x * 220 / 200, end.y * 220 / 200), 20, 280, 330, 2).segments
    assert end.to(tight[0].start) < 1e-9
    last = tight[-1].end
    start = curve[0].start
    asked = ring_of(
        [
            line((start.x, -100), (start.x, start.y)),
            Path((*curve, *tight)),
            line((last.x, last.y), (last.x + 60, last.y)),
            line((last.x + 60, last.y), (last.x + 60, -100)),
            line((last.x + 60, -100), (start.x, -100)),
        ]
    )
    made = cut_outline(asked, {"A": 10, "B": 40, "C": width, "D": 10, "E": 10})
    line_of = shapely.LinearRing(made.path.flattened(0.002))
    assert line_of.is_simple
    opened = shapely.Polygon(line_of).buffer(-0.1).buffer(0.1, join_style="mitre")
    horns = shapely.Polygon(line_of).difference(opened.buffer(0.01))
    assert horns.area < 0.05
    assert len(corners(made)) == 5
