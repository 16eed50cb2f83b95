"""Outlines drawn in parts.

What must hold: parts that close round in one way only are one outline, whatever their order and
direction, with the area that the shoelace formula gives; else the message names the place.
"""

import random
from collections.abc import Callable, Sequence
from itertools import pairwise

import pytest

from tiler.intake.drawn import DrawnPath
from tiler.intake.outlines import choose_outlines
from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.errors import DrawingError
from tiler.pattern.model import Finding, Piece, Role, Severity
from tiler.pattern.path import Path, rectangle
from tiler.pattern.segment import Cubic

Draw = Callable[..., DrawnPath]
Make = Callable[..., tuple[Piece, dict[str, Finding]]]
Places = Sequence[tuple[float, float]]
#: An apron's half: 80 mm across, 100 mm up, one corner taken off.
CORNERS = [(0.0, 0.0), (0.0, 100.0), (50.0, 100.0), (80.0, 60.0), (80.0, 0.0)]


def shoelace(places: Places) -> float:
    """Area by the surveyor's formula (Meister 1769), a textbook closed form."""
    ring = [*places, places[0]]
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairwise(ring))) / 2


def parts(places: Places = CORNERS) -> list[Places]:
    return [[a, b] for a, b in pairwise([*places, places[0]])]


@pytest.mark.parametrize("role", [Role.CUT, Role.STITCH, None])
@pytest.mark.parametrize("seed", range(8))
def test_parts_in_any_order_and_direction_make_one_outline(
    draw: Draw, role: Role | None, seed: int
) -> None:
    chance = random.Random(seed)
    lines = [draw(part[:: chance.choice((1, -1))], role) for part in parts()]
    chance.shuffle(lines)
    slash = draw([(20, 20), (20, 40)], Role.INSIDE)
    chosen = choose_outlines([*lines, slash], "front.svg, piece Front")
    assert chosen.role is (role or Role.STITCH)
    assert chosen.rest == (slash,)
    ((_, ring),) = chosen.rings
    assert -ring.area == pytest.approx(shoelace(CORNERS))
    assert len(ring.segments) == 5
    finding = chosen.findings[0]
    assert finding.code == "outline-chained"
    assert finding.severity is Severity.NOTE
    assert finding.where == "front.svg, piece Front, <path>"
    assert "5 lines" in finding.text


def test_the_piece_has_the_edges_of_the_outline(draw: Draw, make: Make) -> None:
    piece, findings = make(*(draw(part, Role.CUT) for part in parts()))
    assert [edge.letter for edge in piece.outlines[0].edges] == ["A", "B", "C", "D", "E"]
    assert [edge.path.length for edge in piece.outlines[0].edges] == pytest.approx(
        [100, 50, 50, 60, 80]
    )
    assert list(findings) == ["outline-chained"]


def test_curves_keep_their_form(draw: Draw) -> None:
    """Area under y = x(80 - x)/80 from 0 to 80 is 80^2/6, and the curve is that parabola."""
    hollow = Path(
        (Cubic(Point(0, 0), Point(80 / 3, 80 / 3), Point(160 / 3, 80 / 3), Point(80, 0)),)
    )
    rest = [(80, 0), (80, 90), (0, 90), (0, 0)]
    chosen = choose_outlines([draw(rest, Role.CUT), draw(hollow, Role.CUT)], "front.svg")
    assert -chosen.rings[0][1].area == pytest.approx(80 * 90 - 80**2 / 6)


@pytest.mark.parametrize(("gap", "chains"), [(0.049, True), (0.051, False)])
def test_ends_meet_within_a_twentieth_of_a_millimetre(draw: Draw, gap: float, chains: bool) -> None:
    lines = [
        draw([(0, 0), (0, 100), (80, 100)], Role.CUT),
        draw([(80, 100 - gap), (80, 0), (0, 0)], Role.CUT),
    ]
    if chains:
        ((_, ring),) = choose_outlines(lines, "front.svg").rings
        assert all(a.end == b.start for a, b in pairwise([*ring.segments, ring.segments[0]]))
        assert ring.bounds.top == pytest.approx(100, abs=gap)
        return
    with pytest.raises(DrawingError, match=r"2 lines touch.*are 0\.05 mm apart"):
        choose_outlines(lines, "front.svg")


