"""A half piece unfolds into the whole that the cloth has when it is opened.

Outside values: the area of the flattened outline by shapely, lengths by scipy's quadrature, and
hand-computed rectangles.
"""

import math
from dataclasses import replace

import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn
from scipy.integrate import quad

from tests.demos import DEMOS, pattern_of_demo
from tests.strategies import lengths, paths
from tiler.drafting.soundness import sound
from tiler.drafting.unfold.meetings import fold_angles
from tiler.drafting.unfold.mirror import Axis
from tiler.drafting.unfold.whole import unfolded
from tiler.intake.edges import edges_of
from tiler.intake.ring import ring_from
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.errors import PatternError
from tiler.pattern.model import (
    Cut,
    Edge,
    Lay,
    Lies,
    Line,
    Mark,
    Outline,
    Pattern,
    Piece,
    Role,
)
from tiler.pattern.path import Path, circle, polyline, rectangle
from tiler.pattern.segment import Cubic, Straight, turn_between


def line(*places: tuple[float, float]) -> Path:
    return polyline([Point(*place) for place in places])


def ring(*places: tuple[float, float]) -> Path:
    return polyline([Point(*place) for place in places], closed=True)


def half(path: Path, fold: str = "A", style: str = "", **names: str) -> Outline:
    """An outline with one edge on the fold and names by letter."""
    edges = tuple(
        replace(
            edge,
            name=names.get(edge.letter, ""),
            lies=Lies.FOLD if edge.letter == fold else edge.lies,
        )
        for edge in edges_of(ring_from(path, "front.svg"))
    )
    return Outline(Role.CUT, edges, style)


BLOCK = rectangle(Bounds(0, 0, 100, 200))
APRON = Piece(
    "Bib",
    (half(BLOCK, A="centre front", B="top", C="side", D="bottom"),),
    grain=line((50, 20), (50, 180)),
    cuts=(Cut(1, "main", Lay.FOLD), Cut(2, "lining", Lay.PAIR)),
    allowance=10.0,
    notes=("Turn the top under.",),
    drawing="bib.svg",
)


@st.composite
def half_pieces(draw: DrawFn) -> Piece:
    """A half piece, star-shaped about the middle of its fold, somewhere and turned anyhow."""
    tall = draw(lengths(80, 300))
    count = draw(st.integers(1, 5))
    corners = [Point(0, tall)]
    for number in range(count):
        bearing = 80 - 160 * (number + draw(lengths(0.05, 0.95))) / count
        reach = draw(lengths(60, 300))
        turn = Affine.turn(bearing).then(Affine.move(0, tall / 2))
        corners.append(turn(Point(reach, 0)))
    corners.append(Point(0, 0))
    edges = [Edge("A", line((0, 0), (0, tall)), Lies.FOLD)]
    for number in range(len(corners) - 1):
        path = draw(paths(corners[number], corners[number + 1], bend=0.1))
        edges.append(Edge("BCDEFGH"[number], path, name=f"edge {number}"))
    outline = Outline(Role.CUT, tuple(edges))
    points = outline.path.flattened(0.02)
    assume(min(point.x for point in points) > -1e-9)
    assume(shapely.Polygon(points).is_valid)
    mark = Mark(Role.DRILL, Point(10, tall / 2), circle(Point(10, tall / 2), 1.5))
    inside = Line(Role.INSIDE, line((5, tall / 3), (20, tall / 2), (0, tall / 2)))
    piece = Piece("Front", (outline,), (inside,), (mark,), cuts=(Cut(1, "main", Lay.FOLD),))
    return _moved(
        piece,
        Affine.turn(draw(st.floats(-180, 180))).then(
            Affine.move(draw(lengths(-500, 500)), draw(lengths(-500, 500)))
        ),
    )


def _moved(piece: Piece, by: Affine) -> Piece:
    return replace(
        piece,
        outlines=tuple(
            replace(o, edges=tuple(replace(e, path=e.path.moved(by)) for e in o.edges))
            for o in piece.outlines
        ),
        lines=tuple(replace(each, path=each.path.moved(by)) for each in piece.lines),
        marks=tuple(replace(m, at=by(m.at), path=m.path.moved(by)) for m in piece.marks),
    )


