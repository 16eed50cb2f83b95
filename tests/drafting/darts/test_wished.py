"""Darts that a maker asks for, put into a rectangle where everything is solved by hand.

Outside values: the worked dart of 30 x 100, whose cap peaks 4.6036 over its mouth and whose legs
are sqrt(100^2 + 15^2) = 101.119 (plane trigonometry); and the check cloth with a repeat of 12.5
flat and 9.5 sewn, ten of which take in 30, each reading to 0.5: 30 +- sqrt(0.5^2 + 0.5^2) = 0.707.
"""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from tests.drafting.darts.blocks import block
from tests.drafting.darts.shapes import anywhere, length_by_quadrature
from tiler.drafting.darts.wished import with_darts
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Edge, Mark, Outline, Piece, Role, Severity
from tiler.pattern.path import Path, polyline
from tiler.pattern.segment import Cubic, turn_between
from tiler.pattern.wishes import CheckCloth, DartWish, FisheyeWish, Place, Wishes

CLOTH = CheckCloth(12.5, 9.5, 10)
GIVEN = DartWish(
    Place("B", length=100), 100, CLOTH, "A", gives="C", blend=150, where="pattern.toml line 9"
)
CUT = DartWish(Place("B", length=100), 100, 30, "A", where="pattern.toml line 9")


def drafted(*darts: DartWish | FisheyeWish, **facts: object) -> Piece:
    return with_darts(block(Wishes(darts=darts), **facts))[0]  # type: ignore[arg-type]


def edge(piece: Piece, letter: str) -> Path:
    return next(e.path for e in piece.stitch[0].edges if e.letter == letter)


def dart_nodes(piece: Piece) -> list[list[Point]]:
    return [list(line.path.nodes()) for line in piece.lines if line.role is Role.DART]


def drills(piece: Piece) -> list[Mark]:
    return [mark for mark in piece.marks if mark.role is Role.DRILL]


def near(points: list[Point], expected: list[tuple[float, float]]) -> bool:
    return all(p.to(Point(*e)) < 1e-6 for p, e in zip(points, expected, strict=True))


