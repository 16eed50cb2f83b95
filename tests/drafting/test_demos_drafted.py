"""The drafted demo pieces agree with the same pieces drawn by their own drafting sums.

Outside values: tests/data/drawn_by_sums, whose cut lines and notches were worked out by scripts
that share no code with the tool.
"""

from __future__ import annotations

import math

import pytest
import shapely

from tests.demos import DEMOS, drafted_demo, drafted_piece, drawn_by_sums, traced_demo
from tiler.drafting.checks import check
from tiler.drafting.unfold.mirror import Axis
from tiler.pattern.affine import Point
from tiler.pattern.model import Outline, Piece, Role, Severity

#: Coordinates are written to a thousandth of a millimetre on both sides, and both fit the offsets
#: of curves: within 0.035 there, within 0.02 here.
NEAR = 0.05
FLAT = 0.002

#: Corners that are meant to differ: (demo, piece) -> letter of the edge that ends at the stitch
#: corner, how far round it (mm), and why.
CORNERS = {
    ("smock", "Front"): ("B", 30.0, "the shoulder is finished square, the sums mitred it"),
    ("smock", "Back"): ("B", 30.0, "the shoulder is finished square, the sums mitred it"),
    ("apron", "Body"): (
        "C",
        30.0,
        "the armhole is mirrored as the curve it is; the sums ran it on straight",
    ),
    ("trousers", "Front pocket"): ("B", 50.0, "the waist is mirrored as the curve it is"),
    ("hat", "Crown panel"): ("A", 25.0, "the tip is a point of 20, which the sums cut off at 11"),
}
#: Drawn wider than the sums: see the closed form below.
WIDER = ("apron", "Tool pocket")
SAME = [
    (demo, piece.name)
    for demo in DEMOS
    for piece in traced_demo(demo).pieces
    if (demo, piece.name) != WIDER
]


def cut_line(piece: Piece, style: str = "") -> Outline:
    """The cut line of a style, or the first: that of the style which the outline was drawn for."""
    assert all(outline.role is Role.CUT for outline in piece.outlines)
    return next(each for each in piece.outlines if not style or each.style == style)


def furthest(one: Outline, other: Outline, spared: shapely.Geometry) -> float:
    """The largest distance from a line to the other, outside of what is spared."""
    ring = shapely.LinearRing(other.path.flattened(FLAT))
    points = shapely.points(
        shapely.segmentize(shapely.LinearRing(one.path.flattened(FLAT)), 1.0).coords
    )
    points = points[~shapely.covers(spared, points)]
    assert len(points) > 100
    return float(shapely.distance(ring, points).max())


def spared(demo: str, piece: Piece) -> shapely.Geometry:
    if (demo, piece.name) not in CORNERS:
        return shapely.Point()
    letter, reach, _ = CORNERS[demo, piece.name]
    edge = next(edge for edge in piece.stitch[0].edges if edge.letter == letter)
    return shapely.Point(edge.path.end).buffer(reach)


@pytest.mark.parametrize(("demo", "name"), SAME)
def test_cut_lines_agree_with_the_drafting_sums(demo: str, name: str) -> None:
    piece = drafted_piece(demo, name)
    made, drawn = cut_line(piece), drawn_by_sums(demo, piece.drawing).outlines[0]
    corner = spared(demo, piece)
    assert furthest(made, drawn, corner) < NEAR
    assert furthest(drawn, made, corner) < NEAR


@pytest.mark.parametrize(
    ("demo", "name", "style", "drawing"),
    [
        ("smock", "Front", "jacket", "front_jacket.svg"),
        ("smock", "Back", "jacket", "back_jacket.svg"),
        ("smock", "Sleeve", "short", "sleeve_short.svg"),
        ("trousers", "Front", "cropped", "front_cropped.svg"),
        ("trousers", "Back", "cropped", "back_cropped.svg"),
    ],
)
def test_cut_lines_of_other_styles_agree_with_the_drafting_sums(
    demo: str, name: str, style: str, drawing: str
) -> None:
    piece = drafted_piece(demo, name)
    made, drawn = cut_line(piece, style), drawn_by_sums(demo, drawing).outlines[0]
    corner = spared(demo, piece)
    assert furthest(made, drawn, corner) < NEAR
    assert furthest(drawn, made, corner) < NEAR


def test_the_narrow_brim_is_cut_along_the_arc_of_the_sums() -> None:
    (drawn,) = (
        line.path
        for line in drawn_by_sums("hat", "brim.svg").lines
        if line.role is Role.CUT and line.style == "narrow"
    )
    made = shapely.LinearRing(cut_line(drafted_piece("hat", "Brim"), "narrow").path.flattened(FLAT))
    points = shapely.points(drawn.flattened(FLAT))
    assert float(shapely.distance(made, points).max()) < NEAR


