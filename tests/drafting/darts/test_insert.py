"""A dart put into an outline gives back the width that it takes in.

Outside values: a rectangle, where everything is solved by hand (the side is a cubic step, whose
integral is half of the blend distance), lengths by scipy's quadrature, areas by shapely.
"""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from tests.drafting.darts.shapes import anywhere, length_by_quadrature
from tiler.drafting.darts.blend import moved_start
from tiler.drafting.darts.cap import Pressed
from tiler.drafting.darts.insert import DartOrder, Inserted, insert_dart
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Lies, Outline, Role
from tiler.pattern.path import Path, polyline
from tiler.pattern.segment import Cubic, direction, turn_between
from tiler.pattern.wishes import Place


def block(by: Affine = Affine()) -> Outline:  # noqa: B008
    """200 wide, 300 high: fold, waist, side, hem."""
    corners = [by(Point(*p)) for p in ((0, 0), (0, 300), (200, 300), (200, 0))]
    named = zip("ABCD", ("fold", "waist", "side", "hem"), (Lies.FOLD, *[Lies.SEWN] * 3),
                corners, [*corners[1:], corners[0]], strict=True)  # fmt: skip
    edges = (Edge(letter, polyline([a, b]), lies, name) for letter, name, lies, a, b in named)
    return Outline(Role.STITCH, tuple(edges), "fitted")


#: The worked dart in the middle of the waist; its tip points down.
ORDER = DartOrder(
    Place("B", length=100), "C", length=100, intake=30, blend=150, pressed=Pressed.LEFT
)


def side_of(made: Inserted, letter: str = "C") -> Path:
    return next(edge.path for edge in made.outline.edges if edge.letter == letter)


def test_the_worked_dart_in_a_rectangle() -> None:
    made = insert_dart(block(), ORDER)
    assert (made.dart.left, made.dart.tip, made.dart.right) == ((100, 300), (115, 200), (130, 300))
    waist = made.outline.edges[1].path
    assert (waist.start, waist.end) == ((0, 300), (230, 300))
    peak = max(waist.nodes(), key=lambda node: node.y)
    assert peak == pytest.approx((115, 304.6036), abs=1e-4)
    assert (made.sewn, made.flat) == pytest.approx((200, 230))
    assert made.break_sewn == pytest.approx(17.0615, abs=1e-4)
    assert [(e.letter, e.name, e.lies) for e in made.outline.edges] == [
        (e.letter, e.name, e.lies) for e in block().edges
    ]


def test_the_area_that_comes_in() -> None:
    """Side: 30 x 150 / 2; cap: a triangle 30 wide and 15 tan(17.0615) = 4.6036 high."""
    made = insert_dart(block(), ORDER)
    assert made.outline.area == pytest.approx(60_000 + 2250 + 15 * 4.60358, abs=0.01)


def test_the_side_is_a_smooth_step() -> None:
    """x = 200 + 30 (1 - 3 t^2 + 2 t^3), t the share of the blend distance below the waist."""
    side = side_of(insert_dart(block(), ORDER))
    curve = side.segments[0]
    for t in (0.0, 0.25, 0.5, 0.8, 1.0):
        place = (200 + 30 * (1 - 3 * t * t + 2 * t**3), 300 - 150 * t)
        assert curve.at(t) == pytest.approx(place)
    assert list(side.nodes())[1:] == [(200, 150), (200, 0)]
    assert direction(curve, 0) == pytest.approx((0, -1))
    assert turn_between(*side.segments) == pytest.approx(0, abs=1e-9)


def test_the_length_of_the_side_is_told_before_and_after() -> None:
    made = insert_dart(block(), ORDER)
    bent = quad(lambda y: math.hypot(1, 30 * 6 * (y / 150) * (y / 150 - 1) / 150), 0, 150)[0]
    assert made.gave_before == 300
    assert made.gave_after == pytest.approx(150 + bent, abs=1e-6)


