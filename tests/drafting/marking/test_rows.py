"""Buttons, buttonholes and drill points stand where they are told.

Outside values: places worked out by hand on a rectangle whose edge A runs up at x = 0 and edge C
down at x = 200. A button's cross, and a buttonhole from 3 beyond its button: common practice, no
source.
"""

import math
from dataclasses import replace

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.drafting.darts.blocks import block
from tests.drafting.darts.shapes import anywhere
from tiler.drafting.cutlines import with_cut
from tiler.drafting.darts.wished import with_darts
from tiler.drafting.marking import with_marks
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Mark, Outline, Piece, Role
from tiler.pattern.path import Path, polyline
from tiler.pattern.segment import Cubic
from tiler.pattern.wishes import DartWish, MarkWish, Place, Wishes

ROW = MarkWish("button", Place("C", length=50), 15, count=3, apart=80, where="pattern.toml line 7")


def marked(wish: MarkWish, **facts: object) -> tuple[Mark, ...]:
    piece = with_cut(block(Wishes(marks=(wish,)), fold=False, **facts))  # type: ignore[arg-type]
    return with_marks(piece).marks


def test_a_row_of_buttons_down_the_side() -> None:
    """From (200, 300) down: 50, 130 and 210 along, 15 inside."""
    at = [mark.at for mark in marked(ROW)]
    assert at == [pytest.approx(p) for p in ((185, 250), (185, 170), (185, 90))]


def test_counted_from_the_end_the_row_goes_back() -> None:
    """From (200, 0) up."""
    at = [mark.at for mark in marked(replace(ROW, at=Place("C", length=50, from_end=True)))]
    assert at == [pytest.approx(p) for p in ((185, 50), (185, 130), (185, 210))]


def test_a_share_of_the_edge() -> None:
    (mark,) = marked(MarkWish("drill", Place("D", fraction=0.25), 30))
    assert mark.at == pytest.approx((150, 30))
    assert mark.role is Role.DRILL
    assert mark.path.bounds.width == pytest.approx(3)


@pytest.mark.parametrize(("size", "width"), [(None, 6), (22.0, 22)])
def test_a_button_is_as_wide_as_it_is(size: float | None, width: float) -> None:
    (mark,) = marked(replace(ROW, count=1, size=size))
    bounds = mark.path.bounds
    assert (bounds.width, bounds.height) == pytest.approx((width, width))
    assert bounds.centre == pytest.approx((185, 250))
    pairs = zip(mark.path.segments, mark.path.segments[1:], strict=False)
    assert all(one.end.to(other.start) < 1e-9 for one, other in pairs)


@pytest.mark.parametrize(("size", "length"), [(None, 18), (20.0, 20)])
def test_a_buttonhole_runs_inwards_from_3_beyond_its_button(
    size: float | None, length: float
) -> None:
    (mark,) = marked(MarkWish("buttonhole", Place("C", length=50), 15, size=size))
    assert mark.at == pytest.approx((185, 250))
    bounds = mark.path.bounds
    assert (bounds.right, bounds.left) == pytest.approx((188, 188 - length))
    assert (bounds.bottom, bounds.top) == pytest.approx((248, 252))


def test_places_are_measured_with_the_darts_closed() -> None:
    """Right of a sewn dart that is 30 wide, 130 along the waist is where 160 is drawn."""
    dart = DartWish(Place("B", length=100), 100, 30, "A")
    wish = MarkWish("drill", Place("B", length=130), 40)
    piece, _ = with_darts(block(Wishes(darts=(dart,), marks=(wish,))))
    made = with_marks(with_cut(piece))
    assert made.marks[-1].at == pytest.approx((160, 260))


@settings(deadline=None)
@given(st.floats(5, 95), st.floats(8, 40), anywhere())
def test_on_a_curve_the_mark_lies_square_to_it(share: float, inside: float, by: Affine) -> None:
    side = Cubic(Point(200, 300), Point(215, 200), Point(190, 100), Point(200, 0))
    corners = [Point(0, 0), Point(0, 300), Point(200, 300)]
    edges = (
        Edge("A", polyline(corners[:2])),
        Edge("B", polyline(corners[1:])),
        Edge("C", Path((side,))),
        Edge("D", polyline([Point(200, 0), Point(0, 0)])),
    )
    edges = tuple(replace(edge, path=edge.path.moved(by)) for edge in edges)
    ring = Outline(Role.STITCH, edges)
    wish = MarkWish("drill", Place("C", fraction=share / 100), inside)
    piece = Piece("Front", (ring,), stitch=(ring,), wishes=Wishes(marks=(wish,)))
    (mark,) = with_marks(piece).marks
    line = shapely.LineString(edges[2].path.flattened(0.0005))
    assert line.distance(shapely.Point(mark.at)) == pytest.approx(inside, abs=0.01)
    assert shapely.Polygon(ring.path.flattened(0.01)).contains(shapely.Point(mark.at))