class TestAnEdgeGivesTheWidth:
    """The worked dart, 100 along the waist; the side seam moves out."""

    def test_the_dart_the_waist_and_the_side(self) -> None:
        made = drafted(GIVEN)
        (nodes,) = dart_nodes(made)
        assert near(nodes, [(100, 300), (115, 200), (130, 300)])
        waist, side = edge(made, "B"), edge(made, "C")
        assert (waist.start, waist.end) == ((0, 300), (230, 300))
        assert max(node.y for node in waist.nodes()) == pytest.approx(304.6036, abs=1e-4)
        assert side.start == (230, 300)
        assert side.point_at(side.length - 150)[0] == pytest.approx((200, 150))
        assert [e.letter for e in made.stitch[0].edges] == list("ABCD")

    def test_the_drill_mark_is_10_short_of_the_tip(self) -> None:
        (drill,) = drills(drafted(GIVEN))
        assert drill.at == pytest.approx((115, 210))

    def test_what_the_maker_is_told(self) -> None:
        """At the tip's level the side stands out by 30 (1 - 3 t^2 + 2 t^3), t = 100 / 150."""
        _, (told,) = with_darts(block(Wishes(darts=(GIVEN,))))
        assert (told.code, told.severity) == ("dart-opened", Severity.NOTE)
        assert told.where == "pattern.toml line 9"
        t = 100 / 150
        bent = quad(lambda y: math.hypot(1, 30 * 6 * (y / 150) * (y / 150 - 1) / 150), 0, 150)[0]
        wider = 30 * (1 - 3 * t * t + 2 * t**3)
        for words in (
            "30 mm as read off the cloth",
            "0.7 mm either way",
            "from 29.3 mm to 30.7 mm",
            "measures 200 mm with its darts sewn and 230 mm flat",
            f"it measured 300 mm and now measures {150 + bent:.1f} mm",
            f"{wider:.1f} mm wider",
        ):
            assert words in told.text

    def test_pressed_the_other_way_the_cap_is_the_same_on_a_level_seam(self) -> None:
        one, other = drafted(GIVEN), drafted(replace(GIVEN, pressed="C"))
        area = shapely.Polygon(one.stitch[0].path.flattened(0.001)).symmetric_difference(
            shapely.Polygon(other.stitch[0].path.flattened(0.001))
        )
        assert area.area < 1e-3

    def test_a_slant_turns_the_dart_anticlockwise(self) -> None:
        """The waist is level and the dart points down; anticlockwise its tip goes right."""
        (nodes,) = dart_nodes(drafted(replace(GIVEN, slant=5)))
        left, tip, right = nodes
        assert left.to(tip) == pytest.approx(math.hypot(100, 15))
        assert left.to(tip) == pytest.approx(right.to(tip))
        middle = Point((left.x + right.x) / 2, (left.y + right.y) / 2)
        lean = math.degrees(math.atan2(tip.x - middle.x, middle.y - tip.y))
        assert lean == pytest.approx(5)

    def test_two_darts_in_one_edge_keep_their_places_on_the_traced_line(self) -> None:
        """At 60 and 140, taking in 20 each: legs at 60, 80 and at 140 + 20, 180."""
        first = replace(GIVEN, at=Place("B", length=60), intake=20)
        second = replace(GIVEN, at=Place("B", length=60, from_end=True), intake=20)
        for darts in ((first, second), (second, first)):
            made, findings = with_darts(block(Wishes(darts=darts)))
            feet = sorted((nodes[0].x, nodes[2].x) for nodes in dart_nodes(made))
            assert feet == [pytest.approx((60, 80)), pytest.approx((160, 180))]
            assert edge(made, "C").start == pytest.approx((240, 300))
            assert all("200 mm with its darts sewn and 240 mm flat" in f.text for f in findings)

    def test_a_dart_that_is_cut_goes_along_with_the_part_that_moves(self) -> None:
        other = DartWish(Place("B", length=150), 60, 10, "A")
        made = drafted(other, GIVEN)
        moved = next(nodes for nodes in dart_nodes(made) if nodes[1].x > 130)
        assert near(moved, [(175, 300), (180, 240), (185, 300)])

    def test_a_dart_in_the_edge_that_gives_goes_along(self) -> None:
        """At 75, half of the blend, the side has moved by half of the intake."""
        bust = DartWish(Place("C", length=75), 60, 10, "B")
        made = drafted(GIVEN, bust)
        nodes = next(nodes for nodes in dart_nodes(made) if nodes[1].y < 280 and nodes[0].x > 190)
        middle = Point((nodes[0].x + nodes[2].x) / 2, (nodes[0].y + nodes[2].y) / 2)
        assert middle.x == pytest.approx(215, abs=0.1)
        assert middle.y == pytest.approx(225, abs=0.1)
        assert nodes[0].to(nodes[1]) == pytest.approx(nodes[2].to(nodes[1]))

    @given(anywhere())
    def test_the_darts_go_with_the_piece(self, by: object) -> None:
        here = drafted(GIVEN)
        there = drafted(GIVEN, by=by)
        for one, other in zip(dart_nodes(here), dart_nodes(there), strict=True):
            assert max(by(a).to(b) for a, b in zip(one, other, strict=True)) < 1e-6  # type: ignore[operator]


