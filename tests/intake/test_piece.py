"""A piece from what is drawn and what is said."""

from collections.abc import Callable

import pytest

from tiler.intake.drawn import DrawnPath
from tiler.intake.words.model import EdgeWord
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.errors import DrawingError, PatternError
from tiler.pattern.model import Finding, Lies, Piece, Role
from tiler.pattern.path import Path, circle, polyline, rectangle

Draw = Callable[..., DrawnPath]
Make = Callable[..., tuple[Piece, dict[str, Finding]]]


def said(letter: str, lies: Lies | None = None, name: str = "") -> EdgeWord:
    return EdgeWord(letter, lies, name, "pattern.toml line 7, piece Front, key hem")


def lies(piece: Piece) -> dict[str, str]:
    return {edge.letter: edge.lies.value for edge in piece.outlines[0].edges}


def test_every_kind_of_line_finds_its_place(draw: Draw, make: Make, block: Path) -> None:
    piece, findings = make(
        draw(block, Role.CUT),
        draw(rectangle(Bounds(25, 35, 95, 205)), Role.STITCH),
        draw([(60, 30), (60, 210)], Role.GRAIN),
        draw([(30, 100), (90, 100)], Role.FOLD),
        draw([(50, 220), (60, 120), (70, 220)], Role.DART),
        draw([(30, 60), (50, 60)], Role.INSIDE),
        draw([(110, 90), (104, 90)], Role.NOTCH),
        draw(circle(Point(60, 120), 1.5), Role.DRILL),
    )
    assert not findings
    assert piece.drawing == "front.svg"
    assert [line.role.value for line in piece.lines] == ["stitch", "dart", "inside", "fold"]
    assert [mark.role.value for mark in piece.marks] == ["notch", "drill"]
    assert piece.marks[0].at == (110, 90)
    assert piece.marks[1].at == pytest.approx((60, 120))
    assert piece.grain == polyline([Point(60, 30), Point(60, 210)])


class TestFoldLine:
    """A fold line on an edge puts the edge on the fold."""

    @pytest.mark.parametrize(
        "line",
        [
            [(10, 20), (10, 220)],
            [(10, 220), (10, 20)],
            [(10.4, 20), (10.4, 220)],
            [(10, 30), (10, 211)],
        ],
    )
    def test_a_fold_line_on_an_edge(
        self, draw: Draw, make: Make, block: Path, line: list[tuple[float, float]]
    ) -> None:
        piece, findings = make(draw(block, Role.CUT), draw(line, Role.FOLD))
        assert lies(piece) == {"A": "fold", "B": "sewn", "C": "sewn", "D": "sewn"}
        assert not piece.lines
        assert not findings

    def test_one_further_off_is_a_fold_inside(self, draw: Draw, make: Make, block: Path) -> None:
        piece, findings = make(draw(block, Role.CUT), draw([(10.6, 20), (10.6, 220)], Role.FOLD))
        assert lies(piece)["A"] == "sewn"
        assert [line.role for line in piece.lines] == [Role.FOLD]
        assert not findings

    def test_one_on_half_an_edge_is_told(self, draw: Draw, make: Make, block: Path) -> None:
        piece, findings = make(draw(block, Role.CUT), draw([(10, 20), (10, 120)], Role.FOLD))
        assert lies(piece)["A"] == "sewn"
        assert [line.role for line in piece.lines] == [Role.FOLD]
        assert "edge A" in findings["fold-covers-part"].text
        assert "50%" in findings["fold-covers-part"].text

    def test_one_along_two_edges_folds_both(self, draw: Draw, make: Make, block: Path) -> None:
        line = [(10, 20), (10, 220), (110, 220)]
        piece, _ = make(draw(block, Role.CUT), draw(line, Role.FOLD))
        assert lies(piece) == {"A": "fold", "B": "fold", "C": "sewn", "D": "sewn"}

    def test_a_style_folds_only_its_own_outline(self, draw: Draw, make: Make, block: Path) -> None:
        other = block.moved(Affine.scale(1, 0.9))
        piece, _ = make(
            draw(block, Role.CUT, style="long"),
            draw(other, Role.CUT, style="short"),
            draw([(10, 20), (10, 220)], Role.FOLD, style="long"),
        )
        assert [outline.edges[0].lies.value for outline in piece.outlines] == ["fold", "sewn"]


