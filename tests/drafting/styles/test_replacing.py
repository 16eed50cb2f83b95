"""A style's line in the place of an edge: shapes, letters, and what they keep."""

from __future__ import annotations

import pytest
import shapely

from tests.drafting.styles.bodies import body, line, piece_of, shape
from tiler.drafting.styles import with_styles
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Lies, Line, Outline, Piece, Role
from tiler.pattern.path import Path, circle, polyline
from tiler.pattern.segment import Cubic

#: A left, B top, C right, D bottom.
SQUARE = body((0, 0), (0, 300), (200, 300), (200, 0), lies={"A": Lies.FOLD, "D": Lies.HEM})


def rings(piece: Piece) -> dict[str, Outline]:
    made, findings = with_styles(piece)
    assert findings == ()
    return {outline.style: outline for outline in made.stitch}


def letters(outline: Outline) -> str:
    return " ".join(edge.letter for edge in outline.edges)


def corners(outline: Outline) -> list[tuple[float, float]]:
    return [(round(e.path.start.x, 9), round(e.path.start.y, 9)) for e in outline.edges]


def test_a_line_between_two_edges_trims_them() -> None:
    piece = piece_of(SQUARE, [line("short", (0, 60), (200, 80))], {"short": "D", "long": "D"})
    found = rings(piece)
    assert corners(found["long"]) == corners(SQUARE)
    assert corners(found["short"]) == [(0, 60), (0, 300), (200, 300), (200, 80)]
    assert letters(found["short"]) == "A B C D"
    assert [edge.lies for edge in found["short"].edges] == [e.lies for e in SQUARE.edges]
    assert found["short"].edges[1] == SQUARE.edges[1]


def test_the_way_in_which_a_line_is_drawn_does_not_matter() -> None:
    one = piece_of(SQUARE, [line("short", (0, 60), (200, 80))], {"short": "D"})
    other = piece_of(SQUARE, [line("short", (200, 80), (0, 60))], {"short": "D"})
    assert rings(one) == rings(other)


def test_ends_within_half_a_millimetre_are_moved_onto_the_outline() -> None:
    piece = piece_of(SQUARE, [line("short", (0.4, 60), (199.6, 80))], {"short": "D"})
    assert corners(rings(piece)["short"]) == [(0, 60), (0, 300), (200, 300), (200, 80)]


def test_a_longer_hem_carries_the_sides_and_the_fold_on() -> None:
    longer = line("long", (0, 0), (0, -80), (200, -80), (200, 0))
    found = rings(piece_of(SQUARE, [longer], {"long": "D"}))["long"]
    assert letters(found) == "A B C D"
    assert corners(found) == [(0, -80), (0, 300), (200, 300), (200, -80)]
    assert [edge.lies for edge in found.edges] == [Lies.FOLD, Lies.SEWN, Lies.SEWN, Lies.HEM]


def test_a_line_with_corners_is_lettered_in_a_row() -> None:
    stepped = line("notched", (200, 300), (150, 250), (100, 290), (0, 300))
    found = rings(piece_of(SQUARE, [stepped], {"notched": "B"}))["notched"]
    assert letters(found) == "A B B2 B3 C D"
    assert {edge.name for edge in found.edges[1:4]} == {"name of B"}


def test_two_edges_replaced_by_two_keep_their_letters() -> None:
    both = line("wide", (0, 300), (260, 320), (200, 0))
    found = rings(piece_of(SQUARE, [both], {"wide": "BC"}))["wide"]
    assert letters(found) == "A B C D"
    assert corners(found) == [(0, 0), (0, 300), (260, 320), (200, 0)]


def test_a_fuller_leg_leaves_its_side_without_a_corner() -> None:
    flare = Path((Cubic(Point(200, 200), Point(200, 130), Point(230, 60), Point(240, 0)),))
    hem = line("full", (240, 0), (200, 0))
    piece = piece_of(SQUARE, [Line(Role.STITCH, flare, "full"), hem], {"full": "CD"})
    found = rings(piece)["full"]
    assert letters(found) == "A B C D"
    assert found.edges[2].path.start == Point(200, 300)
    assert found.edges[2].path.end == Point(240, 0)
    assert corners(found)[3] == (240, 0)


def test_both_shoulders_are_replaced_one_after_the_other() -> None:
    house = body((0, 0), (0, 200), (60, 240), (140, 240), (200, 200), (200, 0))
    lines = [line("sloped", (0, 190), (60, 240)), line("sloped", (200, 190), (140, 240))]
    found = rings(piece_of(house, lines, {"sloped": "BD"}))["sloped"]
    assert letters(found) == "A B C D E F"
    assert corners(found) == [(0, 0), (0, 190), (60, 240), (140, 240), (200, 190), (200, 0)]