def length_by_quadrature(path: Path) -> float:
    total = 0.0
    for segment in path.segments:
        speed = segment.speed
        total += quad(lambda t, speed=speed: math.hypot(*speed(t)), 0, 1, limit=200)[0]
    return total


def fold_of(piece: Piece) -> Axis:
    path = piece.outlines[0].edges[0].path
    return Axis(path.start, path.end)


@given(half_pieces())
def test_the_area_doubles(piece: Piece) -> None:
    before = shapely.Polygon(piece.outlines[0].path.flattened(0.01)).area
    whole = unfolded(piece).outlines[0]
    after = shapely.Polygon(whole.path.flattened(0.01)).area
    assert after == pytest.approx(2 * before, rel=1e-9)
    assert whole.path.area == pytest.approx(2 * piece.outlines[0].path.area, rel=1e-9)
    assert whole.path.area < 0, "clockwise"


@given(half_pieces())
def test_the_perimeter_is_twice_what_is_not_fold(piece: Piece) -> None:
    outline = piece.outlines[0]
    open_edges = sum(length_by_quadrature(e.path) for e in outline.edges if e.lies is not Lies.FOLD)
    whole = unfolded(piece).outlines[0]
    assert length_by_quadrature(whole.path) == pytest.approx(2 * open_edges, rel=1e-8)
    assert all(edge.lies is not Lies.FOLD for edge in whole.edges)


@given(half_pieces())
def test_the_half_on_one_side_of_the_line_is_the_original(piece: Piece) -> None:
    outline, axis = piece.outlines[0], fold_of(piece)
    whole = unfolded(piece).outlines[0]
    for edge in outline.edges[1:]:
        for drawn in edge.path.segments:
            nearest = min(
                max(a.to(b) for a, b in zip(drawn, made, strict=True))
                for made in whole.path.segments
                if len(made) == len(drawn)
            )
            assert nearest < 1e-6
    x, y = axis.direction
    far = 2000.0
    start = Point(axis.start.x - far * x, axis.start.y - far * y)
    end = Point(axis.end.x + far * x, axis.end.y + far * y)
    side = shapely.Polygon(
        [start, end, (end.x + far * y, end.y - far * x), (start.x + far * y, start.y - far * x)]
    )
    kept = shapely.Polygon(whole.path.flattened(0.01)).intersection(side)
    drawn_half = shapely.Polygon(outline.path.flattened(0.01))
    assert kept.symmetric_difference(drawn_half).area < 1e-6


@given(half_pieces())
def test_the_whole_is_its_own_mirror_image(piece: Piece) -> None:
    whole, mirror = unfolded(piece), fold_of(piece).mirror
    for path in (whole.outlines[0].path, *(each.path for each in whole.lines)):
        nodes = list(path.nodes())
        for node in nodes:
            assert min(mirror(node).to(other) for other in nodes) < 1e-6
    assert len(whole.marks) == 2


@given(half_pieces())
def test_the_ring_is_unbroken_and_every_half_edge_keeps_its_name(piece: Piece) -> None:
    whole = unfolded(piece).outlines[0]
    segments = whole.path.segments
    assert all(a.end == b.start for a, b in zip(segments, segments[1:] + segments[:1], strict=True))
    assert [edge.letter for edge in whole.edges] == list("ABCDEFGHIJKLMNOP"[: len(whole.edges)])
    drawn = {edge.name: length_by_quadrature(edge.path) for edge in piece.outlines[0].edges[1:]}
    for name, length in drawn.items():
        parts = [e.path for e in whole.edges if e.name == name]
        assert sum(map(length_by_quadrature, parts)) == pytest.approx(2 * length, rel=1e-8)


def test_a_rectangle_becomes_one_twice_as_wide() -> None:
    whole = unfolded(APRON)
    (outline,) = whole.outlines
    assert outline.path.bounds == Bounds(-100, 0, 100, 200)
    told = [(e.letter, e.name, e.path.start, e.path.length, e.lies) for e in outline.edges]
    assert told == [
        ("A", "side", (-100, 0), 200, Lies.SEWN),
        ("B", "top", (-100, 200), 200, Lies.SEWN),
        ("C", "side", (100, 200), 200, Lies.SEWN),
        ("D", "bottom", (100, 0), 200, Lies.SEWN),
    ]


