"""Drawn darts: recognised, trued and capped where the maker says how they are pressed.

Outside values: plane trigonometry on a rectangle, and the worked dart's cap (peak 4.6036).
"""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.drafting.darts.blocks import block, dart_line, drill_at, notch_at
from tiler.drafting.cutlines import with_stitch
from tiler.drafting.darts.drawn import fisheye_of
from tiler.drafting.darts.fisheyes import trued_fisheye
from tiler.drafting.darts.wished import with_darts
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Line, Outline, Piece, Role, Severity
from tiler.pattern.path import Path, polyline
from tiler.pattern.wishes import DartWish, Place, Wishes

EVEN = dart_line((85, 300), (100, 200), (115, 300))
UNEVEN = dart_line((85, 300), (106, 200), (115, 300))
TO_FOLD = Wishes(press_darts="A")
GIVEN = DartWish(Place("B", length=50), 100, 30, "A", gives="C", blend=150)


def edge(piece: Piece, letter: str) -> Path:
    return next(e.path for e in piece.stitch[0].edges if e.letter == letter)


def darts(piece: Piece) -> list[list[Point]]:
    return [list(line.path.nodes()) for line in piece.lines if line.role is Role.DART]


def test_the_worked_dart_is_capped() -> None:
    made, findings = with_darts(block(TO_FOLD, lines=(EVEN,)))
    assert max(node.y for node in edge(made, "B").nodes()) == pytest.approx(304.6036, abs=1e-4)
    assert darts(made)[0] == [pytest.approx(p) for p in ((85, 300), (100, 200), (115, 300))]
    assert findings == ()


@pytest.mark.parametrize("towards", ["A", "C"])
def test_drawn_from_either_side(towards: str) -> None:
    back = replace(EVEN, path=EVEN.path.reversed())
    one, _ = with_darts(block(Wishes(press_darts=towards), lines=(EVEN,)))
    other, _ = with_darts(block(Wishes(press_darts=towards), lines=(back,)))
    assert one.stitch == other.stitch


def test_uneven_legs_get_their_mean() -> None:
    """Legs of sqrt(21^2 + 100^2) and sqrt(9^2 + 100^2)."""
    made, findings = with_darts(block(TO_FOLD, lines=(UNEVEN,)))
    (nodes,) = darts(made)
    mean = (math.hypot(21, 100) + math.hypot(9, 100)) / 2
    assert nodes[1] == (106, 200)
    assert [nodes[1].to(nodes[0]), nodes[1].to(nodes[2])] == pytest.approx([mean, mean])
    (told,) = findings
    assert (told.code, told.severity) == ("dart-legs-trued", Severity.NOTE)
    assert f"{math.hypot(21, 100):.2f}".rstrip("0") in told.text
    # The waist ends where it did.
    assert (edge(made, "B").start, edge(made, "B").end) == ((0, 300), (200, 300))


def test_without_a_word_it_stays_as_drawn_and_uneven_legs_are_told() -> None:
    piece = block(lines=(UNEVEN,), marks=(drill_at(106, 210),))
    made, (told,) = with_darts(piece)
    assert made == piece
    assert (told.code, told.severity) == ("dart-legs-differ", Severity.WARNING)
    assert with_darts(block(lines=(EVEN,)))[1] == ()


def test_a_drawn_drill_mark_counts_and_a_missing_one_is_put() -> None:
    drawn = drill_at(100, 206)
    made, _ = with_darts(block(TO_FOLD, lines=(EVEN,), marks=(drawn,)))
    assert made.marks == (drawn,)
    made, _ = with_darts(block(TO_FOLD, lines=(EVEN,)))
    assert [mark.at for mark in made.marks] == [pytest.approx((100, 210))]


def test_a_drawn_dart_moves_with_the_waist() -> None:
    """The wished dart at 50 takes in 30; the drawn one, with its drill mark, goes 30 out."""
    piece = block(
        Wishes(press_darts="A", darts=(GIVEN,)), lines=(EVEN,), marks=(drill_at(100, 206),)
    )
    made, _ = with_darts(piece)
    assert darts(made)[0] == [pytest.approx(p) for p in ((115, 300), (130, 200), (145, 300))]
    assert made.marks[0].at == pytest.approx((130, 206))
    assert edge(made, "B").end == pytest.approx((230, 300))


