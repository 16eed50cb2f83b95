"""Two stitch lines are walked as a drafter walks them: whole, and notch by notch.

Outside values: straight lines measured by hand, lengths by scipy's quadrature, and the parabola
y = x^2 from 0 to 1, whose length is sqrt(5) / 2 + asinh(2) / 4.
"""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from tests.drafting.checks.making import notched, pattern, piece, seam
from tiler.drafting.walking.measured import SeamWalk, walk_seam
from tiler.drafting.walking.run_on import run_on
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Piece
from tiler.pattern.path import Path, polyline
from tiler.pattern.segment import Cubic


def line(*places: tuple[float, float]) -> Path:
    return polyline([Point(*place) for place in places])


def box(name: str, long: float, *notches: float) -> Piece:
    """Edge B, along the top, is so long and carries the notches."""
    return notched(piece(name, [(0, 0), (0, 90), (long, 90), (long, 0)]), "B", *notches)


def walked(first: Piece, second: Piece, ease: tuple[float, float] = (0, 0)) -> SeamWalk:
    joined = seam(f"{first.name}.B", f"{second.name}.B", ease=ease)
    return walk_seam(pattern(first, second, seams=[joined]), joined)


def test_stretches_lie_between_partner_notches() -> None:
    found = walked(box("One", 300, 80, 200), box("Two", 302, 80.5, 202))
    assert [place for s in found.stretches for place in s.first] == pytest.approx(
        [0, 80, 80, 200, 200, 300]
    )
    assert [place for s in found.stretches for place in s.second] == pytest.approx(
        [0, 80.5, 80.5, 202, 202, 302]
    )
    assert [s.difference for s in found.stretches] == pytest.approx([0.5, 1.5, 0])
    assert found.difference == pytest.approx(2)


def test_a_notch_without_a_partner_parts_nothing() -> None:
    found = walked(box("One", 300, 80, 200), box("Two", 300, 200))
    assert found.pairing.lone == (pytest.approx((80,)), ())
    assert [s.first for s in found.stretches] == [
        pytest.approx((0, 200)),
        pytest.approx((200, 300)),
    ]


def test_notches_far_from_each_other_are_no_partners() -> None:
    found = walked(box("One", 300, 50), box("Two", 300, 170))
    assert found.pairing.pairs == ()
    assert found.pairing.lone == (pytest.approx((50,)), pytest.approx((170,)))


@pytest.mark.parametrize(
    ("longer", "off"), [(15, 0), (12, 0), (20, 0), (9, -3), (24, 4), (-1, -13)]
)
def test_off_is_what_lies_outside_of_the_ease(longer: float, off: float) -> None:
    found = walked(box("One", 250), box("Two", 250 + longer), ease=(12, 20))
    assert found.off == pytest.approx(off)


@st.composite
def curves(draw: st.DrawFn) -> tuple[Cubic, ...]:
    """A wavy line from (0, 200) to (300, 200) that does not cross itself, in two parts."""
    heights = draw(st.tuples(st.floats(-80, 80), st.floats(-80, 80)))
    whole = Cubic(Point(0, 200), Point(100, 200 + heights[0]), Point(200, 200 + heights[1]),
                  Point(300, 200))  # fmt: skip
    return whole.split(draw(st.floats(0.2, 0.8)))


def curved(name: str, curve: tuple[Cubic, ...]) -> Piece:
    return piece(name, [(0, 0), (0, 200), (300, 200), (300, 0)], curves={1: curve}, allowance=6)


@given(curves(), curves())
@settings(max_examples=30, deadline=None)
def test_lengths_agree_with_quadrature(first: tuple[Cubic, ...], second: tuple[Cubic, ...]) -> None:
    measured = []
    for curve in (first, second):
        total = 0.0
        for segment in curve:
            total += quad(lambda t, s=segment: math.hypot(*s.speed(t)), 0, 1, limit=400)[0]
        measured.append(total)
    found = walked(curved("One", first), curved("Two", second))
    assert found.totals == pytest.approx(measured, rel=1e-6)