class TestTheEdgeHasTheWidth:
    """The mouth is cut out of the edge, half of the intake on either side of the place."""

    def test_the_worked_dart(self) -> None:
        made, findings = with_darts(block(Wishes(darts=(CUT,))))
        (nodes,) = dart_nodes(made)
        assert near(nodes, [(85, 300), (100, 200), (115, 300)])
        assert nodes[0].to(nodes[1]) == pytest.approx(101.119, abs=1e-3)
        assert max(node.y for node in edge(made, "B").nodes()) == pytest.approx(304.6036, abs=1e-4)
        assert edge(made, "C") == edge(block(), "C")
        assert findings == ()

    def test_a_short_dart_is_drilled_nearer_to_its_tip(self) -> None:
        (drill,) = drills(drafted(replace(CUT, length=30, intake=10)))
        assert drill.at == pytest.approx((100, 270 + 30 / 5))

    def test_a_leaning_dart_has_its_legs_trued_and_is_told(self) -> None:
        """The tip lies 100 sin 10 aside; legs of sqrt(15^2 + 100^2 -+ 2 x 15 x 100 sin 10)."""
        made, findings = with_darts(block(Wishes(darts=(replace(CUT, slant=10),))))
        (nodes,) = dart_nodes(made)
        s = math.sin(math.radians(10))
        legs = [math.sqrt(15**2 + 100**2 - sign * 2 * 15 * 100 * s) for sign in (1, -1)]
        assert nodes[0].to(nodes[1]) == pytest.approx(sum(legs) / 2)
        assert nodes[2].to(nodes[1]) == pytest.approx(sum(legs) / 2)
        assert nodes[1] == pytest.approx((100 + 100 * s, 300 - 100 * math.cos(math.radians(10))))
        (told,) = findings
        assert told.code == "dart-legs-trued"
        # Nothing breaks beside the dart but at the legs and at the peak of the cap.
        segments = edge(made, "B").segments
        turns = [abs(turn_between(a, b)) for a, b in pairwise(segments)]
        assert sum(turn > 0.01 for turn in turns) == 3
        assert (segments[0].start, segments[-1].end) == ((0, 300), (200, 300))

    def test_a_leg_may_stand_at_the_end_of_the_edge(self) -> None:
        """One leg at the corner of waist and side: that corner stays, the side is as it was."""
        wish = replace(CUT, at=Place("B", length=15, from_end=True), pressed="A")
        made, _ = with_darts(block(Wishes(darts=(wish,))))
        (nodes,) = dart_nodes(made)
        assert nodes[0].to(nodes[1]) == pytest.approx(nodes[2].to(nodes[1]))
        assert nodes[2] == (200, 300)
        assert edge(made, "C") == edge(block(), "C")
        assert edge(made, "B").end == (200, 300)

    def test_pressed_over_its_corner_the_cap_follows_the_neighbouring_seam(self) -> None:
        """The side falls 90 degrees at the corner, 8.53 of them before the leg's mirror: the
        folded cloth ends on the side's mirror image in the leg, which meets the middle line
        at 101.119 sin(90 - 8.53) / sin(90) below the tip's level."""
        wish = replace(CUT, at=Place("B", length=15, from_end=True), pressed="C")
        made, _ = with_darts(block(Wishes(darts=(wish,))))
        half = math.atan(15 / 100)
        leg = math.hypot(100, 15)
        # The angle at the leg between the leg and the side is half of the dart's angle, for the
        # side is parallel to the dart's middle: its mirror image meets the middle at the
        # distance leg / (2 cos(half)) from the tip.
        reach = leg / (2 * math.cos(half))
        peak = min(edge(made, "B").nodes(), key=lambda node: node.y)
        assert peak == pytest.approx((185, 200 + reach), abs=1e-6)

    @settings(deadline=None)
    @given(
        st.floats(0.25, 0.75),
        st.floats(5, 40),
        st.floats(50, 120),
        st.floats(-12, 12),
        st.sampled_from("AC"),
    )
    def test_on_a_curved_waist(
        self, share: float, intake: float, length: float, slant: float, pressed: str
    ) -> None:
        waist = Cubic(Point(0, 300), Point(60, 300), Point(140, 310), Point(200, 315))
        whole = block()
        a, b, c, d = whole.stitch[0].edges
        edges = (a, replace(b, path=Path((waist,))),
                 replace(c, path=polyline([Point(200, 315), Point(200, 0)])), d)  # fmt: skip
        ring = Outline(Role.STITCH, edges)
        wish = DartWish(Place("B", fraction=share), length, intake, pressed, slant=slant)
        made, _ = with_darts(
            replace(whole, outlines=(ring,), stitch=(ring,), wishes=Wishes(darts=(wish,)))
        )
        (nodes,) = dart_nodes(made)
        left, tip, right = nodes
        assert left.to(tip) == pytest.approx(right.to(tip))
        place, (x, y) = Path((waist,)).point_at(share * length_by_quadrature(Path((waist,))))
        assert place.to(tip) == pytest.approx(length)
        lean = math.degrees(math.atan2(tip.y - place.y, tip.x - place.x) - math.atan2(-x, y))
        assert (lean + 180) % 360 - 180 == pytest.approx(slant, abs=1e-6)
        after = edge(made, "B")
        assert (after.start, after.end) == (waist.start, waist.end)
        assert shapely.LineString(after.flattened(0.01)).distance(shapely.Point(left)) < 0.01
        assert shapely.Polygon(made.stitch[0].path.flattened(0.05)).is_valid