def test_one_that_is_left_as_drawn_moves_too() -> None:
    made, _ = with_darts(block(Wishes(darts=(GIVEN,)), lines=(EVEN,)))
    assert darts(made)[0] == [pytest.approx(p) for p in ((115, 300), (130, 200), (145, 300))]


def test_legs_drawn_to_the_traced_cut_line_are_followed_to_the_stitch_line() -> None:
    """The cut line lies 15 over the waist; the legs run on 15 / 100 of their way."""
    legs = dart_line((85 - 2.25, 315), (100, 200), (115 + 2.25, 315))
    whole = block()
    corners = [Point(0, 0), Point(0, 315), Point(215, 315), Point(215, -15), Point(0, -15)]
    ends = [Point(0, -15), *corners[1:4]]
    edges = tuple(
        replace(e, path=polyline([a, b]))
        for e, a, b in zip(whole.stitch[0].edges, ends, [*ends[1:], ends[0]], strict=True)
    )
    cut = Outline(Role.CUT, edges)
    piece = with_stitch(replace(whole, outlines=(cut,), stitch=(), lines=(legs,), wishes=TO_FOLD))
    made, _ = with_darts(piece)
    (nodes,) = darts(made)
    assert nodes == [pytest.approx(p, abs=1e-6) for p in ((85, 300), (100, 200), (115, 300))]


def test_notches_on_the_outline_go_along() -> None:
    """At 150 on the waist: 30 out. Half way down the blend: 15 out. Below it: still."""
    marks = (
        notch_at(150, 300, 150, 294),
        notch_at(200, 225, 194, 225),
        notch_at(200, 100, 194, 100),
        notch_at(20, 300, 20, 294),
    )
    made, _ = with_darts(block(Wishes(darts=(GIVEN,)), marks=marks))
    notches = [mark for mark in made.marks if mark.role is Role.NOTCH]
    assert notches[0].at == pytest.approx((180, 300))
    assert notches[1].at == pytest.approx((215, 225), abs=1e-6)
    assert notches[2:] == list(marks[2:])


def test_notches_of_the_drawn_legs_make_way_and_one_in_the_mouth_is_told() -> None:
    marks = (notch_at(85, 300, 85, 294), notch_at(100, 300, 100, 294))
    made, findings = with_darts(block(TO_FOLD, lines=(EVEN,), marks=marks))
    assert [mark for mark in made.marks if mark.role is Role.NOTCH] == [marks[1]]
    assert [(f.code, f.severity) for f in findings] == [("notch-in-dart", Severity.WARNING)]


def test_a_line_whose_end_would_have_to_move_is_told() -> None:
    pocket = Line(Role.INSIDE, polyline([Point(200, 280), Point(150, 220)]))
    still = Line(Role.INSIDE, polyline([Point(20, 300), Point(20, 20)]))
    made, findings = with_darts(block(Wishes(darts=(GIVEN,)), lines=(pocket, still)))
    assert made.lines[:2] == (pocket, still)
    assert [f.code for f in findings if f.severity is Severity.WARNING] == ["line-left-behind"]


class TestPressed:
    """Which way, and darts that cannot be pressed so."""

    def test_no_dart_is_there(self) -> None:
        line = dart_line((85, 290), (100, 200), (115, 290))
        with pytest.raises(PatternError, match="no drawn dart stands on the stitch line"):
            with_darts(block(TO_FOLD, lines=(line,)))

    def test_not_beside(self) -> None:
        with pytest.raises(PatternError, match='edge B cannot be pressed towards "D"'):
            with_darts(block(Wishes(press_darts="D"), lines=(EVEN,)))

    def test_darts_in_two_edges(self) -> None:
        side = dart_line((200, 160), (120, 150), (200, 140))
        made, findings = with_darts(block(Wishes(press_darts="A"), lines=(EVEN, side)))
        assert [f.code for f in findings] == ["dart-not-pressed"]
        assert made.lines[1] == side

    @pytest.mark.parametrize(
        "line",
        [
            dart_line((85, 300), (100, 310), (115, 300)),
            dart_line((85, 300), (100, 200)),
            dart_line((85, 300), (100, 200), (200, 150)),
            dart_line((85, 300), (85, 300), (115, 300)),
        ],
    )
    def test_a_line_that_is_no_dart_is_told(self, line: Line) -> None:
        made, findings = with_darts(block(TO_FOLD, lines=(EVEN, line)))
        assert made.lines[1] == line
        assert [f.code for f in findings] == ["dart-not-known"]