def test_the_fold_becomes_a_line_and_all_that_is_said_stays() -> None:
    whole = unfolded(APRON)
    assert whole.lines == (Line(Role.FOLD, line((0, 0), (0, 200))),)
    assert whole.cuts == (Cut(1, "main", Lay.COPIES), Cut(2, "lining", Lay.PAIR))
    kept = ("name", "grain", "allowance", "notes", "drawing")
    assert [getattr(whole, k) for k in kept] == [getattr(APRON, k) for k in kept]


def test_a_curve_that_meets_the_fold_squarely_is_one_smooth_edge() -> None:
    neck = Cubic(Point(0, 150), Point(40, 150), Point(70, 170), Point(80, 200))
    path = Path((Straight(Point(0, 0), Point(0, 150)), neck, *line(
        (80, 200), (120, 190), (120, 0), (0, 0)).segments), closed=True)  # fmt: skip
    (outline,) = unfolded(replace(APRON, outlines=(half(path, B="neck"),))).outlines
    (edge,) = (edge for edge in outline.edges if edge.name == "neck")
    assert edge.path.length == pytest.approx(2 * length_by_quadrature(Path((neck,))), rel=1e-9)
    first, second = edge.path.segments
    assert turn_between(first, second) == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(("drop", "edges"), [(10, 1), (25, 1), (30, 2), (120, 2)])
def test_a_corner_at_the_fold_parts_the_edge_by_the_rule_of_drawn_corners(
    drop: float, edges: int
) -> None:
    """Opened, a line that falls by d over 100 turns by 2 atan(d / 100): 30 degrees at 26.8."""
    path = ring((0, 0), (0, 200), (100, 200 - drop), (100, 0))
    (outline,) = unfolded(replace(APRON, outlines=(half(path, B="neck"),))).outlines
    assert sum(edge.name == "neck" for edge in outline.edges) == edges


def test_a_corner_that_a_mark_made_stays_a_corner_on_both_sides() -> None:
    marked = Outline(
        Role.CUT,
        (
            Edge("A", line((0, 0), (0, 200)), Lies.FOLD),
            Edge("B", line((0, 200), (100, 200))),
            Edge("C", line((100, 200), (100, 120)), name="placket"),
            Edge("D", line((100, 120), (100, 0)), name="side"),
            Edge("E", line((100, 0), (0, 0)), Lies.HEM),
        ),
    )
    (outline,) = unfolded(replace(APRON, outlines=(marked,))).outlines
    assert [edge.name for edge in outline.edges] == ["side", "placket", "", "placket", "side", ""]
    assert [edge.lies for edge in outline.edges][-1] is Lies.HEM


def test_two_collinear_edges_on_the_fold_are_one_fold() -> None:
    parted = Outline(
        Role.CUT,
        (
            Edge("A", line((0, 0), (0, 80)), Lies.FOLD),
            Edge("B", line((0, 80), (0, 200)), Lies.FOLD),
            Edge("C", line((0, 200), (100, 200), (100, 0), (0, 0))),
        ),
    )
    whole = unfolded(replace(APRON, outlines=(parted,)))
    assert whole.outlines[0].area == 40_000
    assert whole.lines == (Line(Role.FOLD, line((0, 0), (0, 200))),)


