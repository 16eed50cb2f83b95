"""Lines that are drawn twice."""

from collections.abc import Callable

import pytest

from tiler.intake.doubles import without_doubles
from tiler.intake.drawn import DrawnPath
from tiler.pattern.affine import Affine, Point
from tiler.pattern.model import Finding, Piece, Role, Severity
from tiler.pattern.path import Path, circle

Draw = Callable[..., DrawnPath]
Make = Callable[..., tuple[Piece, dict[str, Finding]]]


def test_fill_and_stroke_of_one_shape_are_one_outline(draw: Draw, make: Make, block: Path) -> None:
    piece, findings = make(draw(block, element="fill"), draw(block, element="stroke"))
    assert piece.bounds == block.bounds
    assert not piece.lines
    finding = findings["drawn-twice"]
    assert finding.severity is Severity.NOTE
    assert finding.where == "front.svg, piece Front, stroke"
    assert finding.text.startswith("1 line lies exactly on another")


@pytest.mark.parametrize("start", [(10.0, 20.0), (0.0, 0.0), (-7.0004, 3.9996), (1e4, -1e4)])
@pytest.mark.parametrize(("off", "kept"), [(0.0009, 1), (-0.0009, 1), (0.0011, 2), (-0.0011, 2)])
def test_the_same_is_within_a_thousandth_of_a_millimetre(
    draw: Draw, start: tuple[float, float], off: float, kept: int
) -> None:
    line = circle(Point(*start), 5)
    for by in (Affine.move(off, 0), Affine.move(0, off)):
        paths, findings = without_doubles([draw(line), draw(line.moved(by))], "front.svg")
        assert len(paths) == kept
        assert len(findings) == 2 - kept


def test_another_role_style_or_form_is_another_line(draw: Draw) -> None:
    line = [(0, 0), (0, 100)]
    drawn = [
        draw(line),
        draw(line, Role.CUT),
        draw(line, Role.CUT, style="narrow"),
        draw(line, corner=True),
        draw([(0, 0), (0, 50), (0, 100)]),
        draw([(0, 100), (0, 0)]),
        draw([(0, 0), (0, 99)]),
    ]
    assert without_doubles(drawn, "front.svg") == (drawn, ())


def test_many_doubles_are_one_note_and_the_first_lines_stay(draw: Draw) -> None:
    lines = [draw([(0, y), (9, y)], Role.NOTCH, element=f"first {y}") for y in range(5)]
    again = [draw([(0, y), (9, y)], Role.NOTCH, element=f"again {y}") for y in range(5)]
    paths, (finding,) = without_doubles([*lines, *again], "front.svg")
    assert paths == lines
    assert finding.text.startswith("5 lines lie")
    assert finding.where == "front.svg, again 0"


def test_the_same_line_in_the_layers_of_two_pieces_is_no_double(
    draw: Draw, make: Make, block: Path
) -> None:
    both = [draw(block, Role.CUT, layers=("front",)), draw(block, Role.CUT, layers=("back",))]
    piece, findings = make(*both, layer="back")
    assert piece.bounds == block.bounds
    assert not findings