def test_marks_lines_and_notches() -> None:
    made = insert_dart(block(), replace(ORDER, drill_short=6))
    (line,), (drill,) = made.lines, made.marks
    assert list(line.path.nodes()) == [(100, 300), (115, 200), (130, 300)]
    assert (line.role, line.style) == (Role.DART, "fitted")
    assert drill.at == pytest.approx((115, 206))
    assert (drill.role, drill.style) == (Role.DRILL, "fitted")
    left, right = made.notches
    assert (left.letter, left.at, left.distance) == ("B", (100, 300), pytest.approx(100))
    assert right.at == (130, 300)
    assert right.distance == pytest.approx(100 + 2 * 15.6905, abs=1e-3)
    assert left.inward == pytest.approx((0, -1))


def test_the_place_may_be_said_as_a_share() -> None:
    by_share = replace(ORDER, at=Place("B", fraction=0.5))
    assert insert_dart(block(), by_share) == insert_dart(block(), ORDER)


@given(anywhere())
def test_the_dart_goes_with_the_piece(by: Affine) -> None:
    there, here = insert_dart(block(by), ORDER), insert_dart(block(), ORDER)
    assert there.dart.tip.to(by(here.dart.tip)) < 1e-6
    nodes = zip(there.outline.path.nodes(), here.outline.path.nodes(), strict=True)
    assert max(a.to(by(b)) for a, b in nodes) < 1e-6


def test_the_edge_before_can_give_as_well() -> None:
    """The same piece drawn as its mirror image: side on the left, fold on the right."""
    flip = Affine.scale(-1, 1)
    turned = [edge.path.moved(flip).reversed() for edge in block().edges]
    edges = zip("ABCD", (turned[2], turned[1], turned[0], turned[3]), strict=True)
    mirrored = Outline(
        Role.STITCH,
        tuple(
            Edge(letter, path, Lies.FOLD if letter == "C" else Lies.SEWN) for letter, path in edges
        ),
    )
    order = replace(ORDER, gives="A", pressed=Pressed.RIGHT)
    made = insert_dart(mirrored, order)
    as_drawn = insert_dart(block(), ORDER)
    assert made.dart.tip.to(flip(as_drawn.dart.tip)) < 1e-9
    assert made.outline.area == pytest.approx(as_drawn.outline.area)
    assert made.outline.edges[0].path.end == (-230, 300)
    assert made.break_sewn == pytest.approx(as_drawn.break_sewn)
    expected = shapely.Polygon([flip(p) for p in as_drawn.outline.path.flattened(0.01)])
    drawn = shapely.Polygon(made.outline.path.flattened(0.01))
    assert drawn.symmetric_difference(expected).area < 0.5


def test_a_slanted_dart_has_equal_legs_and_points_where_it_is_told() -> None:
    order = replace(ORDER, direction=(0.2, -1))
    dart = insert_dart(block(), order).dart
    assert dart.legs[0] == pytest.approx(dart.legs[1])
    assert dart.intake == pytest.approx(30)
    x, y = dart.middle.direction
    assert (-x, -y) == pytest.approx((0.2 / math.hypot(0.2, 1), -1 / math.hypot(0.2, 1)))


@given(
    st.floats(0.15, 0.7),
    st.floats(5, 40),
    st.floats(60, 120),
    st.floats(30, 290),
    st.floats(-30, 30),
    st.sampled_from(Pressed),
)
def test_on_curved_edges_the_sewn_length_stays_and_no_corner_comes_in(
    share: float, intake: float, length: float, blend: float, bend: float, pressed: Pressed
) -> None:
    waist = Cubic(Point(0, 300), Point(60, 300), Point(140, 310), Point(200, 315))
    side = Cubic(Point(200, 315), Point(210, 200), Point(200 + bend, 120), Point(190, 0))
    parts = (*side.split(0.3)[0:1], *side.split(0.3)[1].split(0.5))
    outline = block()
    edges = (
        outline.edges[0],
        replace(outline.edges[1], path=Path((waist,))),
        replace(outline.edges[2], path=Path(parts)),
        replace(outline.edges[3], path=polyline([Point(190, 0), Point(0, 0)])),
    )
    made = insert_dart(
        replace(outline, edges=edges),
        DartOrder(Place("B", fraction=share), "C", length, intake, blend, pressed),
    )
    before = length_by_quadrature(Path((waist,)))
    assert made.sewn == pytest.approx(before, abs=1e-6)
    assert made.flat == pytest.approx(before + intake, abs=1e-6)
    assert made.dart.legs[0] == pytest.approx(made.dart.legs[1])
    side_after = side_of(made)
    assert side_after.start.to(side.start) == pytest.approx(intake)
    assert side_after.end == side.end
    assert direction(side_after.segments[0], 0) == pytest.approx(direction(side, 0), abs=1e-9)
    segments = side_after.segments
    for one, other in pairwise(segments):
        assert one.end == other.start
        assert abs(turn_between(one, other)) < 1e-5
    assert shapely.Polygon(made.outline.path.flattened(0.05)).is_valid