class TestLines:
    """What is drawn inside goes with its half, or goes on in its mirror image."""

    @staticmethod
    def opened(path: Path, role: Role = Role.STITCH) -> list[Path]:
        whole = unfolded(replace(APRON, lines=(Line(role, path),)))
        return [each.path for each in whole.lines[:-1]]

    def test_a_line_that_ends_on_the_fold_goes_on(self) -> None:
        expected = line((90, 10), (90, 190), (0, 190), (-90, 190), (-90, 10))
        assert self.opened(line((90, 10), (90, 190), (0, 190))) == [expected]
        (other,) = self.opened(line((0, 190), (90, 190), (90, 10)))
        assert list(other.nodes()) == list(reversed(list(expected.nodes())))

    def test_a_line_with_both_ends_on_the_fold_is_closed(self) -> None:
        (path,) = self.opened(line((0, 190), (90, 190), (90, 10), (0, 10)))
        assert path.closed
        assert abs(path.area) == 180 * 180

    def test_a_ring_along_the_fold_becomes_one_round_both_halves(self) -> None:
        (path,) = self.opened(ring((0, 190), (90, 190), (90, 10), (0, 10)))
        assert path.closed
        assert abs(path.area) == 180 * 180

    def test_ends_that_only_nearly_reach_the_fold_meet_on_it(self) -> None:
        (path,) = self.opened(line((90, 10), (90, 190), (0.03, 190)))
        assert list(path.nodes())[2] == (0, 190)

    def test_a_line_away_from_the_fold_is_drawn_twice(self) -> None:
        paths = self.opened(line((20, 50), (60, 50)), Role.INSIDE)
        assert paths == [line((20, 50), (60, 50)), line((-20, 50), (-60, 50))]

    def test_a_line_along_the_fold_stays_single(self) -> None:
        assert len(self.opened(line((0, 20), (0, 60)), Role.INSIDE)) == 1

    def test_a_ring_away_from_the_fold_is_drawn_twice(self) -> None:
        paths = self.opened(circle(Point(50, 50), 10), Role.INSIDE)
        assert [path.closed for path in paths] == [True, True]
        assert paths[1].bounds == Bounds(-60, 40, -40, 60)

    def test_the_style_of_a_line_stays(self) -> None:
        narrow = Line(Role.CUT, line((0, 150), (100, 150)), "narrow")
        whole = unfolded(replace(APRON, lines=(narrow,)))
        assert whole.lines[0] == replace(narrow, path=line((-100, 150), (0, 150), (100, 150)))


def test_marks_are_doubled_but_on_the_fold_they_stay_single() -> None:
    notch = Mark(Role.NOTCH, Point(100, 50), line((100, 50), (95, 50)), "long")
    centre = Mark(Role.NOTCH, Point(0, 200), line((0, 200), (0, 195)))
    drill = Mark(Role.DRILL, Point(30, 30), circle(Point(30, 30), 1.5))
    marks = unfolded(replace(APRON, marks=(notch, centre, drill))).marks
    assert [(mark.role, mark.at, mark.style) for mark in marks] == [
        (Role.NOTCH, (100, 50), "long"),
        (Role.NOTCH, (-100, 50), "long"),
        (Role.NOTCH, (0, 200), ""),
        (Role.DRILL, (30, 30), ""),
        (Role.DRILL, (-30, 30), ""),
    ]
    assert marks[1].path == line((-100, 50), (-95, 50))


class TestStyles:
    """Every style's outline is opened about one line."""

    def test_outlines_of_all_styles_are_opened(self) -> None:
        short = half(rectangle(Bounds(0, 50, 100, 200)), style="short")
        long = half(BLOCK, style="long")
        whole = unfolded(replace(APRON, outlines=(long, short)))
        assert [o.style for o in whole.outlines] == ["long", "short"]
        assert [o.area for o in whole.outlines] == [40_000, 30_000]
        assert [(each.style, each.path.length) for each in whole.lines] == [
            ("long", 200),
            ("short", 150),
        ]

    def test_styles_that_fold_alike_share_the_line(self) -> None:
        slim = half(rectangle(Bounds(0, 0, 70, 200)), style="slim")
        whole = unfolded(replace(APRON, outlines=(half(BLOCK, style="wide"), slim)))
        assert whole.lines == (Line(Role.FOLD, line((0, 0), (0, 200))),)

    def test_folds_that_lie_beside_one_another_are_refused(self) -> None:
        off = half(rectangle(Bounds(2, 0, 70, 100)), style="slim")
        with pytest.raises(PatternError, match=r"style slim: its fold lies 2 mm off"):
            unfolded(replace(APRON, outlines=(half(BLOCK, style="wide"), off)))


