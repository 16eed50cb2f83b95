"""The grainline runs the way it is told, inside of the piece and clear of what is drawn.

Outside values: directions by hand on a rectangle, lengths from the trade's check list (100 mm or
most of the piece, common practice), positions judged by shapely.
"""

import math
from dataclasses import replace

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.drafting.darts.blocks import block, drill_at
from tests.strategies import outlines
from tiler.drafting.grain import with_grain
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Lies, Line, Outline, Piece, Role
from tiler.pattern.path import Path, polyline
from tiler.pattern.segment import Cubic, Straight
from tiler.pattern.wishes import GrainWish, Wishes


def laid(piece: Piece, along: str = "", turn: float = 0.0) -> Path:
    wish = GrainWish(along, turn, "pattern.toml line 5")
    grain = with_grain(replace(piece, wishes=Wishes(grain=wish))).grain
    assert grain is not None
    return grain


def degrees(path: Path) -> float:
    return math.degrees(math.atan2(path.end.y - path.start.y, path.end.x - path.start.x))


@pytest.mark.parametrize(
    ("along", "turn", "expected"),
    [
        ("", 0, 90),
        ("A", 0, 90),
        ("C", 0, 90),
        ("B", 0, 0),
        ("D", 0, 0),
        ("A", 90, 0),
        ("A", 45, 135),
        ("A", -45, 45),
        ("C", 45, 135),
        ("B", 30, 30),
    ],
)
def test_which_way_it_runs(along: str, turn: float, expected: float) -> None:
    """From the lower to the upper end; a level one from left to right."""
    grain = laid(block(), along, turn)
    assert degrees(grain) == pytest.approx(expected)
    assert len(grain.segments) == 1


def test_in_an_empty_rectangle_it_stands_in_the_middle() -> None:
    grain = laid(block())
    assert grain.start.x == pytest.approx(100, abs=2)
    assert (grain.start.y + grain.end.y) / 2 == pytest.approx(150, abs=1)
    assert grain.length >= 0.6 * 300


def test_it_keeps_clear_of_pockets_and_marks() -> None:
    pocket = [Point(70, 100), Point(70, 200), Point(130, 200), Point(130, 100)]
    lines = (Line(Role.POCKET, polyline(pocket, closed=True)),)
    grain = laid(block(lines=lines, marks=(drill_at(40, 150),)))
    drawn = shapely.LineString(grain.flattened())
    assert grain.length >= 100
    assert drawn.distance(shapely.Polygon(pocket)) >= 7.9
    assert drawn.distance(shapely.Point(40, 150)) >= 7.9


def test_where_all_is_full_it_crosses_lines_rather_than_be_short() -> None:
    lines = tuple(
        Line(Role.INSIDE, polyline([Point(0, y), Point(200, y)])) for y in range(20, 300, 20)
    )
    assert laid(block(lines=lines)).length >= 100


def test_a_narrow_strip_has_one_too() -> None:
    corners = [Point(0, 0), Point(0, 500), Point(12, 500), Point(12, 0)]
    ends = [*corners[1:], corners[0]]
    edges = tuple(
        Edge(letter, polyline([a, b])) for letter, a, b in zip("ABCD", corners, ends, strict=True)
    )
    grain = laid(Piece("Tie", (Outline(Role.CUT, edges),)), "A")
    assert grain.start.x == pytest.approx(6, abs=1)
    assert grain.length >= 300


@settings(deadline=None)
@given(outlines(60, 300), st.floats(-90, 90))
def test_in_any_piece_it_is_inside_and_parallel(outline: Outline, turn: float) -> None:
    straight = next(
        (e for e in outline.edges if all(isinstance(s, Straight) for s in e.path.segments)), None
    )
    assume(straight is not None)
    assert straight is not None
    grain = laid(Piece("Front", (outline,)), straight.letter, turn)
    polygon = shapely.Polygon(outline.path.flattened(0.02))
    assert polygon.buffer(0.05).covers(shapely.LineString([grain.start, grain.end]))
    x, y = straight.path.end.x - straight.path.start.x, straight.path.end.y - straight.path.start.y
    turned = Affine.turn(turn)(Point(x, y))
    across = turned.x * (grain.end.y - grain.start.y) - turned.y * (grain.end.x - grain.start.x)
    assert abs(across) < 1e-6 * math.hypot(x, y) * grain.length
    assert grain.end.y >= grain.start.y - 1e-9


class TestRefused:
    """Wishes that cannot be carried out."""

    def refused(self, piece: Piece, words: str, along: str = "") -> None:
        with pytest.raises(PatternError, match=words) as caught:
            laid(piece, along)
        assert "pattern.toml line 5" in str(caught.value)

    def test_a_curved_edge(self) -> None:
        whole = block()
        bent = Path((Cubic(Point(0, 300), Point(60, 310), Point(140, 310), Point(200, 300)),))
        a, b, c, d = whole.stitch[0].edges
        ring = Outline(Role.STITCH, (a, replace(b, path=bent), c, d))
        self.refused(
            replace(whole, stitch=(ring,)), r"edge B, which is not straight: it bulges by 7\.5", "B"
        )

    def test_no_such_edge(self) -> None:
        self.refused(block(), 'no edge "Q".*A, B, C, D', "Q")

    def test_no_fold(self) -> None:
        self.refused(block(fold=False), "no edge is on the fold")

    def test_folds_that_run_two_ways(self) -> None:
        whole = block()
        a, b, c, d = whole.stitch[0].edges
        ring = Outline(Role.STITCH, (a, replace(b, lies=Lies.FOLD), c, d))
        self.refused(replace(whole, stitch=(ring,)), "folds A and B run in different directions")

    def test_a_drawn_one_is_there(self) -> None:
        drawn = polyline([Point(50, 50), Point(50, 250)])
        self.refused(replace(block(), grain=drawn), "a grainline is drawn and another one")


def test_without_a_wish_it_stays_as_drawn() -> None:
    piece = replace(block(), grain=polyline([Point(50, 50), Point(50, 250)]))
    assert with_grain(piece) == piece
