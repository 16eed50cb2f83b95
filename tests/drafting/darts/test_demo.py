"""The darts of the demo trousers are what their notes say.

Outside values: demo_pieces/README.md, which states intakes of 20 and 24, legs of 117.2 and 138.4,
equal within 0.001 when drafted (drawn to 0.001), drill marks 6 short of the tips, and caps that
come from folding the darts towards the centre back, within 0.03.
"""

import pytest

from tests.demos import pattern_of_demo
from tiler.drafting.darts.cap import Pressed, dart_cap
from tiler.drafting.darts.dart import Dart
from tiler.drafting.darts.forms import leg_length
from tiler.drafting.darts.notches import leg_notches
from tiler.drafting.darts.parts import divided
from tiler.intake.nearest import Seeker
from tiler.pattern.model import Piece, Role
from tiler.pattern.path import Path


def back() -> Piece:
    return next(piece for piece in pattern_of_demo("trousers").pieces if piece.name == "Back")


def darts() -> list[Dart]:
    drawn = [list(line.path.nodes()) for line in back().lines if line.role is Role.DART]
    return [Dart(left, tip, right) for left, tip, right in drawn]


def between(path: Path, start: float, end: float) -> Path:
    _, rest = divided(path, start)
    assert rest is not None
    part, _ = divided(rest, end - start)
    assert part is not None
    return part


@pytest.mark.parametrize(("number", "intake", "leg"), [(0, 20, 117.2), (1, 24, 138.4)])
def test_intake_and_legs(number: int, intake: float, leg: float) -> None:
    dart = darts()[number]
    assert dart.intake == pytest.approx(intake, abs=0.001)
    assert dart.legs == pytest.approx((leg, leg), abs=0.05)
    assert dart.legs[0] == pytest.approx(dart.legs[1], abs=0.001)
    depth = dart.middle.start.to(dart.middle.foot(dart.left))
    assert leg_length(intake, depth) == pytest.approx(leg, abs=0.05)


def test_drill_marks_are_6_short_of_the_tips() -> None:
    drawn = [mark.at for mark in back().marks if mark.role is Role.DRILL]
    for dart in darts():
        place = dart.drill_point(6).at
        assert min(place.to(at) for at in drawn) < 0.002


@pytest.mark.parametrize("number", [0, 1])
def test_the_cut_line_over_a_dart_is_its_cap_pressed_to_the_centre_back(number: int) -> None:
    """The side seam comes before the waist and the seat seam after, so that is the right."""
    piece, dart = back(), darts()[number]
    (outline,) = piece.outlines
    waist = next(edge for edge in outline.edges if edge.name == "waist")
    left, right = leg_notches(outline, dart)
    assert (left.letter, right.letter) == (waist.letter, waist.letter)
    at_cut = Dart(left.at, dart.tip, right.at)
    before = between(waist.path, 0.0, left.distance)
    after = between(waist.path, right.distance, waist.path.length)
    drawn = Seeker(between(waist.path, left.distance, right.distance))
    cap = dart_cap(before, after, at_cut, Pressed.RIGHT)
    assert max(drawn.nearest(point).distance for point in cap.flattened(0.001)) < 0.03
