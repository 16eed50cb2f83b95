"""The darts of the demos are what their notes say.

Outside values: tests/data/drawn_by_sums, where the trousers' back was drawn with both darts by its
own drafting sums, and demo_pieces/README.md, which states intakes of 20 and 24, legs of 117.2 and
138.4, and caps that come from folding the darts towards the centre back, within 0.03.
"""

from collections.abc import Callable

import pytest

from tests.demos import drafted_piece, drawn_by_sums, traced_demo
from tiler.drafting.darts.cap import Pressed, dart_cap
from tiler.drafting.darts.dart import Dart
from tiler.drafting.darts.forms import leg_length
from tiler.drafting.darts.notches import leg_notches
from tiler.drafting.darts.parts import divided
from tiler.intake.nearest import Seeker
from tiler.pattern.model import Edge, Outline, Piece, Role
from tiler.pattern.path import Path

#: The side dart is said in whole tenths of millimetres and of degrees.
SAID = 0.04


def by_sums() -> Piece:
    return drawn_by_sums("trousers", "back.svg")


def made() -> Piece:
    return drafted_piece("trousers", "Back")


def darts(piece: Piece) -> list[Dart]:
    """Towards the side first."""
    drawn = [list(line.path.nodes()) for line in piece.lines if line.role is Role.DART]
    found = [Dart(left, tip, right) for left, tip, right in drawn]
    return sorted(found, key=lambda dart: dart.tip.x)


def between(path: Path, start: float, end: float) -> Path:
    _, rest = divided(path, start)
    assert rest is not None
    part, _ = divided(rest, end - start)
    assert part is not None
    return part


def waist(outline: Outline) -> Edge:
    """The edge that both darts stand in."""
    left, right = leg_notches(outline, darts(by_sums())[0])
    assert left.letter == right.letter
    return next(edge for edge in outline.edges if edge.letter == left.letter)


@pytest.mark.parametrize("piece", [by_sums, made])
@pytest.mark.parametrize(("number", "intake", "leg"), [(0, 20, 117.2), (1, 24, 138.4)])
def test_intake_and_legs(
    piece: Callable[[], Piece], number: int, intake: float, leg: float
) -> None:
    dart = darts(piece())[number]
    assert dart.intake == pytest.approx(intake, abs=0.001)
    assert dart.legs == pytest.approx((leg, leg), abs=0.05)
    assert dart.legs[0] == pytest.approx(dart.legs[1], abs=0.001)
    depth = dart.middle.start.to(dart.middle.foot(dart.left))
    assert leg_length(intake, depth) == pytest.approx(leg, abs=0.05)


def test_a_drawn_dart_and_one_that_was_sewn_shut_lie_where_the_sums_put_them() -> None:
    """The back is traced with the side dart shut: its waist measures 20 less than the open one."""
    for ours, theirs in zip(darts(made()), darts(by_sums()), strict=True):
        ends = zip(
            (ours.left, ours.tip, ours.right), (theirs.left, theirs.tip, theirs.right), strict=True
        )
        assert max(one.to(other) for one, other in ends) < SAID
    traced = next(p for p in traced_demo("trousers").pieces if p.name == "Back")
    lengths = {e.name: e.path.length for e in traced.outlines[0].edges}
    opened = {e.name: e.path.length for e in made().stitch[0].edges}
    caps = sum(dart.intake for dart in darts(made()))
    assert lengths["waist"] == pytest.approx(200 + 24, abs=0.01)
    assert opened["waist"] == pytest.approx(200 + caps, abs=0.3)
    assert opened["side seam, placket"] == pytest.approx(200, abs=0.01)


def test_drill_marks_are_10_short_of_the_tips() -> None:
    drilled = [mark.at for mark in made().marks if mark.role is Role.DRILL]
    for dart in darts(made()):
        place = dart.drill_point(10).at
        assert min(place.to(at) for at in drilled) < 0.002


@pytest.mark.parametrize("piece", [by_sums, made])
@pytest.mark.parametrize("number", [0, 1])
def test_the_cut_line_over_a_dart_is_its_cap_pressed_to_the_centre_back(
    piece: Callable[[], Piece], number: int
) -> None:
    """The side seam comes before the waist and the seat seam after, so that is the right."""
    outline, dart = piece().outlines[0], darts(piece())[number]
    edge = waist(outline)
    left, right = leg_notches(outline, dart)
    assert (left.letter, right.letter) == (edge.letter, edge.letter)
    at_cut = Dart(left.at, dart.tip, right.at)
    before = between(edge.path, 0.0, left.distance)
    after = between(edge.path, right.distance, edge.path.length)
    drawn = Seeker(between(edge.path, left.distance, right.distance))
    cap = dart_cap(before, after, at_cut, Pressed.RIGHT)
    assert max(drawn.nearest(point).distance for point in cap.flattened(0.001)) < 0.03


def test_the_dart_with_two_tips_lies_at_the_waist_of_the_smock() -> None:
    """363 above the hem, which is 430 below the nape; 20 wide, tips 140 above and 120 below."""
    back = drafted_piece("smock", "Back")
    (line,) = (line for line in back.lines if line.role is Role.DART)
    corners = list(line.path.nodes())[:4]
    fold = next(edge for edge in back.stitch[0].edges if edge.letter == "A").path
    low, high = (pick(corners, key=lambda point: point.y) for pick in (min, max))
    left, right = (pick(corners, key=lambda point: point.x) for pick in (min, max))
    assert high.y - left.y == pytest.approx(140, abs=0.001)
    assert left.y - low.y == pytest.approx(120, abs=0.001)
    assert left.to(right) == pytest.approx(20, abs=0.001)
    assert (left.x + right.x) / 2 - fold.start.x == pytest.approx(130, abs=0.001)
    assert fold.end.y - left.y == pytest.approx(430, abs=0.001)
