"""Notches stand on the cut line, square over their places on the stitch line.

Outside values: places worked out by hand on a rectangle of 200 x 300 with an allowance of 15, and
the rules of the trade (common practice, no source): single on a front, double on a back, pairs 6
to 12 apart, slits of half the allowance at most that stay 3 clear of the stitches.
"""

import math
from dataclasses import replace

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.drafting.darts.blocks import block, dart_line, notch_at
from tests.strategies import outlines
from tiler.drafting.cutlines import with_cut, with_stitch
from tiler.drafting.darts.wished import with_darts
from tiler.drafting.notching import with_notches
from tiler.drafting.notching.shapes import slit_length
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Lies, Mark, Outline, Part, Pattern, Piece, Role, Severity
from tiler.pattern.path import polyline
from tiler.pattern.wishes import DartWish, NotchShape, NotchWish, Place, Wishes

WHERE = "pattern.toml line 4"


def wish(edge: str, length: float, **facts: object) -> NotchWish:
    from_end = bool(facts.pop("from_end", False))
    return NotchWish(edge, Place(edge, length=length, from_end=from_end), where=WHERE, **facts)  # type: ignore[arg-type]


def notched(piece: Piece) -> list[Mark]:
    (made,) = with_notches(Pattern("Smock", (with_cut(piece),))).pieces
    return [mark for mark in made.marks if mark.role is Role.NOTCH]


def wishing(*wishes: NotchWish, **facts: object) -> list[Mark]:
    return notched(block(Wishes(notches=wishes), **facts))  # type: ignore[arg-type]


class TestSlits:
    """From the cut line inwards, square to it."""

    def test_on_the_side_seam(self) -> None:
        """Edge C runs down from (200, 300); its cut line lies at x = 215."""
        (mark,) = wishing(wish("C", 100))
        assert mark.at == pytest.approx((215, 200))
        assert list(mark.path.nodes()) == [pytest.approx((215, 200)), pytest.approx((210, 200))]
        assert mark.style == ""

    def test_counted_from_the_end(self) -> None:
        (mark,) = wishing(wish("C", 100, from_end=True))
        assert mark.at == pytest.approx((215, 100))

    @pytest.mark.parametrize(("allowance", "deep"), [(15, 5), (10, 5), (8, 4), (7, 3.5), (6, 3)])
    def test_how_deep(self, allowance: float, deep: float) -> None:
        assert slit_length(allowance) == pytest.approx(deep)
        assert deep <= allowance / 2
        assert allowance - deep >= 3
        (mark,) = wishing(wish("C", 100), allowance=allowance)
        assert mark.path.length == pytest.approx(deep)

    @pytest.mark.parametrize("allowance", [0.0, 5.0])
    def test_without_room_it_stands_out_and_is_told(self, allowance: float) -> None:
        piece = with_cut(block(Wishes(notches=(wish("C", 100),)), allowance=allowance))
        made = with_notches(Pattern("Smock", (piece,)))
        (mark,) = made.pieces[0].marks
        x = 200 + allowance
        assert [tuple(p) for p in mark.path.nodes()] == [
            pytest.approx((x, 202.5)),
            pytest.approx((x + 5, 200)),
            pytest.approx((x, 197.5)),
        ]
        assert [(f.code, f.severity) for f in made.findings] == [("notch-outwards", Severity.NOTE)]

    @pytest.mark.parametrize(("edge", "told"), [("C", []), ("D", ["notch-outwards"])])
    def test_a_wedge_that_is_asked_for_hides_no_other(self, edge: str, told: list[str]) -> None:
        wedge = wish("C", 200, shape=NotchShape.WEDGE)
        wishes = Wishes(notches=(wish(edge, 100), wedge))
        made = with_notches(Pattern("Smock", (with_cut(block(wishes, allowance=5.0)),)))
        assert [finding.code for finding in made.findings] == told

    def test_where_no_allowance_is_known_it_goes_out_from_the_stitch_line(self) -> None:
        (mark,) = wishing(wish("C", 100), allowance=None)
        assert list(mark.path.nodes()) == [pytest.approx((200, 200)), pytest.approx((205, 200))]

    def test_at_the_fold_it_stands_at_the_end_of_the_waist(self) -> None:
        (mark,) = wishing(wish("B", 0))
        assert mark.at == pytest.approx((0, 315))
        assert mark.path.end == pytest.approx((0, 310))


class TestCounts:
    """Single, double, and what the part asks."""

    @pytest.mark.parametrize(
        ("part", "count", "places"),
        [
            (None, None, [200]),
            (Part.FRONT, None, [200]),
            (Part.BACK, None, [204, 196]),
            (Part.BACK, 1, [200]),
            (Part.FRONT, 2, [204, 196]),
        ],
    )
    def test_how_many(self, part: Part | None, count: int | None, places: list[float]) -> None:
        marks = wishing(wish("C", 100, count=count), part=part)
        assert [mark.at.y for mark in marks] == pytest.approx(places)

    def test_a_pair_that_would_leave_its_edge(self) -> None:
        with pytest.raises(PatternError, match=r"4 mm from the corner at least"):
            wishing(wish("C", 3, count=2))