def test_one_gap_among_many_parts_is_where_it_is_told(draw: Draw) -> None:
    """The last part is drawn too short: 77 mm of 80, so 3 mm are missing at (3, 0)."""
    lines = [draw(part, Role.CUT) for part in [*parts()[:-1], [(80, 0), (3, 0)]]]
    with pytest.raises(DrawingError) as told:
        choose_outlines(lines, "front.svg")
    for words in ("5 lines touch end to end", "3 mm apart", "(0.00, 0.00)", "(3.00, 0.00)"):
        assert words in str(told.value)


@pytest.mark.parametrize("role", [Role.CUT, Role.STITCH, None])
def test_a_fork_is_refused_by_its_place(draw: Draw, role: Role | None) -> None:
    lines = [draw(part, role, element=f"line {n}") for n, part in enumerate(parts())]
    slash = draw([(50, 100), (50, 40)], role, element="slash")
    with pytest.raises(DrawingError) as told:
        choose_outlines([*lines, slash], "front.svg")
    assert "more than two of them meet at (50.00, 100.00) mm" in str(told.value)
    assert "line 1, line 2, slash" in str(told.value)
    assert "the class inside" in str(told.value)


def test_lines_of_different_roles_do_not_chain(draw: Draw) -> None:
    roles = [Role.CUT, Role.CUT, Role.CUT, Role.STITCH, Role.CUT]
    lines = [draw(part, role) for part, role in zip(parts(), roles, strict=True)]
    with pytest.raises(DrawingError, match="the outline is open"):
        choose_outlines(lines, "front.svg")


def test_every_style_may_have_an_outline_in_parts(draw: Draw) -> None:
    wide = [draw(part, Role.CUT, style="wide") for part in parts()]
    narrow = [draw([(x / 2, y) for x, y in part], Role.CUT, style="narrow") for part in parts()]
    chosen = choose_outlines([*wide, *narrow], "brim.svg")
    assert [style for style, _ in chosen.rings] == ["wide", "narrow"]
    assert chosen.rest == ()


def test_a_line_of_a_style_beside_a_shared_outline_in_parts_stays_a_line(draw: Draw) -> None:
    narrow = draw([(40, 0), (40, 100)], Role.CUT, style="narrow")
    chosen = choose_outlines([narrow, *(draw(p, Role.CUT) for p in parts())], "brim.svg")
    assert [style for style, _ in chosen.rings] == [""]
    assert chosen.rest == (narrow,)


def test_a_pocket_in_parts_inside_a_closed_outline_stays_lines(draw: Draw, block: Path) -> None:
    pocket = [draw(part, Role.CUT) for part in parts([(30, 40), (30, 60), (50, 60), (50, 40)])]
    chosen = choose_outlines([draw(block, Role.CUT), *pocket], "front.svg")
    assert chosen.rest == tuple(pocket)
    assert not chosen.findings


def test_a_closed_pocket_does_not_stand_in_for_an_outline_in_parts(draw: Draw) -> None:
    pocket = draw(rectangle(Bounds(5, 5, 75, 95)))
    with pytest.raises(DrawingError, match="2 closed lines without a class"):
        choose_outlines([pocket, *(draw(part) for part in parts())], "front.svg")
    # The same with a part missing: none of the others is as large as the pocket.
    with pytest.raises(DrawingError, match="the outline is open: 4 lines"):
        choose_outlines([pocket, *(draw(part) for part in parts()[1:])], "front.svg")


def test_there_and_back_again_is_no_outline(draw: Draw) -> None:
    lines = [draw([(0, 0), (0, 100)], Role.CUT), draw([(0, 100), (0, 0)], Role.CUT)]
    with pytest.raises(DrawingError, match="the outline is open"):
        choose_outlines(lines, "front.svg")