class TestTwoTips:
    """Drawn darts of four legs."""

    @given(
        st.floats(60, 120), st.floats(60, 120), st.floats(-6, 6), st.floats(8, 30), st.booleans()
    )
    def test_trued(self, up: float, down: float, off: float, intake: float, turn: bool) -> None:
        """Legs get their means; the tips stay; the two sides are mirror images."""
        half = intake / 2
        corners = [(80, 150 + up), (80 + half, 150 + off), (80, 150 - down), (80 - half, 150)]
        line = dart_line(*(corners[1:] + corners[:1] if turn else corners), closed=True)
        drawn = fisheye_of(line)
        assert drawn is not None
        dart = trued_fisheye(drawn)
        assert set(dart.tips) == {Point(80, 150 + up), Point(80, 150 - down)}
        for before, after in zip(drawn.halves, dart.halves, strict=True):
            mean = sum(before.legs) / 2
            assert after.legs == pytest.approx((mean, mean))
        assert dart.left.y == pytest.approx(dart.right.y)
        assert (dart.left.x + dart.right.x) / 2 == pytest.approx(80)

    def test_it_is_drilled_and_told(self) -> None:
        line = dart_line((80, 250), (90, 152), (80, 50), (70, 148), closed=True)
        made, (told,) = with_darts(block(lines=(line,)))
        assert told.code == "dart-legs-trued"
        assert len(made.marks) == 4
        assert all(mark.role is Role.DRILL for mark in made.marks)

    def test_one_that_is_even_and_drilled_stays(self) -> None:
        line = dart_line((80, 250), (90, 150), (80, 50), (70, 150), closed=True)
        piece = block(lines=(line,), marks=(drill_at(80, 240),))
        assert with_darts(piece) == (piece, ())

    def test_the_dart_goes_with_the_piece(self) -> None:
        by = Affine.turn(37).then(Affine.move(100, -50))
        line = dart_line((80, 250), (90, 152), (80, 50), (70, 148), closed=True)
        here, _ = with_darts(block(lines=(line,)))
        there, _ = with_darts(block(by=by, lines=(replace(line, path=line.path.moved(by)),)))
        pairs = zip(darts(here)[0], darts(there)[0], strict=True)
        assert max(by(a).to(b) for a, b in pairs) < 1e-9


class TestLegByLeg:
    """Darts whose legs were drawn as single lines."""

    def test_two_legs(self) -> None:
        legs = (dart_line((100, 200), (85, 300)), dart_line((115, 300), (100.3, 200)))
        pocket = Line(Role.INSIDE, polyline([Point(20, 20), Point(60, 20)]))
        made, findings = with_darts(block(TO_FOLD, lines=(legs[0], pocket, legs[1])))
        assert [line.role for line in made.lines] == [Role.DART, Role.INSIDE]
        assert len(made.lines[0].path.segments) == 2
        assert max(n.y for n in edge(made, "B").nodes()) == pytest.approx(304.6, abs=0.1)
        assert all(told.severity is Severity.NOTE for told in findings)

    def test_four_legs(self) -> None:
        corners = [(80.0, 250.0), (90.0, 150.0), (80.0, 50.0), (70.0, 150.0)]
        pairs = zip(corners, [*corners[1:], corners[0]], strict=True)
        legs = [dart_line(a, b) for a, b in pairs]
        made, _ = with_darts(block(lines=(legs[0], legs[2], legs[3], legs[1])))
        (line,) = made.lines
        assert line.path.closed
        assert len(made.marks) == 4

    def test_legs_of_two_darts_stay_apart(self) -> None:
        lines = (
            dart_line((60, 200), (50, 300)),
            dart_line((60, 200), (70, 300)),
            dart_line((140, 200), (130, 300)),
            dart_line((140, 200), (150, 300)),
        )
        made, _ = with_darts(block(TO_FOLD, lines=lines))
        assert [nodes[1] for nodes in darts(made)] == [(60, 200), (140, 200)]

    def test_three_that_meet_in_one_point_stay_as_drawn(self) -> None:
        lines = tuple(dart_line((60, 200), (x, 300)) for x in (50, 60, 70))
        assert with_darts(block(lines=lines))[0].lines == lines