def test_a_line_in_the_middle_of_one_edge_makes_three_of_it() -> None:
    scoop = line("scooped", (50, 300), (100, 250), (150, 300))
    found = rings(piece_of(SQUARE, [scoop], {"scooped": "B"}))["scooped"]
    assert letters(found) == "A B B2 B3 B4 C D"
    assert shape(found.path).area == pytest.approx(200 * 300 - 100 * 50 / 2)


def test_lines_that_became_edges_are_drawn_no_more_and_others_stay() -> None:
    stays = Line(Role.INSIDE, line("short", (50, 100), (80, 100)).path, "short")
    piece = piece_of(SQUARE, [line("short", (0, 60), (200, 80)), stays], {"short": "D"})
    assert with_styles(piece)[0].lines == (stays,)


def test_a_style_without_a_line_is_the_body() -> None:
    found = rings(piece_of(SQUARE, [], {"plain": "D"}))["plain"]
    assert found.edges == SQUARE.edges


def test_a_line_of_a_style_that_is_not_wished_for_is_told() -> None:
    drawn = line("short", (0, 60), (200, 80))
    made, findings = with_styles(piece_of(SQUARE, [drawn], {}))
    assert made.lines == (drawn,)
    assert [finding.code for finding in findings] == ["style-line-only"]
    assert "front.svg" in str(findings[0])


CUT = Outline(Role.CUT, SQUARE.edges)


def test_a_cut_line_alone_also_gives_the_stitch_line() -> None:
    from tiler.drafting.cutlines import with_stitch

    lines = [line("short", (0, 60), (200, 60), role=Role.CUT)]
    piece = with_stitch(piece_of(CUT, lines, {"short": "D", "long": "D"}))
    made, _ = with_styles(piece)
    assert [outline.style for outline in made.outlines] == ["short", "long"]
    assert made.outlines[0].path.area == pytest.approx(-200 * 240)
    # 10 mm inside of each edge, none on the fold.
    assert shapely.equals_exact(
        shapely.normalize(shape(made.stitch[0].path)),
        shapely.normalize(shapely.box(0, 70, 190, 290)),
        1e-6,
    )
    assert made.stitch[1].edges == piece.stitch[0].edges


@pytest.mark.parametrize(
    ("lines", "styles", "words"),
    [
        (
            [line("short", (0, 60), (190, 60))],
            {"short": "D"},
            ("(190.0, 60.0)", "10 mm from the stitch line"),
        ),
        ([line("short", (0, 60), (200, 60))], {"short": "X"}, ('no edge "X"', "A, B, C, D")),
        (
            [line("short", (0, 60), (200, 60))],
            {"short": "C"},
            ("edge C", "does not lie between the ends"),
        ),
        (
            [line("short", (0, 300), (100, 0))],
            {"short": "B"},
            ("goes past edge C", "not said to replace"),
        ),
        (
            [line("short", (0, 60), (200, 60))],
            {"short": "BD"},
            ("edge B", "none of its lines replaces it"),
        ),
        (
            [line("short", (0, 60), (100, 320), (200, 60))],
            {"short": "D"},
            ("cross or touch", "Draw the line clear"),
        ),
        ([line("short", (0, 60), (200, 60), role=Role.CUT)], {"short": "D"}, ("is a cut line",)),
        (
            [
                Line(
                    Role.STITCH,
                    Path(line("short", (0, 0), (0, 99), (99, 0), (0, 0)).path.segments, True),
                    "short",
                )
            ],
            {"short": "D"},
            ("its line is closed",),
        ),
    ],
)
def test_what_cannot_be_is_refused_with_its_place(
    lines: list[Line], styles: dict[str, str], words: tuple[str, ...]
) -> None:
    with pytest.raises(PatternError) as caught:
        with_styles(piece_of(SQUARE, lines, styles))
    told = str(caught.value)
    for word in (*words, "front.svg", "piece Front", "style short"):
        assert word in told


def test_a_line_that_fits_both_ways_is_told() -> None:
    """A half moon of radius 100: from the middle of its curve to the straight side, 60 up.

    The part below is 60 and a quarter of the circle, 157.08; the part above 140 and the same.
    """
    right, _, _, bottom = circle(Point(0, 100), 100).segments
    bow = Path((*Path((right,)).reversed().segments, *Path((bottom,)).reversed().segments))
    moon = Outline(
        Role.STITCH,
        (Edge("A", polyline([Point(0, 0), Point(0, 200)]), Lies.FOLD), Edge("B", bow)),
    )
    own = line("short", (0, 60), (100, 100))
    made, findings = with_styles(piece_of(moon, [own], {"long": "B", "short": "B"}))
    (told,) = (finding for finding in findings if finding.code == "style-line-both-ways")
    assert "217.1 mm" in told.text
    assert "297.1 mm" in told.text
    short = next(ring for ring in made.stitch if ring.style == "short")
    assert short.path.bounds.bottom == pytest.approx(60)
    plain = with_styles(piece_of(body((0, 0), (0, 90), (90, 90), (90, 0)), [], {"long": "B"}))
    assert plain[1] == ()