@given(curves(), curves(), st.lists(st.integers(2, 8), unique=True, max_size=3))
@settings(max_examples=30, deadline=None)
def test_walking_is_symmetric(
    first: tuple[Cubic, ...], second: tuple[Cubic, ...], tenths: list[int]
) -> None:
    one, other = curved("One", first), curved("Two", second)
    for tenth in tenths:
        one = notched(one, "B", tenth / 10 * one.stitch[0].edges[1].path.length)
        other = notched(other, "B", tenth / 10 * other.stitch[0].edges[1].path.length)
    there, back = walked(one, other), walked(other, one)
    assert there.difference == pytest.approx(-back.difference, abs=1e-9)
    assert [s.difference for s in there.stretches] == pytest.approx(
        [-s.difference for s in back.stretches], abs=1e-6
    )
    assert len(there.stretches) == len(tenths) + 1


def test_known_lengths() -> None:
    """y = x^2 as a cubic, drawn 100 wide: its length is 100 (sqrt(5) / 2 + asinh(2) / 4)."""
    parabola = Cubic(Point(0, 0), Point(100 / 3, 0), Point(200 / 3, 100 / 3), Point(100, 100))
    made = piece("Bow", [(0, -90), (0, 0), (100, 100), (100, -90)], curves={1: [parabola]})
    found = walked(made, box("Band", 100))
    assert found.totals[0] == pytest.approx(100 * (math.sqrt(5) / 2 + math.asinh(2) / 4), abs=1e-6)


def test_a_notch_beside_a_curve_means_the_place_square_below_it() -> None:
    """Quarter of a circle of 100: a notch 15 outside at 30 degrees is 52.36 along."""
    k = 4 / 3 * (math.sqrt(2) - 1) * 100
    quarter = Cubic(Point(0, 100), Point(k, 100), Point(100, k), Point(100, 0))
    made = piece("Round", [(0, 0), (0, 100), (100, 0)], curves={1: [quarter]})
    made = notched(made, "B", quarter.length / 3)
    found = walked(made, box("Band", 157.1))
    # The cubic is up to 0.014 % longer than the arc.
    (at,) = found.sides[0].notches
    assert min(at, found.sides[0].total - at) == pytest.approx(100 * math.pi / 6, rel=1e-3)


def test_a_double_notch_is_one_place_and_so_is_a_triple() -> None:
    found = walked(box("One", 500, 434, 100, 426, 250, 262, 274, 400), box("Two", 500))
    marks = found.sides[0].marks
    assert [mark.at for mark in marks] == pytest.approx([100, 262, 400, 430])
    assert [mark.count for mark in marks] == [1, 3, 1, 2]


class TestRunOn:
    """Two angles at a seam add up to 180 degrees where the line runs on."""

    @given(st.floats(20, 160), st.floats(20, 160), st.floats(-180, 180), st.booleans(),
           st.booleans())  # fmt: skip
    def test_the_angles_are_those_drawn_however_the_pieces_lie(
        self, first: float, second: float, turn: float, mirrored: bool, backwards: bool
    ) -> None:
        def corner(degrees: float) -> tuple[Path, Path]:
            seam = line((0, 0), (0, -130))
            x, y = math.sin(math.radians(degrees)), -math.cos(math.radians(degrees))
            return line((0, 0), (90 * x, 90 * y)), seam

        by = Affine.scale(-1 if mirrored else 1, 1).then(Affine.turn(turn))
        (before, seam), (after, other) = corner(first), corner(second)
        after, other = after.moved(by), other.moved(by)
        if backwards:
            before, other = before.reversed(), other.reversed()
        found = run_on(before, seam, other, after)
        assert (found.first, found.second) == pytest.approx((first, second), abs=1e-6)
        assert found.off == pytest.approx(first + second - 180, abs=1e-6)

    @pytest.mark.parametrize(
        ("degrees", "smooth"), [(90, True), (91.9, True), (88.1, True), (92.1, False)]
    )
    def test_two_degrees_are_let_pass(self, degrees: float, smooth: bool) -> None:
        x, y = math.sin(math.radians(degrees)), -math.cos(math.radians(degrees))
        leaning, level, seam = line((0, 0), (x, y)), line((0, 0), (50, 0)), line((0, 0), (0, -50))
        assert run_on(leaning, seam, seam, level).smooth is smooth

    def test_a_line_and_a_seam_that_do_not_meet_are_refused(self) -> None:
        seam = line((0, 0), (0, -50))
        with pytest.raises(PatternError, match="end 3 mm apart"):
            run_on(line((0, 3), (50, 50)), seam, seam, line((0, 0), (50, 0)))