class TestTwoTips:
    """A dart with two tips, beside the fold."""

    WISH = FisheyeWish(Place("A", length=160), 70, 20, (110, 130), "pattern.toml line 12")

    def test_it_lies_where_it_is_told(self) -> None:
        """The fold runs up, so ahead is up, and inside is to the right."""
        made = drafted(self.WISH)
        (nodes,) = dart_nodes(made)
        expected = {(70, 270), (70, 30), (60, 160), (80, 160)}
        assert {(round(p.x, 6), round(p.y, 6)) for p in nodes} == expected
        legs = sorted(a.to(b) for a, b in pairwise(nodes))
        assert legs == pytest.approx([math.hypot(10, 110)] * 2 + [math.hypot(10, 130)] * 2)

    def test_its_four_drill_marks(self) -> None:
        at = sorted(mark.at for mark in drills(drafted(self.WISH)))
        expected = [(63, 160), (70, 40), (70, 260), (77, 160)]
        assert [tuple(p) for p in at] == [pytest.approx(e) for e in expected]

    @pytest.mark.parametrize(
        ("change", "words"),
        [
            ({"inside": 9.0}, "does not lie inside of the piece.*further from edge A"),
            ({"lengths": (150.0, 10.0)}, "does not lie inside"),
            ({"intake": 0.0}, "the dart's intake is 0"),
            ({"lengths": (110.0, -1.0)}, "length back is -1"),
            ({"beside": Place("A", length=301)}, "is not on edge A"),
            ({"beside": Place("Q", length=1)}, 'no edge "Q"'),
        ],
    )
    def test_refused(self, change: dict[str, object], words: str) -> None:
        with pytest.raises(PatternError, match=words) as caught:
            drafted(replace(self.WISH, **change))  # type: ignore[arg-type]
        assert "pattern.toml line 12" in str(caught.value)


class TestRefused:
    """Wishes that cannot be carried out: where, what and what to do."""

    @pytest.mark.parametrize(
        ("change", "words"),
        [
            ({"pressed": "D"}, 'edge B cannot be pressed towards "D".*edge A or edge C'),
            ({"at": Place("Q", length=1)}, 'no edge "Q".*A, B, C, D'),
            ({"at": Place("B", length=201)}, "201 mm from its start is not on edge B"),
            ({"at": Place("B", length=10)}, "reaches beyond its end"),
            ({"at": Place("B", length=10, from_end=True)}, "reaches beyond its end"),
            ({"length": 0.0}, "the dart's length is 0"),
            ({"length": 400.0}, "outside of the piece"),
            ({"intake": -3.0}, "the dart's intake is -3"),
            ({"intake": math.nan}, "the dart's intake is nan"),
            ({"intake": CheckCloth(12, 12, 10)}, "nothing is taken in"),
            ({"intake": 200.0}, "takes up the whole of edge B"),
            ({"slant": 95.0}, "cannot lean by 95 degrees"),
            ({"gives": "A", "blend": 50.0}, "edge A lies on the fold"),
            ({"gives": "C", "blend": 301.0}, "a blend over 301 mm is longer than edge C"),
            ({"gives": "C"}, "the dart's blend distance is 0"),
        ],
    )
    def test_a_wish_is_refused_at_its_place(self, change: dict[str, object], words: str) -> None:
        with pytest.raises(PatternError, match=words) as caught:
            drafted(replace(CUT, **change))  # type: ignore[arg-type]
        assert str(caught.value).count("pattern.toml line 9") == 1

    def test_pressed_across_the_fold(self) -> None:
        wish = replace(CUT, at=Place("B", length=15), pressed="A")
        with pytest.raises(PatternError, match="begins at edge A, which lies on the fold"):
            drafted(wish)

    def test_darts_that_overlap(self) -> None:
        with pytest.raises(PatternError, match="overlaps another dart in edge B"):
            drafted(CUT, replace(CUT, at=Place("B", length=120)))

    def test_no_stitch_line(self) -> None:
        piece = replace(block(Wishes(darts=(CUT,))), stitch=())
        with pytest.raises(PatternError, match="stitch line, which is not known"):
            with_darts(piece)


def test_without_darts_the_piece_is_as_it_was() -> None:
    assert with_darts(block()) == (block(), ())


def test_rings_of_several_styles_get_the_dart_each() -> None:
    """The narrow style's waist is 20 lower: its dart is its own, and named after it."""
    whole = block(Wishes(darts=(CUT,)))
    a, b, c, d = whole.stitch[0].edges
    low = (
        Edge("A", polyline([Point(0, 0), Point(0, 280)])),
        Edge("B", polyline([Point(0, 280), Point(200, 280)])),
        Edge("C", polyline([Point(200, 280), Point(200, 0)])),
        d,
    )
    rings = (Outline(Role.STITCH, (a, b, c, d), "wide"), Outline(Role.STITCH, low, "narrow"))
    made, _ = with_darts(replace(whole, outlines=rings, stitch=rings))
    darts = [(line.style, line.path.nodes()) for line in made.lines]
    assert [(style, next(iter(nodes)).y) for style, nodes in darts] == [
        ("wide", 300),
        ("narrow", 280),
    ]
    assert [mark.style for mark in drills(made)] == ["wide", "narrow"]
