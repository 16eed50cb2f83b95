"""A drawn outline becomes a closed clockwise ring."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tiler.intake.ring import closes, gap_of, ring_from
from tiler.pattern.affine import Point
from tiler.pattern.errors import DrawingError
from tiler.pattern.path import Path, circle, polyline
from tiler.pattern.segment import Cubic, Straight

SQUARE = [Point(0, 0), Point(100, 0), Point(100, 100), Point(0, 100)]


def with_gap(gap: float) -> Path:
    return polyline([*SQUARE, Point(0, gap)])


@given(st.booleans(), st.floats(0, 2000), st.floats(0, 2000))
def test_a_ring_is_clockwise_whichever_way_it_was_drawn(back: bool, x: float, y: float) -> None:
    """Clockwise on paper, y up, is a negative area (Green's theorem)."""
    drawn = circle(Point(x, y), 60)
    ring = ring_from(drawn.reversed() if back else drawn, "front.svg")
    assert ring.closed
    assert ring.area == pytest.approx(-abs(drawn.area))


@given(st.floats(0, 0.5))
def test_ends_that_nearly_meet_are_joined_half_way(gap: float) -> None:
    drawn = with_gap(gap)
    assert closes(drawn)
    assert gap_of(drawn) == gap
    ring = ring_from(drawn, "front.svg")
    assert len(ring.segments) == 4
    assert ring.end == ring.start
    assert min(node.to(Point(0, gap / 2)) for node in ring.nodes()) < 1e-12


@pytest.mark.parametrize("gap", [0.51, 2.0, 60.0])
def test_ends_further_apart_do_not_close(gap: float) -> None:
    assert not closes(with_gap(gap))


def test_a_short_open_line_is_no_ring() -> None:
    assert not closes(polyline([Point(0, 0), Point(0.4, 0)]))


@pytest.mark.parametrize("way_home", [0.0004, 0.03])
def test_the_short_way_home_of_a_drawing_program_makes_no_edge(way_home: float) -> None:
    drawn = polyline([*SQUARE, Point(0, way_home)], closed=True)
    assert len(ring_from(drawn, "front.svg").segments) == 4


def test_a_closed_path_that_stops_short_is_drawn_home() -> None:
    drawn = Path(polyline(SQUARE).segments, closed=True)
    ring = ring_from(drawn, "front.svg")
    assert len(ring.segments) == 4
    assert abs(ring.area) == 10_000


@given(st.lists(st.integers(0, 3), max_size=6))
def test_doubled_nodes_go(doubled: list[int]) -> None:
    nodes: list[Point] = []
    for index, node in enumerate(SQUARE):
        nodes += [node] * (1 + doubled.count(index))
    ring = ring_from(polyline(nodes, closed=True), "front.svg")
    assert len(ring.segments) == 4
    assert all(a != b for a, b in pairwise(ring.nodes()))


def test_a_loop_that_comes_back_to_its_node_is_no_speck() -> None:
    loop = Cubic(Point(0, 0), Point(80, 10), Point(10, 80), Point(0, 0))
    assert len(ring_from(Path((loop,), closed=True), "front.svg").segments) == 1


def test_segments_follow_one_another_where_a_speck_was_taken_out() -> None:
    drawn = polyline([*SQUARE[:2], Point(100.0005, 0.0005), *SQUARE[2:]], closed=True)
    ring = ring_from(drawn, "front.svg")
    assert len(ring.segments) == 4
    assert all(a.end == b.start for a, b in pairwise(ring.segments))


@pytest.mark.parametrize("bad", [math.nan, math.inf])
def test_coordinates_that_are_no_numbers_are_refused(bad: float) -> None:
    with pytest.raises(DrawingError, match="not a number"):
        ring_from(polyline([Point(0, 0), Point(bad, 1), Point(5, 5)], closed=True), "front.svg")


def test_an_outline_without_length_is_refused_with_its_place() -> None:
    dot = Path((Straight(Point(3, 3), Point(3, 3)),), closed=True)
    with pytest.raises(DrawingError, match=r"front\.svg, <path>: the outline has no length"):
        ring_from(dot, "front.svg, <path>")
