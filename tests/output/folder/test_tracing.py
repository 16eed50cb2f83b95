"""A captured drawing is written so that reading it gives the same lines."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from tiler.intake.drawn import DrawnPath, DrawnSheet
from tiler.intake.svg import read_svg
from tiler.output.folder.tracing import tracing_svg
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Role
from tiler.pattern.path import Path, circle, polyline
from tiler.pattern.segment import Cubic, Straight

OUTLINE = Path(
    (
        Straight(Point(10, 10), Point(310.1234, 10)),
        Cubic(Point(310.1234, 10), Point(320, 100), Point(290, 200), Point(300, 410.5)),
        Straight(Point(300, 410.5), Point(10, 10)),
    ),
    closed=True,
)


def drawn(path: Path, role: Role | None = None, style: str = "", corner: bool = False) -> DrawnPath:
    return DrawnPath(path, role, style, corner, "line in the photo", ())


LINES = (
    drawn(OUTLINE),
    drawn(polyline([Point(20, 20), Point(100, 300), Point(200, 20)], closed=True), style="short"),
    drawn(circle(Point(310.1234, 10), 0.5), corner=True),
    drawn(polyline([Point(50, 50), Point(50.5, 350)]), Role.GRAIN),
    drawn(polyline([Point(60, 60), Point(70, 300), Point(90, 310)]), Role.INSIDE, "short"),
    drawn(polyline([Point(10, 10), Point(10, 18)]), Role.NOTCH),
)
SHEET = DrawnSheet("smock", 330.4, 420.7, LINES, ())


def test_every_line_comes_back_with_its_role_and_style() -> None:
    """Within a thousandth of a millimetre, which is what is written."""
    again = read_svg(tracing_svg(SHEET).encode(), "smock.svg")
    assert [(p.role, p.style, p.corner) for p in again.paths] == [
        (p.role, p.style, p.corner) for p in LINES
    ]
    for one, other in zip(LINES, again.paths, strict=True):
        assert one.path.closed == other.path.closed
        if not one.corner:
            nodes = zip(one.path.nodes(), other.path.nodes(), strict=True)
            assert max(a.to(b) for a, b in nodes) < 0.001
        assert one.path.bounds.centre.to(other.path.bounds.centre) < 0.001
    assert again.findings == ()


def test_an_outline_that_nobody_has_spoken_of_gets_no_class() -> None:
    """As any program would read it, too: the page is at true size and one unit is 1 mm."""
    root = ET.fromstring(tracing_svg(SHEET))
    assert root.get("width") == "331mm"
    assert root.get("viewBox") == "0 0 331 421"
    first = root.find("{http://www.w3.org/2000/svg}g")
    assert first is not None
    assert first[0].get("class") is None
    assert first[1].get("class") == "style:short"


def test_a_style_of_two_words_is_refused() -> None:
    """A class holds none."""
    sheet = DrawnSheet("smock", 330, 420, (drawn(OUTLINE, style="very short"),), ())
    with pytest.raises(PatternError, match="one word"):
        tracing_svg(sheet)
