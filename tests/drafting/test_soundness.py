"""What a person who cuts would stumble over is told, once, and nothing else."""

from dataclasses import replace

import pytest

from tiler.drafting.soundness import sound
from tiler.intake.edges import edges_of
from tiler.intake.ring import ring_from
from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.errors import PatternError
from tiler.pattern.model import (
    Cut,
    Edge,
    Finding,
    Lay,
    Lies,
    Line,
    Mark,
    Outline,
    Pattern,
    Piece,
    Role,
    Severity,
)
from tiler.pattern.path import Path, circle, polyline, rectangle
from tiler.pattern.segment import Cubic


def line(*places: tuple[float, float]) -> Path:
    return polyline([Point(*place) for place in places])


def outline(path: Path, role: Role = Role.CUT, fold: str = "", style: str = "") -> Outline:
    edges = [
        replace(edge, lies=Lies.FOLD) if edge.letter == fold else edge
        for edge in edges_of(ring_from(path, "front.svg"))
    ]
    return Outline(role, tuple(edges), style)


BLOCK = rectangle(Bounds(0, 0, 100, 200))
FRONT = Piece(
    "Front",
    (outline(BLOCK),),
    grain=line((50, 20), (50, 180)),
    cuts=(Cut(2, "main", Lay.PAIR),),
    allowance=15.0,
    drawing="front.svg",
)


def found(piece: Piece) -> list[Finding]:
    return list(sound(Pattern("Smock", (piece,))).findings)


def codes(piece: Piece) -> list[str]:
    return [finding.code for finding in found(piece)]


def test_a_piece_with_everything_said_is_sound() -> None:
    assert found(FRONT) == []


def test_the_pattern_comes_back_unchanged_but_for_its_findings() -> None:
    before = Finding("text-left-out", Severity.WARNING, "front.svg", "Text was left out.")
    pattern = Pattern("Smock", (replace(FRONT, grain=None),), findings=(before,))
    checked = sound(pattern)
    assert replace(checked, findings=(before,)) == pattern
    assert [finding.code for finding in checked.findings] == ["text-left-out", "no-grainline"]
    assert sound(checked) == checked


@pytest.mark.parametrize(
    ("change", "code", "words"),
    [
        ({"grain": None}, "no-grainline", "class grain"),
        ({"cuts": ()}, "cut-not-stated", "cut = { count = 1"),
        ({"cuts": (Cut(1, "", Lay.COPIES),)}, "cloth-not-stated", 'cloth = "main"'),
        ({"cuts": (Cut(3, "main", Lay.PAIR),)}, "pair-odd", "3 are to be cut"),
        ({"allowance": None}, "allowance-not-stated", 'allowance = "15 mm"'),
    ],
)
def test_what_is_not_said_is_asked_for(change: dict[str, object], code: str, words: str) -> None:
    (finding,) = found(replace(FRONT, **change))  # type: ignore[arg-type]
    assert finding.code == code
    assert finding.severity is Severity.WARNING
    assert finding.where == "front.svg, piece Front"
    assert words in finding.text


class TestAllowanceOfAStitchOutline:
    """The line that fits is not the line to cut."""

    piece = replace(FRONT, outlines=(outline(BLOCK, Role.STITCH),))

    def test_an_allowance_that_is_said_is_repeated(self) -> None:
        (finding,) = found(self.piece)
        assert finding.code == "allowance-not-drawn"
        assert finding.severity is Severity.NOTE
        assert "no seam allowance is drawn" in finding.text
        assert "15 mm" in finding.text

    def test_one_that_is_not_said_is_asked_for(self) -> None:
        (finding,) = found(replace(self.piece, allowance=None))
        assert finding.code == "allowance-not-drawn"
        assert finding.severity is Severity.WARNING
        assert "no seam allowance is drawn" in finding.text


class TestFold:
    """A fold is one straight edge, and laid on the fold."""

    on_fold = replace(FRONT, outlines=(outline(BLOCK, fold="A"),), cuts=(Cut(1, "main", Lay.FOLD),))

    def test_a_straight_fold_is_sound(self) -> None:
        assert found(self.on_fold) == []

    @pytest.mark.parametrize(("handle", "bulge"), [(0.2, ""), (4.0, "3 mm"), (-4.0, "3 mm")])
    def test_a_bulge_is_told_in_millimetres(self, handle: float, bulge: str) -> None:
        """With both handles h to the side a cubic bulges by 3/4 h in its middle."""
        side = Cubic(Point(0, 0), Point(handle, 60), Point(handle, 140), Point(0, 200))
        rest = line((0, 200), (100, 200), (100, 0), (0, 0)).segments
        bent = outline(Path((side, *rest), closed=True), fold="A")
        findings = found(replace(self.on_fold, outlines=(bent,)))
        assert len(findings) == bool(bulge)
        for finding in findings:
            assert finding.code == "fold-not-straight"
            assert finding.where == "front.svg, piece Front, edge A"
            assert f"bulges by {bulge}" in finding.text

    def test_to_be_cut_on_the_fold_without_a_fold_edge(self) -> None:
        assert codes(replace(FRONT, cuts=(Cut(1, "main", Lay.FOLD),))) == ["no-fold-edge"]

    def test_a_fold_edge_that_is_not_laid_on_the_fold(self) -> None:
        (finding,) = found(replace(self.on_fold, cuts=(Cut(2, "main", Lay.COPIES),)))
        assert finding.code == "fold-edge-not-laid"
        assert "Edge A" in finding.text

    def test_one_of_two_cuts_on_the_fold_is_enough(self) -> None:
        cuts = (Cut(1, "main", Lay.FOLD), Cut(2, "lining", Lay.PAIR))
        assert found(replace(self.on_fold, cuts=cuts)) == []


