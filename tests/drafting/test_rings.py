"""Outlines that cannot be cut are refused, with place and edges.

Outside value: where two straight edges cross, by the closed form for two lines. The crossing of
(0,0)-(100,100) with (100,0)-(0,50) is at x = 100/3.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tiler.drafting.rings import polygon_of, refuse_unsound
from tiler.intake.edges import edges_of
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Outline, Role
from tiler.pattern.path import Path, circle, polyline, rectangle
from tiler.pattern.segment import Cubic


def outline(path: Path) -> Outline:
    return Outline(Role.CUT, edges_of(path))


def ring(*places: tuple[float, float]) -> Outline:
    return outline(polyline([Point(*place) for place in places], closed=True))


def refused(made: Outline) -> str:
    with pytest.raises(PatternError) as told:
        refuse_unsound(made, "front.svg, piece Front")
    return str(told.value)


@given(
    st.lists(st.tuples(st.floats(0, 359), st.floats(20, 400)), min_size=3, max_size=20,
             unique_by=lambda place: round(place[0])),
)  # fmt: skip
def test_a_star_shaped_outline_is_sound(places: list[tuple[float, float]]) -> None:
    """Nodes in the order of their bearing from a point never cross: that is what star-shaped is."""
    ordered = sorted(places)
    bearings = [bearing for bearing, _ in ordered]
    widest = max((b - a) % 360 for a, b in zip(bearings, bearings[1:] + bearings[:1], strict=True))
    if widest >= 175:
        ordered += [
            ((bearings[0] + turn) % 360, 100.0) for turn in (61.5, 121.5, 181.5, 241.5, 301.5)
        ]
        ordered = sorted(dict(ordered).items())
    nodes = [Affine.turn(bearing)(Point(reach, 0)) for bearing, reach in ordered]
    made = outline(polyline(nodes, closed=True))
    refuse_unsound(made, "front.svg")
    assert polygon_of(made.path).is_valid


def test_edges_that_cross_are_named_with_the_place() -> None:
    told = refused(ring((0, 0), (100, 100), (100, 0), (0, 50)))
    assert told.startswith("front.svg, piece Front, edges A and C: ")
    assert "edges A and C cross or touch at (33.3, 33.3) mm" in told


def test_an_edge_that_crosses_itself_is_named() -> None:
    loop = Cubic(Point(0, 100), Point(220, 210), Point(-120, 210), Point(100, 100))
    made = outline(
        Path(
            (
                loop,
                *polyline([Point(100, 100), Point(100, 0), Point(0, 0), Point(0, 100)]).segments,
            ),
            True,
        )
    )
    told = refused(made)
    assert told.startswith("front.svg, piece Front, edge ")
    assert "the outline crosses or touches itself at (50.0, " in told


def test_an_outline_that_touches_itself_is_refused() -> None:
    assert "at (50.0, 0.0) mm" in refused(ring((0, 0), (0, 80), (50, 0), (100, 80), (100, 0)))


@pytest.mark.parametrize(
    "places",
    [
        [(0, 0), (50, 50), (100, 100), (30, 30)],
        [(0, 0), (100, 40), (0, 0.0005)],
    ],
)
def test_a_line_there_and_back_has_no_area(places: list[tuple[float, float]]) -> None:
    assert "the outline has no area" in refused(ring(*places))


@pytest.mark.parametrize(
    ("box", "size"),
    [
        (Bounds(0, 0, 0.9, 0.9), "0.9 mm by 0.9 mm"),
        (Bounds(0, 0, 300, 0.5), "300 mm by 0.5 mm"),
        (Bounds(0, 0, 20_001, 300), "20001 mm by 300 mm"),
    ],
)
def test_sizes_that_no_piece_has_are_refused(box: Bounds, size: str) -> None:
    assert f"measures {size}" in refused(outline(rectangle(box))).replace("only ", "")


@pytest.mark.parametrize("size", [1.0, 20_000.0])
def test_the_smallest_and_the_largest_are_sound(size: float) -> None:
    made = outline(rectangle(Bounds(0, 0, size, size)))
    refuse_unsound(made, "front.svg")
    assert made.area == size * size


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_an_edge_whose_coordinates_are_no_numbers_is_named(bad: float) -> None:
    edges = (
        Edge("A", polyline([Point(0, 0), Point(0, 50)])),
        Edge("B", polyline([Point(0, 50), Point(50, bad), Point(0, 0)])),
    )
    told = refused(Outline(Role.CUT, edges, "short"))
    assert told.startswith("front.svg, piece Front, style short, edge B: a coordinate")


@given(st.floats(2, 500))
def test_a_polygon_of_a_circle_is_within_the_tolerance(radius: float) -> None:
    """Chords within d of an arc lose at most d times its length: 2 pi r d."""
    polygon = polygon_of(circle(Point(0, 0), radius))
    true = math.pi * radius**2
    assert true - 2 * math.pi * radius * 0.02 <= polygon.area <= true * 1.0006
