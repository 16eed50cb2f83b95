"""Checks on pieces made by hand, where every number is known beforehand."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from tests.drafting.checks.making import dart, notched, pattern, piece, seam
from tiler.drafting.checks import Fault, check
from tiler.pattern.affine import Point
from tiler.pattern.model import Cut, Lay, Lies, Line, Mark, Part, Pattern, Piece, Role, Severity
from tiler.pattern.path import circle, polyline
from tiler.pattern.segment import Cubic, Straight


def found(made: Pattern, code: str) -> list[Fault]:
    return [fault for fault in check(made) if fault.code == code]


def box(name: str, width: float, height: float, **more: object) -> Piece:
    """A runs up the left side, B along the top, C down the right side, D along the bottom."""
    places = [(0, 0), (0, height), (width, height), (width, 0)]
    return piece(name, places, **more)  # type: ignore[arg-type]


def test_a_seam_whose_stitch_line_is_not_known_is_told_and_not_guessed() -> None:
    front = replace(box("Front", 100, 300), stitch=())
    (fault,) = found(pattern(front, box("Back", 100, 300), seams=[seam("Front.A", "Back.C")]),
                     "seam-not-walked")  # fmt: skip
    assert fault.severity is Severity.WARNING
    assert "Front" in fault.text
    assert "line 9" in fault.where


@pytest.mark.parametrize(
    ("off", "severity"),
    [(1.4, None), (1.6, Severity.WARNING), (3.0, Severity.WARNING), (3.1, Severity.ERROR)],
)
def test_seams_may_differ_by_1_5_mm(off: float, severity: Severity | None) -> None:
    made = pattern(
        box("Front", 100, 300), box("Back", 100, 300 + off), seams=[seam("Front.A", "Back.C")]
    )
    assert [fault.severity for fault in found(made, "seam-length")] == (
        [severity] if severity else []
    )


@pytest.mark.parametrize(("longer", "faulty"), [(3, True), (5, False), (10, False), (12, True)])
def test_a_range_of_ease_is_kept_or_it_is_an_error(longer: float, faulty: bool) -> None:
    made = pattern(
        box("Front", 100, 300),
        box("Back", 100, 300 + longer),
        seams=[seam("Front.A", "Back.A", ease=(5, 10))],
    )
    assert [f.severity for f in found(made, "seam-ease")] == [Severity.ERROR] * faulty
    assert not found(made, "seam-length")


def sleeve_and_armhole(rise: float) -> Pattern:
    """Two hollow quarter rounds of radius 100, and a head of two curves that rise by `rise`."""
    k = 100 * 0.5522847498
    hollow = {
        2: [Cubic(Point(200, 400), Point(200 - k, 400), Point(100, 300 + k), Point(100, 300))]
    }
    places = [(0, 0), (0, 400), (200, 400), (100, 300), (100, 0)]
    halves = [
        piece(name, places, curves=hollow, lies={"A": Lies.FOLD, "E": Lies.HEM})
        for name in ("Front", "Back")
    ]
    head = {
        1: [
            Cubic(Point(0, 200), Point(60, 200), Point(60, 200 + rise), Point(125, 200 + rise)),
            Cubic(Point(125, 200 + rise), Point(190, 200 + rise), Point(190, 200), Point(250, 200)),
        ]
    }
    sleeve = piece("Sleeve", [(0, 0), (0, 200), (250, 200), (250, 0)], curves=head,
                   lies={"D": Lies.HEM})  # fmt: skip
    seams = [
        seam("Front.B", "Back.B", "shoulder"),
        seam("Sleeve.A", "Sleeve.C", "underarm"),
        seam("Front.C + Back.C", "Sleeve.B", "armhole"),
        seam("Front.D", "Back.D", "side"),
    ]
    return pattern(*halves, sleeve, seams=seams)


@pytest.mark.parametrize("rise", [60, 85, 95, 120])
def test_a_sleeve_head_is_compared_with_the_whole_armhole(rise: float) -> None:
    made = sleeve_and_armhole(rise)
    (fault,) = found(made, "sleeve-head")
    # Two quarters of a circle of radius 100: 2 x 157.10 by one cubic each.
    assert fault.numbers["first_mm"] == pytest.approx(math.pi * 100, abs=0.1)
    ease = made.pieces[2].stitch[0].edges[1].path.length - math.pi * 100
    assert fault.numbers["ease_mm"] == pytest.approx(ease, abs=0.1)
    meant = Severity.NOTE if -1.5 <= ease <= 50 else Severity.WARNING
    assert fault.severity is meant


def test_sleeve_heads_of_the_test_above_lie_on_both_sides_of_the_limits() -> None:
    told = {found(sleeve_and_armhole(rise), "sleeve-head")[0].severity for rise in (60, 85, 120)}
    assert told == {Severity.NOTE, Severity.WARNING}


def test_5_too_long_and_5_too_short_are_a_notch_that_is_off() -> None:
    front = notched(box("Front", 100, 300), "A", 100)
    back = notched(box("Back", 100, 300), "A", 105)
    (fault,) = found(pattern(front, back, seams=[seam("Front.A", "Back.A")]), "notch-off")
    assert fault.severity is Severity.ERROR
    assert fault.numbers["move_mm"] == pytest.approx(-5)
    assert "to 100 mm from the start of its edge A" in fault.remedy


def test_the_middle_of_a_double_notch_meets_a_single_one() -> None:
    front = notched(box("Front", 100, 300), "A", 100)
    back = notched(box("Back", 100, 300), "A", 96, 104)
    made = pattern(front, back, seams=[seam("Front.A", "Back.A")])
    assert not found(made, "notch-off")
    assert not found(made, "notch-lone")


@pytest.mark.parametrize(
    ("depth", "severity"),
    [(7, None), (9, Severity.NOTE), (13, Severity.WARNING), (15.5, Severity.ERROR)],
)
def test_notches_stay_clear_of_the_seam(depth: float, severity: Severity | None) -> None:
    made = pattern(notched(box("Front", 100, 300), "A", 100, depth=depth))
    faults = found(made, "notch-deep")
    assert [fault.severity for fault in faults] == ([severity] if severity else [])
    if faults and depth < 15:
        assert faults[0].numbers == pytest.approx({"depth_mm": depth, "allowance_mm": 15}, abs=0.1)


def test_notches_in_the_middle_of_straight_edges_do_not_tell_the_way_round() -> None:
    places = [(0, 0), (0, 300), (120, 250), (90, 0)]
    one, other = (notched(piece(name, places), "A", 150) for name in ("Front", "Back"))
    (fault,) = found(pattern(one, other, seams=[seam("Front.A", "Back.A")]), "notch-turnable")
    assert fault.severity is Severity.NOTE
    off = [notched(piece(name, places), "A", 140) for name in ("Front", "Back")]
    assert not found(pattern(*off, seams=[seam("Front.A", "Back.A")]), "notch-turnable")


def test_a_piece_with_two_equal_halves_may_be_turned_round() -> None:
    made = [notched(box(name, 100, 300), "A", 150) for name in ("Front", "Back")]
    assert not found(pattern(*made, seams=[seam("Front.A", "Back.A")]), "notch-turnable")


@pytest.mark.parametrize(
    ("lean", "severity"),
    [(0, None), (5, None), (12, Severity.NOTE), (25, Severity.WARNING), (60, Severity.ERROR)],
)
def test_a_hem_runs_on_when_its_angles_with_the_seam_are_180(
    lean: float, severity: Severity | None
) -> None:
    """The hem falls by `lean` over 300 on one side and is square on the other."""
    front = piece("Front", [(0, 0), (0, 400), (300, 400), (300, -lean)], lies={"D": Lies.HEM})
    back = box("Back", 300, 400, lies={"D": Lies.HEM})
    faults = found(pattern(front, back, seams=[seam("Front.C", "Back.A")]), "line-breaks")
    assert [fault.severity for fault in faults] == ([severity] if severity else [])
    if faults:
        angle = -math.degrees(math.atan2(lean, 300))
        assert faults[0].numbers["break_degrees"] == pytest.approx(angle, abs=0.01)


def test_a_fold_with_an_allowance_makes_the_piece_wider_by_twice_that() -> None:
    half = box("Front", 100, 300, lies={"A": Lies.FOLD})
    (edge, *rest) = half.outlines[0].edges
    wide = replace(half.outlines[0], edges=(replace(edge, allowance=10.0), *rest))
    (fault,) = found(pattern(replace(half, outlines=(wide,))), "fold-allowance")
    assert fault.severity is Severity.ERROR
    assert fault.numbers["wider_mm"] == 20


def with_dart(*points: tuple[float, float], drill: tuple[float, float] | None = None) -> Pattern:
    """A box of 300 by 400 whose top edge carries a dart drawn on it, its mouth straight."""
    made = box("Front", 300, 400)
    marks = (Mark(Role.DRILL, Point(*drill), circle(Point(*drill), 1.5)),) if drill else ()
    return pattern(replace(made, lines=(dart(*points),), marks=marks))


def test_a_straight_seam_over_a_dart_of_30_by_100_breaks_by_the_darts_angle() -> None:
    """By arithmetic: 2 x (90 + atan(15 / 100)) = 197.06 degrees, and a cap of 4.6 is missing.

    The peak is where the seam, mirrored in its leg, crosses the middle line: 15 x tan(17.06)
    degrees, 4.6 over the chord.
    """
    made = with_dart((135, 400), (150, 300), (165, 400))
    (kink,) = found(made, "dart-kink")
    half = math.degrees(math.atan2(15, 100))
    assert kink.numbers["break_degrees"] == pytest.approx(2 * half, abs=0.01)
    assert kink.severity is Severity.WARNING
    (cap,) = found(made, "dart-cap")
    assert cap.numbers["peak_mm"] == pytest.approx(15 * math.tan(math.radians(2 * half)), abs=0.01)
    assert not found(made, "dart-legs")


@pytest.mark.parametrize(
    ("leg", "severity"),
    [(0.5, None), (2, Severity.WARNING), (5, Severity.ERROR)],
)
def test_legs_of_a_dart_are_equal(leg: float, severity: Severity | None) -> None:
    """The tip stands so that the legs differ by `leg`: the left one is 100 long."""
    # On the mouth from 135 to 165: x + 15 and 15 - x beside the middle, height h.
    right = 100 + leg
    x = (100**2 - right**2) / 60
    tip = (150 + x, 400 - math.sqrt(100**2 - (15 + x) ** 2))
    faults = found(with_dart((135, 400), tip, (165, 400)), "dart-legs")
    assert [fault.severity for fault in faults] == ([severity] if severity else [])


def test_a_tip_outside_of_the_piece_is_an_error() -> None:
    (fault,) = found(with_dart((135, 400), (150, 440), (165, 400)), "dart-tip-outside")
    assert fault.severity is Severity.ERROR
    assert fault.numbers["outside_mm"] == pytest.approx(40)


def test_legs_that_end_beside_the_seam_are_told() -> None:
    (fault,) = found(with_dart((135, 394), (150, 300), (165, 400)), "dart-off-seam")
    assert fault.numbers["away_mm"] == pytest.approx(6)


@pytest.mark.parametrize(
    ("y", "severity"),
    [(306, None), (300.5, Severity.WARNING), (297, Severity.ERROR), (280, None)],
)
def test_drill_marks_lie_short_of_the_tip(y: float, severity: Severity | None) -> None:
    made = with_dart((135, 400), (150, 300), (165, 400), drill=(150, y))
    assert [f.severity for f in found(made, "dart-drill")] == ([severity] if severity else [])


def test_darts_are_closed_before_a_seam_is_walked() -> None:
    """300 with a dart of 30 is 270 when sewn."""
    front = replace(box("Front", 300, 400), lines=(dart((135, 400), (150, 300), (165, 400)),))
    back = box("Back", 270, 400)
    assert not found(pattern(front, back, seams=[seam("Front.B", "Back.B")]), "seam-length")
    longer = box("Back", 300, 400)
    (fault,) = found(pattern(front, longer, seams=[seam("Front.B", "Back.B")]), "seam-length")
    assert fault.numbers["off_mm"] == pytest.approx(30)


def round_hem(radius: float, width: float, hollow: bool = False) -> Pattern:
    """A hem that is a quarter of a circle (one cubic, 0.03 % from round)."""
    r, k = radius, radius * 0.5522847498
    curve = Cubic(Point(r, 0), Point(r, -k), Point(k, -r), Point(0, -r))
    if hollow:
        curve = Cubic(Point(r, 0), Point(r - k, 0), Point(0, k - r), Point(0, -r))
    made = piece(
        "Skirt",
        [(0, -r), (0, 0), (r, 0)],
        curves={2: [curve]},
        lies={"C": Lies.HEM},
        widths={"C": width},
    )
    return pattern(made)


@pytest.mark.parametrize(
    ("radius", "width", "severity"),
    [
        # 2 w / r: the turned-up edge was cut at r + w and lies at r - w.
        (3000, 20, None), (1500, 20, Severity.NOTE), (600, 20, Severity.WARNING),
    ],
)  # fmt: skip
def test_a_round_hem_has_fulness_of_twice_its_width_over_the_radius(
    radius: float, width: float, severity: Severity | None
) -> None:
    faults = found(round_hem(radius, width), "hem-curve")
    assert [fault.severity for fault in faults] == ([severity] if severity else [])
    for fault in faults:
        assert fault.numbers["share"] == pytest.approx(2 * width / radius, rel=0.01)
        assert fault.numbers["excess_mm"] == pytest.approx(math.pi * width, rel=0.01)


def test_a_hollow_hem_has_to_be_stretched() -> None:
    (fault,) = found(round_hem(400, 10, hollow=True), "hem-curve")
    assert fault.numbers["excess_mm"] == pytest.approx(-math.pi * 10, rel=0.01)
    assert "stretched" in fault.text


def test_an_edge_shorter_than_an_allowance_beside_it_is_noted() -> None:
    made = piece("Pocket", [(0, 0), (0, 200), (150, 200), (150, 8), (144, 0)])
    (fault,) = found(pattern(made), "edge-short")
    assert fault.numbers["length_mm"] == pytest.approx(10)
    assert "edge D" in fault.where


def test_joined_halves_on_different_grain_are_noted() -> None:
    halves = [box(name, 100, 300, lies={"A": Lies.FOLD}) for name in ("Front", "Back")]
    grains = polyline([Point(50, 50), Point(50, 250)]), polyline([Point(20, 50), Point(80, 50)])
    one, other = (replace(h, grain=g) for h, g in zip(halves, grains, strict=True))
    (fault,) = found(pattern(one, other, joined=[("Front", "Back")]), "grain-differs")
    assert fault.numbers == pytest.approx({"first_degrees": 0, "second_degrees": 90})


def test_neck_points_are_compared_where_front_and_back_share_a_shoulder() -> None:
    """Necks 60 and 20 deep are right; the other way round the back is 40 deeper."""
    lies = {"A": Lies.FOLD, "E": Lies.HEM}
    low = piece("Low", [(0, 0), (0, 440), (80, 500), (200, 480), (200, 0)], lies=lies)
    high = piece("High", [(0, 0), (0, 480), (80, 500), (200, 480), (200, 0)], lies=lies)
    seams = [seam("Low.C", "High.C", "shoulder")]
    parts = {"Low": Part.FRONT, "High": Part.BACK}
    right = pattern(*(replace(p, part=parts[p.name]) for p in (low, high)), seams=seams)
    assert not found(right, "neck-depth")
    swapped = {"Low": Part.BACK, "High": Part.FRONT}
    wrong = pattern(*(replace(p, part=swapped[p.name]) for p in (low, high)), seams=seams)
    (fault,) = found(wrong, "neck-depth")
    assert fault.numbers == {"front_mm": 20, "back_mm": 60, "lower_mm": 40}


def test_interfacing_alone_is_fine_where_a_piece_of_cloth_has_its_outline() -> None:
    backing = box("Collar stand", 300, 60, cut=Cut(1, "interfacing", Lay.COPIES))
    cloth = box("Collar", 300, 60)
    both = pattern(backing, cloth, cloths=("main", "interfacing"))
    assert not found(both, "interfacing-alone")
    assert found(both, "piece-twice")
    assert found(pattern(backing, box("Cuff", 200, 80)), "interfacing-alone")


def test_what_is_drawn_where_the_drafter_puts_it_is_no_fault() -> None:
    made = box("Front", 100, 300)
    line = Line(Role.STITCH, polyline([Point(0, 0), Point(0, 300)]))
    off = Line(Role.STITCH, polyline([Point(2, 0), Point(2, 300)]))
    assert not found(pattern(replace(made, lines=(line,))), "stitch-line-off")
    (fault,) = found(pattern(replace(made, lines=(off,))), "stitch-line-off")
    assert fault.numbers["off_mm"] == pytest.approx(2)
    assert fault.severity is Severity.WARNING


def test_straight_segments_of_one_edge_are_one_edge() -> None:
    """A side of two parts of 150 is as long as one of 300."""
    parts = {0: [Straight(Point(0, 0), Point(0, 150)), Straight(Point(0, 150), Point(0, 300))]}
    one = piece("Front", [(0, 0), (0, 300), (100, 300), (100, 0)], curves=parts)
    made = pattern(one, box("Back", 100, 300), seams=[seam("Front.A", "Back.C")])
    assert not found(made, "seam-length")


def test_a_seam_shorter_than_a_thread_is_checked_like_any_other() -> None:
    """What an allowance leaves of a corner that was traced as an edge."""
    places = [(0, 0), (0, 100), (99.8, 100), (100, 99.8), (100, 0)]
    made = pattern(piece("Front", places), piece("Back", places), seams=[seam("Front.C", "Back.C")])
    assert not found(made, "notch-off")
    assert not found(made, "seam-length")