class TestStyles:
    """Two styles whose sides differ."""

    def piece(self, wish: MarkWish) -> Piece:
        whole = block(Wishes(marks=(wish,)), fold=False)
        a, b, c, d = whole.stitch[0].edges
        slim = (
            a,
            replace(b, path=polyline([Point(0, 300), Point(180, 300)])),
            replace(c, path=polyline([Point(180, 300), Point(180, 0)])),
            replace(d, path=polyline([Point(180, 0), Point(0, 0)])),
        )
        rings = (Outline(Role.STITCH, (a, b, c, d), "wide"), Outline(Role.STITCH, slim, "slim"))
        return replace(whole, outlines=rings, stitch=rings)

    def test_what_all_share_is_there_once(self) -> None:
        (mark,) = with_marks(self.piece(MarkWish("drill", Place("A", length=100), 30))).marks
        assert (mark.style, mark.at) == ("", (30, 100))

    def test_what_differs_carries_its_style(self) -> None:
        made = with_marks(self.piece(MarkWish("drill", Place("C", length=100), 30))).marks
        assert [(mark.style, mark.at) for mark in made] == [
            ("wide", pytest.approx((170, 200))),
            ("slim", pytest.approx((150, 200))),
        ]


class TestRefused:
    """Marks that cannot be put, with the place of the wish."""

    @pytest.mark.parametrize(
        ("change", "words"),
        [
            ({"at": Place("Q", length=1)}, 'no edge "Q"'),
            ({"at": Place("C", length=301)}, "301 mm from its start is not on edge C"),
            ({"at": Place("C", length=-1, from_end=True)}, "-1 mm from its end is not on edge C"),
            ({"at": Place("C", fraction=math.nan)}, "is not on edge C"),
            ({"at": Place("C")}, "the place on edge C is not said"),
            ({"at": Place("C", 10, 0.5)}, "the place on edge C is not said"),
            ({"apart": 0.0}, "3 marks 0 mm apart are one spot"),
            ({"apart": math.nan}, "apart are one spot"),
            ({"count": 10**9, "apart": 0.5}, "apart are one spot"),
            ({"size": 0.0}, "a button cannot measure 0 mm"),
            ({"size": -4.0}, "a button cannot measure -4 mm"),
            ({"inside": math.nan}, "does not lie inside"),
            ({"count": 5}, "mark 5 of 5 would lie beyond the end of edge C"),
            ({"inside": 201.0, "count": 1}, "does not lie inside of the piece"),
            ({"inside": -5.0, "count": 1}, "does not lie inside of the piece"),
            ({"size": 70.0, "count": 1}, "does not lie inside of the piece"),
            ({"kind": "zip"}, '"zip" is not a kind of mark'),
        ],
    )
    def test_a_wish_is_refused(self, change: dict[str, object], words: str) -> None:
        with pytest.raises(PatternError, match=words) as caught:
            marked(replace(ROW, **change))  # type: ignore[arg-type]
        assert "pattern.toml line 7" in str(caught.value)

    def test_no_stitch_line(self) -> None:
        with pytest.raises(PatternError, match="stitch line, which is not known"):
            with_marks(replace(block(Wishes(marks=(ROW,))), stitch=()))


def test_a_button_on_the_fold_is_whole_when_opened() -> None:
    wish = MarkWish("button", Place("A", length=250), 0, size=15)
    (mark,) = with_marks(with_cut(block(Wishes(marks=(wish,))))).marks
    assert mark.at == (0, 250)
    with pytest.raises(PatternError, match="does not lie inside of the piece"):
        with_marks(with_cut(block(Wishes(marks=(replace(wish, size=150.0),)))))


def test_without_wishes_nothing_changes() -> None:
    assert with_marks(block()) == block()