class TestWedges:
    """Outwards, 5 wide and 5 high, on the cut line."""

    def test_on_the_side_seam(self) -> None:
        (mark,) = wishing(wish("C", 100, shape=NotchShape.WEDGE))
        assert mark.at == pytest.approx((215, 200))
        assert [tuple(p) for p in mark.path.nodes()] == [
            pytest.approx((215, 202.5)),
            pytest.approx((220, 200)),
            pytest.approx((215, 197.5)),
        ]

    def test_as_the_pattern_wants_it(self) -> None:
        wishes = Wishes(notches=(wish("C", 100),), notch_shape=NotchShape.WEDGE)
        (mark,) = notched(block(wishes))
        assert len(mark.path.segments) == 2


@settings(deadline=None)
@given(outlines(80, 300), st.floats(0.2, 0.8), st.integers(6, 20), st.sampled_from(NotchShape))
def test_on_any_edge_it_is_square_and_over_its_place(
    outline: Outline, share: float, allowance: int, shape: NotchShape
) -> None:
    """The foot is an allowance away from the place and nowhere nearer to the stitch line."""
    edges = tuple(replace(edge, lies=Lies.SEWN) for edge in outline.edges)
    ring = Outline(Role.STITCH, edges)
    edge = max(edges, key=lambda e: e.path.length)
    notch = NotchWish(edge.letter, Place(edge.letter, fraction=share), shape=shape, where=WHERE)
    piece = Piece(
        "Front", (ring,), allowance=allowance, wishes=Wishes(notches=(notch,)), stitch=(ring,)
    )
    try:
        piece = with_cut(piece)
    except PatternError:
        # Sharp corners close together have no sound cut line.
        assume(False)
    place, (x, y) = edge.path.point_at(edge.path.length * share)
    (mark,) = notched(piece)
    stitch = shapely.LinearRing(ring.path.flattened(0.001))
    near = stitch.distance(shapely.Point(mark.at))
    # A hollow's loops are taken out there: the cut line comes nearer than the allowance.
    assume(near > allowance - 0.05)
    assert mark.at.to(place) == pytest.approx(allowance, abs=0.05)
    cut = shapely.LinearRing(piece.outlines[0].path.flattened(0.001))
    assert cut.distance(shapely.Point(mark.at)) < 0.01
    nodes = list(mark.path.nodes())
    tip = nodes[1]
    out = (tip.x - mark.at.x) * -y + (tip.y - mark.at.y) * x
    length = mark.at.to(tip)
    sign = 1 if shape is NotchShape.WEDGE else -1
    assert out == pytest.approx(sign * length, abs=0.01)


class TestDrawn:
    """Notches that the maker has drawn."""

    def test_on_the_stitch_line_it_is_carried_out(self) -> None:
        (mark,) = notched(block(marks=(notch_at(200, 120, 194, 120),)))
        assert list(mark.path.nodes()) == [pytest.approx((215, 120)), pytest.approx((210, 120))]

    def test_on_the_cut_line_it_stays_as_drawn(self) -> None:
        drawn = notch_at(215, 120, 209, 120)
        assert notched(block(marks=(drawn,))) == [drawn]

    def test_one_that_stands_nowhere_stays_as_drawn(self) -> None:
        drawn = notch_at(150, 120, 144, 120)
        assert notched(block(marks=(drawn,))) == [drawn]

    def test_a_style_of_its_own_keeps_its_style(self) -> None:
        drawn = replace(notch_at(200, 120, 194, 120), style="slim")
        (mark,) = notched(block(marks=(drawn,)))
        assert (mark.style, mark.at) == ("slim", pytest.approx((215, 120)))


class TestDartsMoveTheCutLine:
    """Notches on a traced cut line go along with the outline that a dart moves."""

    def test_on_the_side_seam_that_gives(self) -> None:
        """Half way down the blend the side stands 15 out; the notch is 15 outside of it."""
        cut = with_cut(block())
        dart = DartWish(Place("B", length=100), 100, 30, "A", gives="C", blend=150)
        traced = replace(
            cut,
            stitch=(),
            lines=(),
            wishes=Wishes(darts=(dart,)),
            marks=(notch_at(215, 225, 209, 225), notch_at(215, 60, 209, 60)),
        )
        made, _ = with_darts(with_stitch(traced))
        moved, still = notched(made)[:2]
        assert moved.at.to(Point(215, 225)) == pytest.approx(15, abs=0.03)
        assert moved.path.length == pytest.approx(5)
        # The side leans there by the slope of the cubic step, 30 x 1.5 / 150.
        lean = math.atan2(moved.at.y - 225, moved.at.x - 215)
        assert math.tan(lean) == pytest.approx(-0.3, abs=0.005)
        assert still == traced.marks[1]


