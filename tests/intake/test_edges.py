"""Corners split an outline into lettered edges."""

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tiler.intake.edges import edges_of, letter_of, reached
from tiler.intake.ring import ring_from
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Edge
from tiler.pattern.path import Path, circle, polyline, rectangle
from tiler.pattern.segment import Cubic, Segment

#: A half front: centre front, neck, shoulder, armhole, side seam and a bowed hem.
FRONT = Path(
    (
        *polyline([Point(8, 8), Point(8, 733)]).segments,
        Cubic(Point(8, 733), Point(60, 733), Point(85, 800), Point(109, 885)),
        *polyline([Point(109, 885), Point(263, 826)]).segments,
        Cubic(Point(263, 826), Point(225, 740), Point(240, 615), Point(322, 613)),
        *polyline([Point(322, 613), Point(340, 14)]).segments,
        Cubic(Point(340, 14), Point(205, 11), Point(130, 8), Point(8, 8)),
    ),
    closed=True,
)


def ring(path: Path) -> Path:
    return ring_from(path, "front.svg")


def started_at(path: Path, index: int) -> Path:
    return Path(path.segments[index:] + path.segments[:index], closed=True)


def places(edges: tuple[Edge, ...]) -> list[tuple[str, Point]]:
    return [(edge.letter, edge.path.start) for edge in edges]


@pytest.mark.parametrize(
    ("index", "letter"), [(0, "A"), (25, "Z"), (26, "AA"), (27, "AB"), (701, "ZZ"), (702, "AAA")]
)
def test_letters_go_on_after_z(index: int, letter: str) -> None:
    assert letter_of(index) == letter


def test_a_half_piece_runs_up_its_fold_first() -> None:
    edges = edges_of(ring(FRONT))
    assert [edge.letter for edge in edges] == ["A", "B", "C", "D", "E", "F"]
    assert edges[0].path.start == (8, 8)
    assert edges[0].path.end == (8, 733)
    assert edges[5].path.end == (8, 8)


@given(st.integers(0, 5), st.booleans(), st.floats(-500, 500), st.floats(-500, 500))
def test_letters_do_not_depend_on_how_the_outline_was_drawn(
    index: int, back: bool, x: float, y: float
) -> None:
    """Neither on the node it starts at, nor on its direction, nor on its place on the sheet."""
    path = started_at(FRONT, index).moved(Affine.move(x, y))
    edges = edges_of(ring(path.reversed() if back else path))
    wanted = places(edges_of(ring(FRONT)))
    home = Affine.move(-x, -y)
    assert [edge.letter for edge in edges] == [letter for letter, _ in wanted]
    for edge, (_, place) in zip(edges, wanted, strict=True):
        assert home(edge.path.start) == pytest.approx(place, abs=1e-6)


@given(
    st.lists(st.floats(0, 359), min_size=3, max_size=12, unique_by=lambda a: round(a)),
    st.lists(st.tuples(st.floats(0, 400), st.floats(0, 400)), max_size=5),
)
def test_the_edges_one_after_another_are_the_outline(
    angles: list[float], marks: list[tuple[float, float]]
) -> None:
    corners = [
        Affine.turn(angle).then(Affine.move(200, 200))(Point(180, 0)) for angle in sorted(angles)
    ]
    whole = ring(polyline(corners, closed=True))
    edges = edges_of(whole, [Point(*mark) for mark in marks])
    segments = [segment for edge in edges for segment in edge.path.segments]
    assert all(a.end == b.start for a, b in pairwise([*segments, segments[0]]))
    joined = Path(tuple(segments), closed=True)
    assert joined.area == pytest.approx(whole.area, abs=1e-6)
    assert joined.length == pytest.approx(whole.length, abs=1e-9)
    assert [edge.letter for edge in edges] == [letter_of(i) for i in range(len(edges))]


def test_a_square_starts_at_its_lower_left() -> None:
    edges = edges_of(ring(rectangle(Bounds(5, 5, 25, 45))))
    assert places(edges) == [("A", (5, 5)), ("B", (5, 45)), ("C", (25, 45)), ("D", (25, 5))]