@given(st.floats(20, 280), st.floats(-40, 40), st.floats(-40, 40))
def test_a_blend_ends_on_the_old_line_at_its_distance(over: float, x: float, y: float) -> None:
    curve = Cubic(Point(0, 0), Point(20, -90), Point(40, -200), Point(0, -300))
    old = Path(curve.split(0.4))
    new = moved_start(old, (x, y), over)
    assert new.start == (x, y)
    assert new.end == old.end
    place, _ = old.point_at(over)
    node = min(new.nodes(), key=place.to)
    assert place.to(node) < 1e-6


class TestRefused:
    """Orders that cannot be carried out, with the place and what to do."""

    @pytest.mark.parametrize(
        ("change", "words"),
        [
            ({"at": Place("X", length=1)}, 'there is no edge "X".*A, B, C, D'),
            ({"gives": "X"}, 'there is no edge "X"'),
            ({"gives": "D"}, "edge D cannot give width to a dart in edge B"),
            ({"gives": "B"}, "edge B cannot give width"),
            ({"gives": "A"}, "edge A lies on the fold"),
            ({"at": Place("A", length=100), "gives": "B"}, "edge A lies on the fold"),
            ({"at": Place("B")}, "place of the dart on edge B is not said"),
            ({"at": Place("B", 100, 0.5)}, "place of the dart on edge B is not said"),
            ({"at": Place("B", length=0)}, "0 mm from its start is not within edge B"),
            ({"at": Place("B", length=200)}, "200 mm from its start is not within edge B"),
            ({"at": Place("B", fraction=1.5)}, "300 mm from its start is not within edge B"),
            ({"at": Place("B", length=math.nan)}, "is not within edge B"),
            ({"intake": 0.0}, "the dart's intake is 0"),
            ({"length": -5.0}, "the dart's length is -5"),
            ({"blend": math.nan}, "the dart's blend distance is nan"),
            ({"blend": 301.0}, "a blend over 301 mm is longer than edge C, which is 300 mm"),
            ({"length": 310.0}, "lies outside of the piece"),
            ({"direction": (0.0, 0.0)}, "has no length"),
            ({"direction": (math.nan, 0.0)}, "has no length"),
            ({"direction": (0.0, 1.0)}, "points out of the piece"),
            ({"direction": (5.0, -1.0)}, "does not cross the folded dart"),
            ({"drill_short": 100.0}, "is not within the dart"),
        ],
    )
    def test_an_order_is_refused(self, change: dict[str, object], words: str) -> None:
        with pytest.raises(PatternError, match=words) as caught:
            insert_dart(block(), replace(ORDER, **change), "back.svg, piece Back")  # type: ignore[arg-type]
        assert str(caught.value).startswith("back.svg, piece Back")

    def test_a_hem_that_comes_up_between_the_legs(self) -> None:
        spike = [Point(*p) for p in ((200, 0), (120, 0), (115, 298), (110, 0), (0, 0))]
        edges = (*block().edges[:3], replace(block().edges[3], path=polyline(spike)))
        with pytest.raises(PatternError, match="outside of the piece"):
            insert_dart(replace(block(), edges=edges), ORDER)

    def test_a_side_that_would_run_through_another_edge(self) -> None:
        """The hem stands up beside the side, 20 away; the side moves out by 30."""
        places = ((200, 0), (200, -10), (220, -10), (220, 310), (300, 310), (300, -50), (0, -50))
        hem = polyline([*(Point(*place) for place in places), Point(0, 0)])
        edges = (*block().edges[:3], replace(block().edges[3], path=hem))
        with pytest.raises(PatternError, match="edges C and D cross or touch"):
            insert_dart(replace(block(), edges=edges), ORDER)
