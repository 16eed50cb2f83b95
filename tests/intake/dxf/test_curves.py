"""Curves through points, against closed forms."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from tiler.intake.dxf import read_dxf
from tiler.intake.dxf.curves import path_through
from tiler.pattern.affine import Point
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic, Straight, turn_between


def _on_circle(radius: float, count: int, turn: float = math.tau) -> list[Point]:
    angles = [turn * i / count for i in range(count + (turn < math.tau))]
    return [Point(radius * math.cos(a), radius * math.sin(a)) for a in angles]


def _off_circle(path: Path, radius: float) -> float:
    return max(
        abs(math.hypot(*segment.at(i / 20)) - radius)
        for segment in path.segments
        for i in range(21)
    )


@pytest.mark.parametrize(("radius", "count"), [(5, 24), (100, 36), (1000, 120)])
def test_a_ring_of_curve_points_is_a_circle(radius, count):
    """Within 0.02 mm of x^2 + y^2 = r^2, and of its circumference and area."""
    path = path_through(_on_circle(radius, count), [False] * count, closed=True)
    assert path is not None
    assert path.closed
    assert _off_circle(path, radius) <= 0.02
    assert path.length == pytest.approx(math.tau * radius, rel=2e-3)
    assert path.area == pytest.approx(math.pi * radius**2, rel=4e-3)
    ring = (path.segments[-1], *path.segments)
    assert max(abs(turn_between(a, b)) for a, b in pairwise(ring)) < 0.01
    assert len(path.segments) < count


def test_an_open_arc_between_turn_points():
    points = _on_circle(80, 24, math.pi / 2)
    turns = [True, *[False] * 23, True]
    path = path_through(points, turns, closed=False)
    assert path is not None
    assert not path.closed
    assert (path.start, path.end) == (points[0], points[-1])
    assert _off_circle(path, 80) <= 0.02
    assert path.length == pytest.approx(math.pi / 2 * 80, abs=0.02)


def test_every_curve_point_is_passed_within_the_stated_distance():
    """A wave with a turning point: y = 20 sin(x / 30)."""
    points = [Point(x, 20 * math.sin(x / 30)) for x in range(0, 200, 2)]
    path = path_through(points, [True, *[False] * 98, True], closed=False)
    assert path is not None
    worst = max(
        abs(p.y - 20 * math.sin(p.x / 30))
        for segment in path.segments
        for p in (segment.at(i / 20) for i in range(21))
    )
    assert worst <= 0.02


def test_turn_points_are_corners_and_straight_between_them():
    points = [Point(0, 0), Point(0, 9), Point(9, 9)]
    path = path_through(points, [True] * 3, closed=True)
    assert path is not None
    assert path.segments == tuple(Straight(a, b) for a, b in pairwise([*points, points[0]]))


def test_curve_points_in_a_straight_row_are_a_straight_line():
    points = [Point(x, 2 * x) for x in (0, 1, 5, 6, 9)]
    path = path_through(points, [True, False, False, False, True], closed=False)
    assert path is not None
    assert path.segments == (Straight(points[0], points[-1]),)


def test_points_on_one_place_are_one():
    points = [Point(0, 0), Point(0, 0), Point(5, 0), Point(5, 0), Point(5, 5), Point(0, 0)]
    path = path_through(points, [True] * 6, closed=True)
    assert path is not None
    assert [s.start for s in path.segments] == [Point(0, 0), Point(5, 0), Point(5, 5)]
    assert path_through([Point(3, 3)] * 9, [False] * 9, closed=True) is None


@pytest.mark.parametrize("count", [2, 3, 4])
def test_few_curve_points_make_a_line_all_the_same(count):
    points = [Point(0, 0), Point(10, 4), Point(20, 0), Point(30, 9)][:count]
    for closed in (False, True):
        path = path_through(points, [False] * count, closed=closed)
        assert path is not None
        assert path.start == points[0]
        assert all(math.isfinite(x) for s in path.segments for p in s for x in p)


def test_a_way_that_turns_back_on_itself_stays_near_its_points():
    points = [Point(0, 0), Point(10, 0), Point(0, 0), Point(10, 0)]
    path = path_through(points, [True, False, False, True], closed=False)
    assert path is not None
    assert all(-5 < p.x < 15 and abs(p.y) < 5 for s in path.segments for p in s)


def _piece(content: bytes):
    return read_dxf(content, "a.dxf").pieces[0]


def test_arcs_of_polylines_are_arcs(dxf):
    """A slot: two half circles (bulge 1, tan of a quarter of 180 degrees) of radius 20 mm."""
    ring = ((0, 0), (100, 0, 1), (100, 40), (0, 40, 1))
    outline = _piece(dxf.piece(dxf.polyline(1, ring))).outlines[0]
    assert outline.area == pytest.approx(100 * 40 + math.pi * 20**2, rel=1e-4)
    assert outline.path.bounds == pytest.approx((-20, 0, 120, 40), abs=0.02)
    assert any(isinstance(s, Cubic) for s in outline.path.segments)


def test_a_negative_bulge_bows_the_other_way(dxf):
    ring = ((0, 0), (100, 0, -1), (100, 40), (0, 40))
    outline = _piece(dxf.piece(dxf.polyline(1, ring))).outlines[0]
    assert outline.area == pytest.approx(100 * 40 - math.pi * 20**2 / 2, rel=1e-4)


def test_a_circle_and_an_arc_keep_their_size(dxf, square):
    circle = dxf.tags((0, "CIRCLE"), (8, 11), (10, 50), (20, 50), (30, 0), (40, 30))
    arc = dxf.tags((0, "ARC"), (8, 8), (10, 50), (20, 50), (30, 0), (40, 300), (50, 10), (51, 40))
    lines = _piece(dxf.piece(square, circle, arc)).lines
    assert lines[0].path.length == pytest.approx(math.tau * 30, rel=1e-4)
    assert lines[1].path.length == pytest.approx(300 * math.radians(30), rel=1e-5)


def test_flagged_points_make_a_boundary_smooth(dxf):
    """A half disc: 19 points on the arc of radius 60 mm, two of them turn points."""
    arc = [(60 * math.cos(a), 60 * math.sin(a)) for a in (math.pi * i / 18 for i in range(19))]
    flags = [dxf.point(2 if i in (0, 18) else 3, p) for i, p in enumerate(arc)]
    piece = _piece(dxf.piece(dxf.polyline(1, arc), *flags))
    assert len(piece.outlines[0].edges) == 2
    assert piece.outlines[0].area == pytest.approx(math.pi * 60**2 / 2, rel=1e-4)
    straight = _piece(dxf.piece(dxf.polyline(1, arc)))
    # Without flags the lines run as drawn: a polygon inscribed in the arc, n/2 r^2 sin(pi/n).
    assert straight.outlines[0].area == pytest.approx(18 / 2 * 60**2 * math.sin(math.pi / 18))


def test_points_between_curve_points_lie_on_the_curve(dxf):
    """ASTM D6673 calls points that are neither turn nor curve points "interpolation points"."""
    arc = [(60 * math.cos(a), 60 * math.sin(a)) for a in (math.pi * i / 18 for i in range(19))]
    flags = [dxf.point(2, arc[0]), dxf.point(2, arc[-1]), dxf.point(3, arc[9])]
    piece = _piece(dxf.piece(dxf.polyline(1, arc), *flags))
    assert piece.outlines[0].area == pytest.approx(math.pi * 60**2 / 2, rel=1e-4)
    assert len(piece.outlines[0].edges) == 2


def test_lines_without_flags_are_told(dxf):
    arc = [(60 * math.cos(a), 60 * math.sin(a)) for a in (math.pi * i / 18 for i in range(19))]
    pattern = read_dxf(dxf.piece(dxf.polyline(1, arc)), "a.dxf")
    assert "curve-points-missing" in {finding.code for finding in pattern.findings}
