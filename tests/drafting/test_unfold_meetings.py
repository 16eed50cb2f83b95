"""A line that does not meet the fold squarely opens into a beak or a dip.

Outside values: the height of the triangle over a chord of 20 mm by plane trigonometry, checked on
the opened piece; the demo drafts state 90 degrees within 0.01 at every fold edge.
"""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.demos import DEMOS, pattern_of_demo
from tiler.drafting.unfold.meetings import FOLD_SQUARE, fold_angles
from tiler.drafting.unfold.whole import unfolded
from tiler.pattern.affine import Affine, Point
from tiler.pattern.model import Edge, Lies, Line, Outline, Piece, Role
from tiler.pattern.path import Path, polyline
from tiler.pattern.segment import Cubic


def line(*places: tuple[float, float]) -> Path:
    return polyline([Point(*place) for place in places])


def piece(top: float, bottom: float, by: Affine = Affine()) -> Piece:  # noqa: B008
    """A half piece 100 wide; its top falls and its bottom rises by these at the side."""
    a, b, c, d = (by(Point(*p)) for p in ((0, 0), (0, 200), (100, 200 - top), (100, bottom)))
    edges = (
        Edge("A", polyline([a, b]), Lies.FOLD),
        Edge("B", polyline([b, c]), name="neck"),
        Edge("C", polyline([c, d])),
        Edge("D", polyline([d, a]), name="hem"),
    )
    return Piece("Front", (Outline(Role.CUT, edges),))


@given(
    st.floats(-60, 60), st.floats(-60, 60), st.floats(-180, 180), st.floats(-900, 900)
)  # fmt: skip
def test_the_angle_is_the_one_drawn_however_the_piece_lies(
    top: float, bottom: float, turn: float, shift: float
) -> None:
    by = Affine.turn(turn).then(Affine.move(shift, -shift))
    found = {meeting.letter: meeting for meeting in fold_angles(piece(top, bottom, by))}
    for letter, fall in (("B", top), ("D", bottom)):
        meeting = found[letter]
        assert meeting.angle == pytest.approx(90 - math.degrees(math.atan(fall / 100)), abs=1e-7)
        assert meeting.off == pytest.approx(meeting.angle - 90)
        assert meeting.rise == pytest.approx(fall / 10, abs=1e-7)
        assert meeting.square == (abs(meeting.off) <= FOLD_SQUARE)


@given(st.floats(-60, 60))
def test_the_rise_is_the_height_over_a_chord_of_20_mm_in_the_opened_piece(top: float) -> None:
    drawn = piece(top, 0)
    rise = next(m for m in fold_angles(drawn) if m.letter == "B").rise
    neck = [e.path for e in unfolded(drawn).outlines[0].edges if e.name == "neck"]
    heights = {}
    for path in neck:
        for segment in path.segments:
            for wanted in (0.0, 10.0, -10.0):
                low, high = sorted((segment.start.x, segment.end.x))
                if low <= wanted <= high:
                    share = (wanted - segment.start.x) / (segment.end.x - segment.start.x)
                    heights[wanted] = segment.at(share).y
    assert heights[0.0] - (heights[10.0] + heights[-10.0]) / 2 == pytest.approx(rise, abs=1e-9)


@pytest.mark.parametrize(
    ("fall", "square"), [(0, True), (1.7, True), (-1.7, True), (1.8, False), (-1.8, False)]
)
def test_one_degree_is_let_pass(fall: float, square: bool) -> None:
    """tan 1 degree = 0.017455."""
    assert all(m.square == square for m in fold_angles(piece(fall, fall)))


def test_both_ends_are_named_with_their_edges() -> None:
    found = fold_angles(piece(20, 0))
    assert [(m.fold, m.letter, m.name, m.at, m.role) for m in found] == [
        ("A", "D", "hem", (0, 0), Role.CUT),
        ("A", "B", "neck", (0, 200), Role.CUT),
    ]


def test_a_curve_counts_by_its_tangent_and_not_by_its_bend() -> None:
    neck = Cubic(Point(0, 200), Point(30, 200), Point(60, 180), Point(100, 100))
    drawn = piece(100, 0)
    (outline,) = drawn.outlines
    edges = tuple(replace(e, path=Path((neck,))) if e.letter == "B" else e for e in outline.edges)
    meeting = fold_angles(replace(drawn, outlines=(replace(outline, edges=edges),)))[1]
    assert meeting.angle == pytest.approx(90, abs=1e-12)
    assert meeting.rise == pytest.approx(0, abs=1e-12)


class TestLinesInside:
    """Stitch lines and the folds of hems have to meet the fold as squarely as the outline."""

    @staticmethod
    def inside(*lines: Line) -> list[tuple[Role, float]]:
        found = fold_angles(replace(piece(0, 0), lines=lines))
        return [(m.role, round(m.angle, 6)) for m in found if not m.letter]

    def test_a_stitch_line_at_either_end(self) -> None:
        stitch = Line(Role.STITCH, line((0, 190), (90, 180), (90, 20), (0, 10)))
        tilted = round(90 - math.degrees(math.atan(10 / 90)), 6)
        assert self.inside(stitch) == [(Role.STITCH, tilted)] * 2

    def test_the_fold_of_a_hem(self) -> None:
        assert self.inside(Line(Role.FOLD, line((90, 30), (0, 30)))) == [(Role.FOLD, 90.0)]

    def test_lines_that_do_not_count(self) -> None:
        assert (
            self.inside(
                Line(Role.INSIDE, line((0, 100), (50, 150))),
                Line(Role.STITCH, line((0, 20), (0, 120))),
                Line(Role.STITCH, line((5, 190), (90, 180))),
                Line(Role.STITCH, line((0, 250), (90, 180))),
            )
            == []
        )


def test_a_piece_without_a_fold_has_nothing_to_tell() -> None:
    drawn = piece(0, 0)
    edges = tuple(replace(e, lies=Lies.SEWN) for e in drawn.outlines[0].edges)
    assert fold_angles(replace(drawn, outlines=(Outline(Role.CUT, edges),))) == ()


@pytest.mark.parametrize("demo", [demo for demo in DEMOS if demo != "trousers"])
def test_the_demo_drafts_meet_every_fold_squarely(demo: str) -> None:
    # The bottom of the tool pocket ends on the fold in the cap of a dart, which has a peak there.
    found = [
        meeting
        for piece in pattern_of_demo(demo).pieces
        for meeting in fold_angles(piece)
        if piece.name != "Tool pocket" or meeting.at.y > piece.bounds.centre.y
    ]
    roles = {meeting.role for meeting in found}
    assert Role.CUT in roles
    assert roles & {Role.STITCH, Role.FOLD}
    assert max(abs(meeting.off) for meeting in found) <= 0.01
    # 10 mm x tan 0.01 degrees.
    assert max(abs(meeting.rise) for meeting in found) <= 0.0018