class TestPlaces:
    """Lines and marks belong inside of the outline."""

    @pytest.mark.parametrize(
        ("path", "reach"),
        [
            (line((50, 50), (100.9, 50)), ""),
            (line((50, 50), (103, 50)), "3 mm"),
            (line((120, 50), (130, 50)), "30 mm"),
        ],
    )
    def test_an_inside_line_that_leaves_the_piece(self, path: Path, reach: str) -> None:
        findings = found(replace(FRONT, lines=(Line(Role.INSIDE, path),)))
        assert [finding.code for finding in findings] == ["outside-outline"] * bool(reach)
        assert all(f"reaches {reach} out" in finding.text for finding in findings)
        assert all(finding.text.startswith("An inside line at (") for finding in findings)

    def test_a_line_that_bridges_a_hollow(self) -> None:
        hollow = polyline(
            [Point(0, 0), Point(0, 200), Point(50, 120), Point(100, 200), Point(100, 0)],
            closed=True,
        )
        piece = replace(FRONT, outlines=(outline(hollow),), grain=line((50, 10), (50, 100)))
        assert found(piece) == []
        across = Line(Role.INSIDE, line((2, 195), (98, 195)))
        assert codes(replace(piece, lines=(across,))) == ["outside-outline"]

    def test_a_grainline_that_a_shorter_style_cuts_off(self) -> None:
        """It ends at 180; the short style is 120 high."""
        short = rectangle(Bounds(0, 0, 100, 120))
        nest = (outline(BLOCK, style="long"), outline(short, style="short"))
        (finding,) = found(replace(FRONT, outlines=nest))
        assert finding.code == "grain-outside-style"
        assert "style short" in finding.where
        assert "reaches 60 mm out" in finding.text
        inside = replace(FRONT, outlines=nest, grain=line((50, 20), (50, 110)))
        assert found(inside) == []

    def test_a_drill_mark_on_the_fold_has_its_other_half_on_the_other_side(self) -> None:
        mark = Mark(Role.DRILL, Point(0, 50), circle(Point(0, 50), 1.5))
        piece = replace(
            FRONT, outlines=(outline(BLOCK, fold="A"),), cuts=(Cut(1, "main", Lay.FOLD),)
        )
        assert found(replace(piece, marks=(mark,))) == []
        assert codes(replace(FRONT, marks=(mark,))) == ["outside-outline"]

    def test_a_grainline_and_a_drill_mark_outside(self) -> None:
        mark = Mark(Role.DRILL, Point(110, 50), circle(Point(110, 50), 1.5))
        piece = replace(FRONT, marks=(mark,), grain=line((50, 20), (50, 230)))
        texts = [finding.text for finding in found(piece)]
        assert len(texts) == 2
        assert texts[0].startswith("A drill mark at (111.5, 50.0) mm reaches 11.5 mm out")
        assert texts[1].startswith("The grainline at (50.0, 20.0) mm reaches 30 mm out")

    def test_a_stitch_line_may_run_along_the_cut_line_but_not_past_it(self) -> None:
        on_edge = Line(Role.STITCH, rectangle(Bounds(0, 15, 85, 185)))
        assert found(replace(FRONT, lines=(on_edge,))) == []
        past = Line(Role.STITCH, rectangle(Bounds(-0.5, 15, 85, 185)))
        (finding,) = found(replace(FRONT, lines=(past,)))
        assert finding.code == "stitch-crosses-cut"
        assert "0.5 mm past the cut line" in finding.text

    def test_a_cut_line_of_a_style_may_lie_outside(self) -> None:
        wide = Line(Role.CUT, line((120, 0), (120, 200)), "wide")
        assert found(replace(FRONT, lines=(wide,))) == []

    def test_a_line_of_a_style_is_held_against_the_outline_of_the_style(self) -> None:
        outlines = (
            outline(BLOCK, style="wide"),
            outline(rectangle(Bounds(0, 0, 70, 200)), style="narrow"),
        )
        path = line((75, 50), (90, 50))
        piece = replace(FRONT, outlines=outlines)
        assert found(replace(piece, lines=(Line(Role.INSIDE, path, "wide"),))) == []
        assert codes(replace(piece, lines=(Line(Role.INSIDE, path, "narrow"),))) == [
            "outside-outline"
        ]


def test_an_outline_that_crosses_itself_is_refused_with_file_piece_and_edges() -> None:
    bow = (
        Edge("A", line((0, 0), (100, 100))),
        Edge("B", line((100, 100), (100, 0))),
        Edge("C", line((100, 0), (0, 50))),
        Edge("D", line((0, 50), (0, 0))),
    )
    with pytest.raises(PatternError, match=r"^front\.svg, piece Front, edges A and C: "):
        sound(Pattern("Smock", (replace(FRONT, outlines=(Outline(Role.CUT, bow),)),)))


@pytest.mark.parametrize("bad", [float("nan"), float("inf")])
def test_a_line_whose_coordinates_are_no_numbers_is_refused(bad: float) -> None:
    piece = replace(FRONT, lines=(Line(Role.INSIDE, line((1, 1), (bad, 2))),))
    with pytest.raises(PatternError, match=r"^front\.svg, piece Front: a coordinate"):
        found(piece)


def test_a_line_without_length_does_no_harm() -> None:
    dot = Line(Role.INSIDE, line((50, 50), (50, 50)))
    assert found(replace(FRONT, lines=(dot,))) == []