class TestMarks:
    """What a notch or a drill mark means is a point."""

    @pytest.mark.parametrize(
        "notch",
        [
            [(110, 90), (104, 90)],
            [(104, 90), (110, 90)],
            [(110.4, 90), (104, 90)],
            [(113, 90), (107, 90)],
            [(110, 88), (105, 90), (110, 92)],
        ],
    )
    def test_a_notch_means_the_place_on_the_outline(
        self, draw: Draw, make: Make, block: Path, notch: list[tuple[float, float]]
    ) -> None:
        piece, findings = make(draw(block, Role.CUT), draw(notch, Role.NOTCH))
        assert piece.marks[0].at == pytest.approx((110, 90))
        assert not findings

    def test_a_notch_that_touches_nothing_is_told(
        self, draw: Draw, make: Make, block: Path
    ) -> None:
        piece, findings = make(
            draw(block, Role.CUT), draw([(108, 90), (102, 90)], Role.NOTCH, element="<line>")
        )
        assert piece.marks[0].at == (108, 90)
        assert findings["notch-off-outline"].where == "front.svg, piece Front, <line>"
        assert "2 mm away" in findings["notch-off-outline"].text

    def test_a_notch_of_a_style_stands_on_the_line_of_the_style(
        self, draw: Draw, make: Make, block: Path
    ) -> None:
        piece, findings = make(
            draw(block, Role.CUT),
            draw([(90, 20), (90, 220)], Role.CUT, style="narrow"),
            draw([(90, 100), (84, 100)], Role.NOTCH, style="narrow"),
        )
        assert piece.marks[0].at == (90, 100)
        assert not findings
        assert piece.styles == ("narrow",)

    def test_two_crossing_strokes_are_one_drill_point(
        self, draw: Draw, make: Make, block: Path
    ) -> None:
        piece, _ = make(
            draw(block, Role.CUT),
            draw([(57, 100), (63, 100)], Role.DRILL),
            draw([(60, 97), (60, 103)], Role.DRILL),
            draw([(57, 150), (63, 150)], Role.DRILL),
            draw([(60, 147), (60, 153)], Role.DRILL),
        )
        assert [mark.at for mark in piece.marks] == [(60, 100), (60, 150)]
        assert piece.marks[0].path.bounds == (57, 97, 63, 103)


class TestGrain:
    """One straight line."""

    def test_it_keeps_the_direction_in_which_it_was_drawn(
        self, draw: Draw, make: Make, block: Path
    ) -> None:
        piece, _ = make(draw(block, Role.CUT), draw([(60, 200), (60, 40)], Role.GRAIN))
        assert piece.grain == polyline([Point(60, 200), Point(60, 40)])

    def test_nodes_on_it_go(self, draw: Draw, make: Make, block: Path) -> None:
        line = [(60, 40), (60, 90), (60, 200)]
        piece, _ = make(draw(block, Role.CUT), draw(line, Role.GRAIN))
        assert piece.grain == polyline([Point(60, 40), Point(60, 200)])

    @pytest.mark.parametrize(
        ("lines", "words"),
        [
            ([[(60, 40), (60, 200)], [(55, 190), (60, 200)]], "there are 2 grainlines"),
            ([[(60, 40), (64, 120), (60, 200)]], "the grainline is bent by 4 mm"),
            ([[(60, 40), (60, 40.2)]], "the grainline has no length"),
        ],
    )
    def test_anything_else_is_refused(
        self,
        draw: Draw,
        make: Make,
        block: Path,
        lines: list[list[tuple[float, float]]],
        words: str,
    ) -> None:
        with pytest.raises(DrawingError, match=words):
            make(draw(block, Role.CUT), *(draw(line, Role.GRAIN) for line in lines))