class TestRefused:
    """What has no whole is told with file, piece and edge."""

    @staticmethod
    def told(outline: Outline) -> str:
        with pytest.raises(PatternError) as caught:
            unfolded(replace(APRON, outlines=(outline,)))
        return str(caught.value)

    def test_no_edge_on_the_fold(self) -> None:
        told = self.told(half(BLOCK, fold=""))
        assert told.startswith("bib.svg, piece Bib: no edge is on the fold")
        assert 'fold = "A"' in told

    def test_two_folds(self) -> None:
        both = half(BLOCK)
        edges = tuple(replace(e, lies=Lies.FOLD) if e.letter == "C" else e for e in both.edges)
        assert "the edges on the fold (A, C)" in self.told(replace(both, edges=edges))

    def test_nothing_but_folds(self) -> None:
        edges = tuple(replace(e, lies=Lies.FOLD) for e in half(BLOCK).edges)
        assert "do not leave one open half" in self.told(Outline(Role.CUT, edges))

    def test_folds_round_a_corner(self) -> None:
        both = half(BLOCK)
        edges = tuple(replace(e, lies=Lies.FOLD) if e.letter == "B" else e for e in both.edges)
        assert "edge A, B: the edge lies on the fold but bulges" in self.told(
            replace(both, edges=edges)
        )

    @pytest.mark.parametrize(("handle", "sound_fold"), [(0.2, True), (4.0, False)])
    def test_a_fold_that_bulges(self, handle: float, sound_fold: bool) -> None:
        """With both handles h to the side a cubic bulges by 3/4 h: 0.15 mm and 3 mm."""
        side = Cubic(Point(0, 0), Point(-handle, 60), Point(-handle, 140), Point(0, 200))
        rest = line((0, 200), (100, 200), (100, 0), (0, 0)).segments
        bent = half(Path((side, *rest), closed=True))
        if sound_fold:
            assert unfolded(replace(APRON, outlines=(bent,))).outlines[0].area == 40_000
        else:
            assert "edge A: the edge lies on the fold but bulges by 3 mm" in self.told(bent)

    @pytest.mark.parametrize("bad", [math.nan, math.inf])
    def test_a_coordinate_that_is_no_number(self, bad: float) -> None:
        stitch = Line(Role.STITCH, line((bad, 10), (90, 10)))
        for wrong in (unfolded, fold_angles):
            with pytest.raises(PatternError, match=r"^bib\.svg, piece Bib: a coordinate is not"):
                wrong(replace(APRON, lines=(stitch,)))

    def test_a_piece_that_lies_on_both_sides(self) -> None:
        path = ring((0, 0), (0, 200), (50, 200), (-30, 100), (50, 0))
        edges = edges_of(path)
        first = next(i for i, e in enumerate(edges) if e.path.end == (0, 200))
        outline = Outline(Role.CUT, (replace(edges[first], lies=Lies.FOLD), *edges[first + 1 :],
                                     *edges[:first]))  # fmt: skip
        assert "the piece reaches 30 mm over its fold" in self.told(outline)

    def test_a_piece_that_touches_its_fold_elsewhere(self) -> None:
        path = ring((0, 0), (0, 200), (50, 250), (0.001, 300), (100, 300), (100, 0))
        edges = edges_of(path)
        named = tuple(replace(e, lies=Lies.FOLD) if e.letter == "A" else e for e in edges)
        whole = unfolded(replace(APRON, outlines=(Outline(Role.CUT, named),)))
        assert whole.outlines[0].path.bounds == Bounds(-100, 0, 100, 300)


@pytest.mark.parametrize("demo", DEMOS)
def test_the_demo_pieces_on_a_fold_are_sound_when_opened(demo: str) -> None:
    pattern = pattern_of_demo(demo)
    folded = [p for p in pattern.pieces if any(cut.lay is Lay.FOLD for cut in p.cuts)]
    whole = Pattern("Opened", tuple(unfolded(piece) for piece in folded))
    assert [str(finding) for finding in sound(whole).findings] == []
    for before, after in zip(folded, whole.pieces, strict=True):
        assert after.outlines[0].area == pytest.approx(2 * before.outlines[0].area, rel=1e-9)
        mirror = fold_of(before).mirror
        nodes = list(after.outlines[0].path.nodes())
        assert all(min(mirror(node).to(other) for other in nodes) < 1e-9 for node in nodes)


def test_the_demo_smock_front_has_one_neck_and_one_hem_when_opened() -> None:
    smock = pattern_of_demo("smock")
    front = next(piece for piece in smock.pieces if piece.name == "Front")
    names = [edge.name for edge in unfolded(front).outlines[0].edges]
    assert sorted(names) == sorted(
        ["neck", "hem", "shoulder", "shoulder", "armhole", "armhole", "side seam", "side seam"]
    )