def test_of_two_corners_that_are_as_near_the_lower_one_is_first() -> None:
    kite = polyline([Point(0, 50), Point(50, 0), Point(100, 50), Point(50, 100)], closed=True)
    assert edges_of(ring(kite))[0].path.start == (50, 0)


@given(st.floats(-1e-9, 1e-9))
def test_a_tie_is_not_decided_by_rounding(noise: float) -> None:
    kite = polyline(
        [Point(noise, 50), Point(50, noise), Point(100, 50), Point(50, 100)], closed=True
    )
    assert edges_of(ring(kite))[0].path.start == Point(50, noise)


@pytest.mark.parametrize(("turn", "edges"), [(29.0, 2), (31.0, 3)])
def test_a_turn_of_more_than_thirty_degrees_is_a_corner(turn: float, edges: int) -> None:
    """An arch over two sharp feet, whose top turns by the angle given."""
    slope = math.tan(math.radians(turn / 2)) * 100
    arch = polyline([Point(0, 0), Point(100, slope), Point(200, 0)], closed=True)
    feet = ring(arch)
    assert len(edges_of(feet)) == edges


def test_a_circle_is_one_edge_from_the_node_nearest_the_lower_left() -> None:
    whole = ring(circle(Point(0, 0), 50).moved(Affine.turn(45)))
    (edge,) = edges_of(whole)
    assert edge.letter == "A"
    assert edge.path.start == pytest.approx((-35.3553, -35.3553), abs=1e-4)
    assert edge.path.length == pytest.approx(whole.length)


def test_a_ring_with_one_corner_is_one_edge_from_that_corner() -> None:
    drop = Path((Cubic(Point(0, 0), Point(120, 10), Point(10, 120), Point(0, 0)),), closed=True)
    (edge,) = edges_of(ring(drop))
    assert edge.path.start == edge.path.end == (0, 0)


def test_a_corner_mark_makes_a_corner_of_a_node() -> None:
    (whole,) = edges_of(ring(circle(Point(0, 0), 50)))
    assert whole.letter == "A"
    halves = edges_of(ring(circle(Point(0, 0), 50)), [Point(0, 50.4), Point(-0.5, -50)])
    assert halves[0].path.start == pytest.approx((0, -50))
    assert halves[1].path.start == pytest.approx((0, 50))


@given(st.floats(2, 88))
def test_a_corner_mark_on_a_segment_splits_it_and_keeps_its_shape(angle: float) -> None:
    whole = ring(circle(Point(0, 0), 100))
    mark = Affine.turn(angle)(Point(100, 0))
    edges = edges_of(whole, [mark, Point(-100, 0)])
    assert len(edges) == 2
    split = min((edge.path.start for edge in edges), key=mark.to)
    assert split.to(mark) < 0.03
    joined = Path(tuple(s for edge in edges for s in edge.path.segments), closed=True)
    assert joined.area == pytest.approx(whole.area, abs=1e-6)
    assert joined.length == pytest.approx(whole.length, abs=1e-6)


@pytest.mark.parametrize(("distance", "near"), [(0.9, True), (1.1, False)])
def test_a_corner_mark_reaches_one_millimetre(distance: float, near: bool) -> None:
    square = ring(rectangle(Bounds(0, 0, 100, 100)))
    mark = Point(50, -distance)
    assert reached([square], [mark]) == [near]
    assert len(edges_of(square, [mark])) == (5 if near else 4)


def test_corners_are_found_where_a_handle_lies_on_its_node() -> None:
    """A curve drawn with its handle pulled in still turns where it turns."""
    segments: list[Segment] = [
        Cubic(a, a, b, b)
        for a, b in pairwise([Point(0, 0), Point(0, 80), Point(80, 80), Point(80, 0), Point(0, 0)])
    ]
    assert len(edges_of(ring(Path(tuple(segments), closed=True)))) == 4