class TestStyles:
    """Two styles whose sides differ below the waist."""

    def piece(self, *wishes: NotchWish, marks: tuple[Mark, ...] = ()) -> Piece:
        whole = block(Wishes(notches=wishes), marks=marks)
        a, b, c, d = whole.stitch[0].edges
        slim = (
            a,
            b,
            replace(c, path=polyline([Point(200, 300), Point(200, 100)])),
            replace(d, path=polyline([Point(200, 100), Point(0, 100)])),
        )
        slim = (replace(a, path=polyline([Point(0, 100), Point(0, 300)])), *slim[1:])
        rings = (Outline(Role.STITCH, (a, b, c, d), "long"), Outline(Role.STITCH, slim, "short"))
        return replace(whole, outlines=rings, stitch=rings)

    def test_what_all_share_is_there_once(self) -> None:
        (mark,) = notched(self.piece(wish("C", 50)))
        assert (mark.style, mark.at) == ("", pytest.approx((215, 250)))

    def test_what_differs_carries_its_style(self) -> None:
        marks = notched(self.piece(wish("C", 50, from_end=True)))
        assert [(mark.style, mark.at.y) for mark in marks] == [("long", 50), ("short", 150)]

    def test_off_the_edge_of_one_style(self) -> None:
        with pytest.raises(PatternError, match="250 mm from its start is not on edge C"):
            notched(self.piece(wish("C", 250)))

    def test_a_drawn_one_goes_only_where_its_line_is(self) -> None:
        marks = notched(self.piece(marks=(notch_at(200, 50, 194, 50),)))
        assert [(mark.style, mark.at.y) for mark in marks] == [("long", 50)]


class TestLegs:
    """The legs of a dart are notched where they leave the cloth."""

    def piece(self, **facts: object) -> Piece:
        wishes = Wishes(darts=(DartWish(Place("B", length=100), 100, 30, "A"),), **facts)  # type: ignore[arg-type]
        return with_darts(block(wishes))[0]

    def test_where_the_legs_carried_on_meet_the_cut_line(self) -> None:
        """The waist's cut line is level at 315: the legs are there 15 +- 2.25 from the middle."""
        left, right = sorted(notched(self.piece()), key=lambda mark: mark.at.x)
        assert left.at == pytest.approx((100 - 17.25, 315), abs=0.02)
        assert right.at == pytest.approx((100 + 17.25, 315), abs=0.02)
        for mark in (left, right):
            assert mark.path.end == pytest.approx((mark.at.x, 310), abs=0.03)

    def test_one_that_is_drawn_there_is_enough(self) -> None:
        drawn = notch_at(82.75, 315, 82.75, 310)
        piece = self.piece()
        assert len(notched(replace(piece, marks=(*piece.marks, drawn)))) == 2

    def test_a_drawn_dart_is_notched_too(self) -> None:
        marks = notched(block(lines=(dart_line((85, 300), (100, 200), (115, 300)),)))
        assert sorted(mark.at.x for mark in marks) == pytest.approx([82.75, 117.25], abs=0.01)

    def test_a_dart_with_two_tips_has_none(self) -> None:
        line = dart_line((80, 250), (90, 150), (80, 50), (70, 150), closed=True)
        assert notched(block(lines=(line,))) == []

    def test_places_on_the_waist_are_measured_with_the_dart_closed(self) -> None:
        marks = notched(self.piece(notches=(wish("B", 130), wish("B", 60))))
        xs = sorted(mark.at.x for mark in marks)
        assert xs == pytest.approx([60, 82.75, 117.25, 160], abs=0.02)

    def test_off_the_edge_once_the_dart_is_closed(self) -> None:
        with pytest.raises(PatternError, match="whose stitch line is 170 mm long"):
            notched(self.piece(notches=(wish("B", 180),)))


class TestRefused:
    """Wishes that cannot be carried out, with their place."""

    @pytest.mark.parametrize(
        ("asked", "words"),
        [
            (wish("Q", 1), 'has no edge Q|no edge "Q"'),
            (wish("C", 301), "301 mm from its start is not on edge C"),
            (wish("C", math.nan), "is not on edge C"),
            (wish("A", 100), "edge A lies on the fold and cannot be notched"),
            (NotchWish("C", Place("C"), where=WHERE), "the place on edge C is not said"),
        ],
    )
    def test_a_wish_is_refused(self, asked: NotchWish, words: str) -> None:
        with pytest.raises(PatternError, match=words) as caught:
            wishing(asked)
        assert str(caught.value).startswith(WHERE)

    def test_no_stitch_line(self) -> None:
        piece = replace(block(Wishes(notches=(wish("C", 10),))), stitch=())
        with pytest.raises(PatternError, match="stitch line, which is not known"):
            with_notches(Pattern("Smock", (piece,)))


def test_a_notch_that_is_drawn_and_asked_for_is_there_once() -> None:
    drawn = notch_at(200, 200, 195, 200)
    found = notched(replace(block(Wishes(notches=(wish("C", 100),))), marks=(drawn,)))
    assert [mark.at for mark in found] == [pytest.approx((215, 200))]


def test_without_wishes_and_marks_nothing_changes() -> None:
    pattern = Pattern("Smock", (with_cut(block()),))
    assert with_notches(pattern) == pattern
