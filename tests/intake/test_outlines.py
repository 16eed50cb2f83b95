"""Which of the drawn lines is the outline."""

from collections.abc import Callable

import pytest

from tiler.intake.drawn import DrawnPath
from tiler.intake.outlines import choose_outlines
from tiler.pattern.bounds import Bounds
from tiler.pattern.errors import DrawingError
from tiler.pattern.model import Role, Severity
from tiler.pattern.path import Path, rectangle

Draw = Callable[..., DrawnPath]
INNER = rectangle(Bounds(25, 35, 95, 205))
OPEN = [(0, 0), (0, 100), (80, 100), (80, 3)]


def test_the_closed_cut_line_is_the_outline(draw: Draw, block: Path) -> None:
    cut, stitch = draw(block, Role.CUT), draw(INNER, Role.STITCH)
    chosen = choose_outlines([stitch, cut], "front.svg")
    assert chosen.role is Role.CUT
    assert chosen.rest == (stitch,)
    ((style, ring),) = chosen.rings
    assert style == ""
    assert ring.bounds == block.bounds
    assert not chosen.findings


def test_without_a_cut_line_the_closed_stitch_line_is_the_outline(draw: Draw, block: Path) -> None:
    chosen = choose_outlines([draw(block, Role.STITCH), draw(INNER, Role.INSIDE)], "front.svg")
    assert chosen.role is Role.STITCH
    assert not chosen.findings


def test_the_only_ring_without_a_class_is_taken_as_the_line_that_fits(
    draw: Draw, block: Path
) -> None:
    chosen = choose_outlines([draw(block, element="<rect> on line 2")], "front.svg, piece Front")
    assert chosen.role is Role.STITCH
    (finding,) = chosen.findings
    assert finding.code == "outline-role-assumed"
    assert finding.severity is Severity.NOTE
    assert finding.where == "front.svg, piece Front, <rect> on line 2"
    assert "cut" in finding.text


def test_two_outlines_are_refused_by_name_and_told_of_layers(draw: Draw, block: Path) -> None:
    rings = [draw(block, Role.CUT, element="one"), draw(INNER, Role.CUT, element="two")]
    with pytest.raises(DrawingError, match=r'2 closed cut lines.*one, two.*layer = "front"'):
        choose_outlines(rings, "front.svg")


def test_two_outlines_in_layers_of_their_own_are_told_the_names(draw: Draw, block: Path) -> None:
    rings = [draw(block, layers=("page", "front")), draw(INNER, layers=("page", "back"))]
    with pytest.raises(DrawingError, match=r'closed lines without a class.*"front", "back"'):
        choose_outlines(rings, "sheet.svg")


def test_a_ring_of_a_style_beside_the_shared_one_stays_a_line(draw: Draw, block: Path) -> None:
    narrow = draw(INNER, Role.CUT, style="narrow")
    chosen = choose_outlines([draw(block, Role.CUT), narrow], "brim.svg")
    assert [style for style, _ in chosen.rings] == [""]
    assert chosen.rest == (narrow,)


def test_without_a_shared_ring_each_style_has_its_own(draw: Draw, block: Path) -> None:
    rings = [draw(block, Role.CUT, style="wide"), draw(INNER, Role.CUT, style="narrow")]
    chosen = choose_outlines(rings, "brim.svg")
    assert [style for style, _ in chosen.rings] == ["wide", "narrow"]
    assert chosen.rest == ()


def test_two_rings_of_one_style_are_refused(draw: Draw, block: Path) -> None:
    rings = [draw(block, Role.CUT, style="wide"), draw(INNER, Role.CUT, style="wide")]
    with pytest.raises(DrawingError, match="2 closed cut lines of the style wide"):
        choose_outlines(rings, "brim.svg")


@pytest.mark.parametrize("role", [Role.CUT, Role.STITCH, None])
def test_an_open_outline_is_refused_with_its_gap_and_both_ends(
    draw: Draw, role: Role | None
) -> None:
    """80 mm across and 3 mm up: the ends are sqrt(80^2 + 3^2) = 80.06 mm apart."""
    line = draw(OPEN, role, element='<path id="edge"> on line 4')
    with pytest.raises(DrawingError) as told:
        choose_outlines([line], "front.svg, piece Front")
    words = str(told.value)
    assert words.startswith('front.svg, piece Front, <path id="edge"> on line 4: ')
    for part in ("80.06 mm", "(0.00, 0.00)", "(80.00, 3.00)"):
        assert part in words


def test_a_closed_stitch_line_does_not_stand_in_for_an_open_cut_line(draw: Draw) -> None:
    with pytest.raises(DrawingError, match="the outline is open"):
        choose_outlines([draw(OPEN, Role.CUT), draw(INNER, Role.STITCH)], "front.svg")


def test_the_longest_of_several_open_lines_is_named(draw: Draw) -> None:
    apart = [(200, 0), (200, 9)]
    lines = [draw(OPEN, Role.CUT, element="long"), draw(apart, Role.CUT, element="short")]
    with pytest.raises(DrawingError, match=r"front\.svg, long: .*the longest of 2 open lines"):
        choose_outlines(lines, "front.svg")


def test_a_small_gap_is_closed_and_told(draw: Draw) -> None:
    chosen = choose_outlines([draw([*OPEN[:3], (80, 0), (0.3, 0)], Role.CUT)], "front.svg")
    (finding,) = chosen.findings
    assert finding.code == "outline-joined"
    assert "0.3 mm" in finding.text


def test_a_smaller_gap_is_closed_without_a_word(draw: Draw) -> None:
    chosen = choose_outlines([draw([*OPEN[:3], (80, 0), (0.05, 0)], Role.CUT)], "front.svg")
    assert not chosen.findings


def test_no_outline_at_all_is_told(draw: Draw) -> None:
    with pytest.raises(DrawingError, match="there is no closed outline"):
        choose_outlines([draw(OPEN, Role.INSIDE)], "front.svg")


@pytest.mark.parametrize("role", [Role.CUT, Role.STITCH, None])
def test_a_small_ring_does_not_stand_in_for_a_larger_line_left_open(
    draw: Draw, role: Role | None
) -> None:
    hole = draw(rectangle(Bounds(40, 40, 44, 44)), role)
    with pytest.raises(DrawingError, match="the outline is open"):
        choose_outlines([hole, draw(OPEN, role)], "front.svg")


@pytest.mark.parametrize("role", [Role.CUT, Role.STITCH])
def test_an_open_line_inside_the_outline_is_a_line(draw: Draw, block: Path, role: Role) -> None:
    slash = draw([(40, 60), (40, 180)], role)
    assert choose_outlines([draw(block, role), slash], "front.svg").rest == (slash,)
