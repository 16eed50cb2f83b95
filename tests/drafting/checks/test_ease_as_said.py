"""What is said of ease, of pairs and of joints is told in the maker's sense.

Outside values: by hand, on boxes.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.drafting.checks.making import notched, pattern, piece, seam
from tiler.drafting.checks import Fault, check
from tiler.pattern.affine import Point
from tiler.pattern.model import Cut, Lay, Lies, Pattern, Piece, Severity
from tiler.pattern.path import polyline
from tiler.pattern.segment import Cubic
from tiler.pattern.wishes import GrainWish, Wishes

#: Handles of a quarter of a circle: 4/3 (sqrt 2 - 1).
K = 0.5522847498


def box(name: str, width: float, height: float, **more: object) -> Piece:
    places = [(0, 0), (0, height), (width, height), (width, 0)]
    return piece(name, places, **more)  # type: ignore[arg-type]


def found(made: Pattern, *codes: str) -> list[Fault]:
    return [fault for fault in check(made) if fault.code in codes]


@pytest.mark.parametrize(
    ("ease", "words"),
    [
        ((-240, -230), "250 mm (9 13/16 in) shorter where 230 to 240 mm less is meant, 10 mm"),
        ((-230, -230), "where 230 mm less is meant, 20 mm"),
        ((5, 10), "where 5 to 10 mm more is meant, 255 mm"),
        ((-5, 10), "where 5 mm less to 10 mm more is meant, 245 mm"),
    ],
)
def test_the_ease_that_is_meant_is_told_as_more_or_less(
    ease: tuple[float, float], words: str
) -> None:
    made = pattern(
        box("Skirt", 600, 500), box("Band", 350, 40), seams=[seam("Skirt.B", "Band.D", ease=ease)]
    )
    (fault,) = found(made, "seam-ease")
    assert words in fault.text
    assert "too short" in fault.text


def hollow(name: str) -> Piece:
    """A quarter of a circle of radius 100, 157.1 long, cut out of the upper right."""
    arc = Cubic(
        Point(100, 300),
        Point(100, 300 - 100 * K),
        Point(200 - 100 * K, 200),
        Point(200, 200),
    )
    places = [(0, 0), (0, 300), (100, 300), (200, 200), (200, 0)]
    return piece(name, places, curves={2: [arc]})


def head(radius: float, *, parted: bool) -> Piece:
    """A half circle on a box; parted at its top into two edges or not."""
    r, k = radius, radius * K
    up = Cubic(Point(0, 200), Point(0, 200 + k), Point(r - k, 200 + r), Point(r, 200 + r))
    down = Cubic(Point(r, 200 + r), Point(r + k, 200 + r), Point(2 * r, 200 + k), Point(2 * r, 200))
    if parted:
        places = [(0, 0), (0, 200), (r, 200 + r), (2 * r, 200), (2 * r, 0)]
        return piece("Sleeve", places, curves={1: [up], 2: [down]})
    return piece("Sleeve", [(0, 0), (0, 200), (2 * r, 200), (2 * r, 0)], curves={1: [up, down]})


@pytest.mark.parametrize("parted", [False, True])
@pytest.mark.parametrize("turned_over", [False, True])
def test_a_sleeve_head_without_a_word_on_ease_is_told_of_and_one_with_none_is_checked(
    parted: bool, turned_over: bool
) -> None:
    """Radius 110 against 100: a tenth of 314.2 longer."""
    pieces = hollow("Front"), hollow("Back"), head(110, parted=parted)
    sides = ["Front.C + Back.C", "Sleeve.B + Sleeve.C" if parted else "Sleeve.B"]
    unsaid = seam(*(sides[::-1] if turned_over else sides))
    (note,) = found(pattern(*pieces, seams=[unsaid]), "sleeve-head", "seam-ease", "seam-length")
    assert (note.code, note.severity) == ("sleeve-head", Severity.NOTE)
    assert note.numbers["ease_mm"] == pytest.approx(31.4, abs=0.05)
    none = replace(unsaid, equal=True)
    (fault,) = found(pattern(*pieces, seams=[none]), "sleeve-head", "seam-ease", "seam-length")
    assert (fault.code, fault.severity) == ("seam-ease", Severity.ERROR)
    assert "where the same length is meant" in fault.text


def test_sides_that_are_said_to_be_equal_may_differ_by_what_cloth_takes_up() -> None:
    for more, severities in ((1.4, []), (2.0, [Severity.WARNING]), (3.5, [Severity.ERROR])):
        made = pattern(
            box("Front", 100, 300),
            box("Back", 100, 300 + more),
            seams=[replace(seam("Front.A", "Back.C"), equal=True)],
        )
        assert [fault.severity for fault in found(made, "seam-ease")] == severities


def test_a_joint_is_not_called_a_notch() -> None:
    """Panels of 90, 100 and 110 listed in the wrong order meet notches at 100 and 190."""
    panels = [box(name, width, 300) for name, width in (("Pa", 100), ("Pb", 90), ("Pc", 110))]
    band = notched(box("Band", 300, 40), "D", 110, 200)
    made = pattern(*panels, band, seams=[seam("Pb.B + Pa.B + Pc.B", "Band.D")])
    (fault,) = found(made, "notch-off")
    assert fault.text.startswith("The joint 90 mm")
    assert "the notch 100 mm" in fault.text
    assert "on Band to 210 mm" in fault.remedy
    assert "Pb" not in fault.remedy
    other = pattern(*panels, band, seams=[seam("Band.D", "Pb.B + Pa.B + Pc.B")])
    (fault,) = found(other, "notch-off")
    assert "The notch 100 mm" in fault.text
    assert "the joint 90 mm" in fault.text
    assert "Move the notch on Band to 210 mm" in fault.remedy


@pytest.mark.parametrize(("count", "told"), [(1, True), (2, False), (3, True)])
def test_a_mirrored_pair_is_two(count: int, told: bool) -> None:
    shape = [(0, 0), (0, 300), (100, 250), (120, 0)]
    made = pattern(piece("Side", shape, cut=Cut(count, "main", Lay.PAIR)))
    faults = found(made, "pair-odd")
    assert [fault.severity for fault in faults] == [Severity.WARNING] * told
    if told:
        assert f"count = {count + 1}" in faults[0].remedy


def test_pieces_that_are_joined_have_folds() -> None:
    half = box("Front", 100, 300, lies={"A": Lies.FOLD})
    made = pattern(half, box("Back", 100, 300), joined=[("Front", "Back")])
    (fault,) = found(made, "joined-no-fold")
    assert (fault.subject, fault.severity) == ("Back", Severity.ERROR)


def test_a_grainline_that_the_tool_has_laid_is_not_called_short() -> None:
    """It is as long as there is room for, which no drawing can better."""
    line = polyline([Point(50, 10), Point(50, 25)])
    band = replace(box("Band", 300, 40), grain=line)
    assert found(pattern(band), "grain-short")
    assert not found(pattern(replace(band, wishes=Wishes(grain=GrainWish("A")))), "grain-short")


@pytest.mark.parametrize(("back", "told"), [(30.0, False), (40.0, True)])
def test_hems_that_meet_at_a_seam_turn_up_alike(back: float, told: bool) -> None:
    hems = {"D": Lies.HEM}
    made = pattern(
        box("Front", 200, 300, lies=hems, widths={"D": 30.0}),
        box("Back", 200, 300, lies=hems, widths={"D": back}),
        seams=[seam("Front.C", "Back.A"), seam("Front.A", "Back.C")],
    )
    faults = found(made, "hem-differs")
    assert [fault.numbers for fault in faults] == [{"first_mm": 30, "second_mm": back}] * told
    assert all("steps by 10 mm" in fault.text for fault in faults)


def test_a_line_that_breaks_alike_at_both_ends_of_a_seam_is_told_twice() -> None:
    """Above and below, the lines meet the seam at acos(40 / sqrt(200^2 + 40^2)), 78.69 degrees."""
    back = piece("Back", [(0, 0), (0, 300), (200, 340), (200, -40)])
    faults = found(pattern(back, seams=[seam("Back.C", "Back.C")]), "line-breaks")
    breaks = [fault.numbers["break_degrees"] for fault in faults]
    assert breaks == pytest.approx([2 * 78.690 - 180] * 2, abs=0.01)
    assert {fault.detail for fault in faults} == {"Back.B with Back.B", "Back.D with Back.D"}