class TestWordsOnEdges:
    """What the maker says of edges, by their letters."""

    def test_lies_and_names(self, draw: Draw, make: Make, block: Path) -> None:
        words = (
            said("A", Lies.FOLD),
            said("D", Lies.HEM),
            said("B", Lies.RAW),
            said("D", name="hem"),
        )
        piece, _ = make(draw(block, Role.CUT), edges=words)
        assert lies(piece) == {"A": "fold", "B": "raw", "C": "sewn", "D": "hem"}
        assert piece.outlines[0].edges[3].name == "hem"

    def test_a_letter_that_is_not_there_is_told_which_are(
        self, draw: Draw, make: Make, block: Path
    ) -> None:
        with pytest.raises(PatternError) as told:
            make(draw(block, Role.CUT), edges=(said("F", Lies.HEM),))
        assert str(told.value) == (
            'pattern.toml line 7, piece Front, key hem: there is no edge "F". '
            "The outline has the edges A to D, clockwise from the lower left."
        )

    def test_an_edge_has_one_lie(self, draw: Draw, make: Make, block: Path) -> None:
        fold = draw([(10, 20), (10, 220)], Role.FOLD)
        with pytest.raises(PatternError, match="edge A has a fold line on it and is given as hem"):
            make(draw(block, Role.CUT), fold, edges=(said("A", Lies.HEM),))

    def test_fold_may_be_said_and_drawn(self, draw: Draw, make: Make, block: Path) -> None:
        fold = draw([(10, 20), (10, 220)], Role.FOLD)
        piece, _ = make(draw(block, Role.CUT), fold, edges=(said("A", Lies.FOLD),))
        assert lies(piece)["A"] == "fold"


def test_a_corner_mark_splits_an_edge_and_is_not_drawn(draw: Draw, make: Make, block: Path) -> None:
    mark = draw(circle(Point(10, 150), 0.5), corner=True)
    piece, findings = make(draw(block, Role.CUT), mark)
    assert [edge.path.length for edge in piece.outlines[0].edges] == pytest.approx(
        [130, 70, 100, 200, 100]
    )
    assert not piece.lines
    assert not piece.marks
    assert not findings


def test_a_corner_mark_off_the_outline_is_told(draw: Draw, make: Make, block: Path) -> None:
    mark = draw(circle(Point(14, 150), 0.5), corner=True, element="<circle>")
    piece, findings = make(draw(block, Role.CUT), mark)
    assert len(piece.outlines[0].edges) == 4
    assert findings["corner-off-outline"].where == "front.svg, piece Front, <circle>"


def test_lines_without_a_role_are_taken_as_inside_and_told(
    draw: Draw, make: Make, block: Path
) -> None:
    lines = [draw([(30, y), (80, y)], element=f"<line> {y}") for y in (50, 60, 70, 80)]
    piece, findings = make(draw(block, Role.CUT), *lines)
    assert [line.role for line in piece.lines] == [Role.INSIDE] * 4
    assert "<line> 50, <line> 60, <line> 70 and 1 more" in findings["role-not-said"].text


class TestLayer:
    """Several pieces in one drawing, each in a layer."""

    def test_only_the_lines_of_the_layer_count(self, draw: Draw, make: Make, block: Path) -> None:
        other = block.moved(Affine.move(150, 0))
        piece, _ = make(
            draw(block, Role.CUT, layers=("sheet", "front")),
            draw(other, Role.CUT, layers=("sheet", "back")),
            layer="back",
        )
        assert piece.bounds == other.bounds

    def test_a_layer_that_is_not_there_is_told_the_near_one(
        self, draw: Draw, make: Make, block: Path
    ) -> None:
        with pytest.raises(PatternError, match=r'no lines in a layer "fornt".*mean "front"\?'):
            make(draw(block, Role.CUT, layers=("sheet", "front")), layer="fornt")


def test_a_drawing_larger_than_a_garment_is_refused(draw: Draw, make: Make) -> None:
    with pytest.raises(DrawingError, match=r"25 by 0\.1 m"):
        make(draw(rectangle(Bounds(0, 0, 25_000, 100)), Role.CUT))


def test_coordinates_that_are_no_numbers_are_refused(draw: Draw, make: Make, block: Path) -> None:
    with pytest.raises(DrawingError, match="not a number"):
        make(draw(block, Role.CUT), draw([(0, float("nan")), (1, 1)], Role.INSIDE))


def test_more_segments_than_anybody_draws_are_refused(draw: Draw, make: Make, block: Path) -> None:
    scribble = [(20 + i % 80, 30 + i % 150) for i in range(20_002)]
    with pytest.raises(DrawingError, match="Simplify"):
        make(draw(block, Role.CUT), draw(scribble, Role.INSIDE))
