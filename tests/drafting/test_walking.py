"""Two stitch lines are walked as a drafter walks them: whole, and notch by notch.

Outside values: straight lines measured by hand, lengths by scipy's quadrature, and the parabola
y = x^2 from 0 to 1, whose length is sqrt(5) / 2 + asinh(2) / 4.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from tiler.drafting.walking.notches import middles, notches_on
from tiler.drafting.walking.run_on import run_on
from tiler.drafting.walking.walk import Agreement, walk
from tiler.pattern.affine import Affine, Point
from tiler.pattern.errors import PatternError
from tiler.pattern.path import Path, polyline
from tiler.pattern.segment import Cubic


def line(*places: tuple[float, float]) -> Path:
    return polyline([Point(*place) for place in places])


def straight(length: float) -> Path:
    return line((0, 0), (length, 0))


def agreements(first: float, second: float, *notches: tuple[float, ...]) -> list[str]:
    found = walk(straight(first), straight(second), *notches)
    return [stretch.agreement.value for stretch in found.stretches]


@pytest.mark.parametrize(
    ("second", "agreement"),
    [
        (400.0, "agrees"), (401.0, "agrees"), (399.0, "agrees"), (401.1, "note"),
        (403.0, "note"), (397.0, "note"), (403.1, "ask"), (396.9, "ask"), (500.0, "ask"),
    ],
)  # fmt: skip
def test_differences_of_1_and_3_mm_are_the_limits(second: float, agreement: str) -> None:
    found = walk(straight(400), straight(second))
    assert found.whole.difference == pytest.approx(second - 400)
    assert found.agreement is Agreement(agreement)
    assert found.stretches == (found.whole,)


def test_equal_totals_cannot_hide_5_too_long_and_5_too_short() -> None:
    found = walk(straight(200), straight(200), [100], [105])
    assert found.whole.agreement is Agreement.AGREES
    assert [stretch.difference for stretch in found.stretches] == [5, -5]
    assert found.agreement is Agreement.ASK


def test_stretches_lie_between_partner_notches() -> None:
    found = walk(straight(300), straight(302), [200, 80], [80.5, 202])
    assert [stretch.first for stretch in found.stretches] == [(0, 80), (80, 200), (200, 300)]
    assert [stretch.second for stretch in found.stretches] == [(0, 80.5), (80.5, 202), (202, 302)]
    assert [stretch.difference for stretch in found.stretches] == pytest.approx([0.5, 1.5, 0])
    assert [stretch.lengths for stretch in found.stretches] == [(80, 80.5), (120, 121.5),
                                                                (100, 100)]  # fmt: skip
    assert [stretch.agreement.value for stretch in found.stretches] == ["agrees", "note", "agrees"]


@pytest.mark.parametrize("bad", [math.nan, math.inf])
def test_a_line_whose_coordinates_are_no_numbers_is_refused(bad: float) -> None:
    broken = line((0, 0), (bad, 5))
    with pytest.raises(PatternError, match="the second stitch line: a coordinate is not a number"):
        walk(straight(100), broken)
    with pytest.raises(PatternError, match="a coordinate is not a number"):
        run_on(straight(100), straight(100), broken, straight(100))


class TestEase:
    """Ease is meant for the whole; each stretch may take up any part of it."""

    @pytest.mark.parametrize(
        ("longer", "agreement"),
        [(15, "agrees"), (11, "agrees"), (9, "note"), (8, "ask"), (21, "agrees"), (24, "ask")],
    )
    def test_the_whole_has_to_have_it(self, longer: float, agreement: str) -> None:
        found = walk(straight(250), straight(250 + longer), ease=(12, 20))
        assert found.agreement is Agreement(agreement)

    def test_a_stretch_may_have_none_of_it_and_none_may_be_short(self) -> None:
        def told(notch: float) -> list[str]:
            found = walk(straight(250), straight(265), [85], [notch], ease=(15, 15))
            return [stretch.agreement.value for stretch in found.stretches]

        assert told(85) == ["agrees", "agrees"]
        assert told(100) == ["agrees", "agrees"]
        assert told(81) == ["ask", "ask"]
        assert told(83) == ["note", "note"]

    @pytest.mark.parametrize("ease", [(5.0, 4.0), (math.nan, 1.0), (0.0, math.inf)])
    def test_an_ease_that_is_no_range_is_refused(self, ease: tuple[float, float]) -> None:
        with pytest.raises(PatternError, match="is not a range"):
            walk(straight(100), straight(100), ease=ease)


class TestNotches:
    """Notches have partners, and lie on their line."""

    def test_one_without_a_partner_has_to_be_asked(self) -> None:
        found = walk(straight(100), straight(100), [40], [])
        assert not found.paired
        assert found.notches == (1, 0)
        assert found.stretches == (found.whole,)
        assert found.whole.agreement is Agreement.AGREES
        assert found.agreement is Agreement.ASK

    @pytest.mark.parametrize("bad", [-1.0, 100.1, math.nan])
    def test_one_beside_its_line_is_refused(self, bad: float) -> None:
        with pytest.raises(PatternError, match="is not on the first line, which is 100 mm long"):
            walk(straight(100), straight(100), [bad], [50])
        with pytest.raises(PatternError, match="is not on the second line"):
            walk(straight(100), straight(100), [50], [bad])

    def test_where_the_notches_of_the_first_land_on_the_second(self) -> None:
        found = walk(straight(200), straight(220), [50, 150])
        told = [(n.notch, n.from_start, n.from_end, n.even) for n in found.landings]
        assert told == [(50, 50, 70, pytest.approx(55)), (150, 150, 170, pytest.approx(165))]


@st.composite
def curves(draw: st.DrawFn) -> Path:
    numbers = [draw(st.floats(-200, 200)) for _ in range(6)]
    places = [Point(0, 0), *(Point(300 + x, y) for x, y in zip(numbers[::2], numbers[1::2],
                                                              strict=True))]  # fmt: skip
    return Path(Cubic(*places).split(0.4))


@given(curves(), curves(), st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1)), max_size=4),
       st.tuples(st.floats(-20, 20), st.floats(0, 20)))  # fmt: skip
def test_walking_is_symmetric(
    first: Path,
    second: Path,
    shares: list[tuple[float, float]],
    ease: tuple[float, float],
) -> None:
    least, most = ease[0], ease[0] + ease[1]
    one = [share * first.length for share, _ in shares]
    other = [share * second.length for _, share in shares]
    there = walk(first, second, one, other, (least, most))
    back = walk(second, first, other, one, (-most, -least))
    assert there.agreement is back.agreement
    for a, b in zip(there.stretches, back.stretches, strict=True):
        assert a.difference == pytest.approx(-b.difference, abs=1e-9)
        assert a.agreement is b.agreement
        assert a.lengths == b.lengths[::-1]


@given(curves(), curves())
def test_lengths_agree_with_quadrature(first: Path, second: Path) -> None:
    measured = []
    for path in (first, second):
        total = 0.0
        for segment in path.segments:
            total += quad(lambda t, s=segment: math.hypot(*s.speed(t)), 0, 1, limit=400)[0]
        measured.append(total)
    assert walk(first, second).whole.lengths == pytest.approx(measured, rel=1e-6)


@given(curves(), st.floats(-180, 180), st.floats(-500, 500))
def test_a_line_agrees_with_itself_wherever_it_lies(path: Path, turn: float, shift: float) -> None:
    other = path.moved(Affine.turn(turn).then(Affine.move(shift, shift)))
    found = walk(path, other, [path.length / 3], [path.length / 3])
    assert found.agreement is Agreement.AGREES
    assert max(abs(stretch.difference) for stretch in found.stretches) < 1e-6


def test_known_lengths() -> None:
    """y = x^2 as a cubic, and a cubic of exactly 200."""
    parabola = Path((Cubic(Point(0, 0), Point(100 / 3, 0), Point(200 / 3, 100 / 3),
                           Point(100, 100)),))  # fmt: skip
    arch = Path((Cubic(Point(0, 0), Point(0, 100), Point(100, 100), Point(100, 0)),))
    lengths = walk(parabola, arch).whole.lengths
    assert lengths[0] == pytest.approx(100 * (math.sqrt(5) / 2 + math.asinh(2) / 4), abs=1e-6)
    assert lengths[1] == pytest.approx(200, abs=1e-6)


class TestNotchesOn:
    """A notch on the cut line stands square over its place on the stitch line."""

    stitch = line((0, 0), (100, 0), (100, 80))

    def test_those_square_to_the_line_within_reach(self) -> None:
        places = [Point(70, 15), Point(20, 15), Point(115, 50), Point(50, 40), Point(-10, 10)]
        assert notches_on(self.stitch, places, reach=16) == pytest.approx((20, 70, 150))

    def test_one_at_the_end(self) -> None:
        assert notches_on(self.stitch, [Point(0.3, 15), Point(115, 80)], 16) == pytest.approx(
            (0.3, 180)
        )

    def test_on_a_curve(self) -> None:
        """Quarter of a circle of 100: a notch 15 outside at 30 degrees is 52.36 along."""
        k = 4 / 3 * (math.sqrt(2) - 1) * 100
        quarter = Path((Cubic(Point(100, 0), Point(100, k), Point(k, 100), Point(0, 100)),))
        place = Affine.turn(30)(Point(115, 0))
        # The cubic is up to 0.014 % longer than the arc.
        assert notches_on(quarter, [place], 16) == pytest.approx((100 * math.pi / 6,), rel=1e-3)


def test_a_double_notch_is_one_place_and_so_is_a_triple() -> None:
    assert middles([434, 100, 426, 250, 262, 274, 400]) == (100, 262, 400, 430)
    assert middles([]) == ()
    assert middles([10, 22.1]) == (10, 22.1)


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