@pytest.mark.parametrize(("demo", "name"), list(CORNERS))
def test_no_more_is_spared_than_differs(demo: str, name: str) -> None:
    piece = drafted_piece(demo, name)
    drawn = drawn_by_sums(demo, piece.drawing).outlines[0]
    assert furthest(cut_line(piece), drawn, shapely.Point()) > NEAR


@pytest.mark.parametrize(
    ("demo", "name", "side", "hem", "width"),
    [("apron", "Body", "C", "D", 20), ("trousers", "Front pocket", "B", "C", 25)],
)
def test_a_curved_side_is_mirrored_as_the_curve_it_is(
    demo: str, name: str, side: str, hem: str, width: float
) -> None:
    """Turned up, our allowance lies on the cut line of the sums, as it has to; theirs does not."""
    piece = drafted_piece(demo, name)
    edges = {edge.letter: edge.path for edge in piece.stitch[0].edges}
    fold = Axis(edges[hem].start, edges[hem].end)
    drawn = drawn_by_sums(demo, piece.drawing).outlines[0]

    def off_once_turned_up(outline: Outline) -> float:
        ring = shapely.segmentize(shapely.LinearRing(outline.path.flattened(FLAT)), 0.5)
        beyond = [
            place
            for place in (Point(x, y) for x, y in ring.coords)
            if place.to(edges[side].end) < 2 * width and 0.2 < fold.offset(place) < width - 0.2
        ]
        assert len(beyond) > 20
        turned = shapely.points([fold.mirror(place) for place in beyond])
        return float(shapely.distance(shapely.LinearRing(drawn.path.flattened(FLAT)), turned).max())

    assert off_once_turned_up(cut_line(piece)) < NEAR
    assert off_once_turned_up(drawn) > 0.5


def test_the_tip_of_a_crown_panel_runs_to_a_point() -> None:
    """Two allowances of 10 at a tip of 60 degrees meet 10 / sin 30 above it."""
    piece = drafted_piece("hat", "Crown panel")
    tip = piece.stitch[0].edges[0].path.end
    assert cut_line(piece).path.bounds.top - tip.y == pytest.approx(20, abs=0.001)


def test_the_tool_pocket_is_12_wider_with_a_dart_in_its_bottom() -> None:
    """Half of it, from its numbers: 222 by 230, hem of 30, seams of 12; 12 are taken in over 80.

    Its bottom dips by 1.5 to meet the legs squarely. The cap goes on square to the leg as far as
    the middle line, so its point is leg / cos(half the dart's angle) from the tip.
    """
    piece = drafted_piece(*WIDER)
    darts = [line.path for line in piece.lines if line.role is Role.DART]
    left, tip, right = next(path for path in darts if len(path.segments) == 2).nodes()
    assert left.to(right) == pytest.approx(12, abs=0.001)
    leg, half = math.hypot(6, 80), math.atan2(6, 80)
    assert (left.to(tip), right.to(tip)) == pytest.approx((leg, leg), abs=0.001)
    made = cut_line(piece).path.bounds
    below = 1.5 + leg / math.cos(half) - 80 + 12 / math.cos(half)
    assert made.width == pytest.approx(228 + 12, abs=0.001)
    assert made.height == pytest.approx(30 + 230 + below, abs=0.1)


#: Notches that the sums have elsewhere or not at all, and those that they lack.
MOVED = {
    # At 100 from the armpit, on both styles, instead of 200.
    ("smock", "Sleeve"): (2, 4),
    # The pocket's place on the waist is told by its outline alone.
    ("trousers", "Front"): (2, 0),
    # The legs of its darts are notched.
    ("trousers", "Back"): (0, 4),
    # Its lower end meets the end of the opening.
    ("trousers", "Placket facing"): (0, 1),
}


@pytest.mark.parametrize(("demo", "name"), SAME)
def test_notches_stand_where_the_sums_put_them(demo: str, name: str) -> None:
    piece = drafted_piece(demo, name)
    made, drawn = notches(piece), notches(drawn_by_sums(demo, piece.drawing))
    without = [place for place in drawn if min(map(place.to, made), default=math.inf) > NEAR]
    more = [place for place in made if min(map(place.to, drawn), default=math.inf) > NEAR]
    assert (len(without), len(more)) == MOVED.get((demo, name), (0, 0))


def notches(piece: Piece) -> list[Point]:
    return [mark.at for mark in piece.marks if mark.role is Role.NOTCH]


@pytest.mark.parametrize("demo", DEMOS)
def test_nothing_on_the_bench_is_worth_a_warning(demo: str) -> None:
    found = [*check(drafted_demo(demo)), *drafted_demo(demo).findings]
    assert [str(each) for each in found if each.severity is not Severity.NOTE] == []
