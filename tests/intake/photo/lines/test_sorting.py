"""Lines of one sheet, told apart by what the trade draws (common practice, no source)."""

from collections import Counter

import numpy as np
import pytest
import shapely

from tests.intake.photo.lines.webs import (
    Drawn,
    Place,
    arc,
    arrow,
    closed,
    cross,
    line,
    tick,
    web_of,
)
from tiler.drafting.darts.drawn import dart_of, fisheye_of
from tiler.intake.photo.lines.sorting import Asked, tracings_of
from tiler.intake.photo.model import Kind, Traced, Tracing
from tiler.intake.photo.problem import CaptureError, Doubts
from tiler.pattern.affine import Point
from tiler.pattern.model import Line, Role
from tiler.pattern.path import polyline

#: A front bodice: centre front on the left, hem, side, armhole, shoulder, neck.
CORNERS: tuple[Place, ...] = ((0, 0), (230, 0), (250, 262), (212, 388), (90, 400), (0, 310))


def bodice(x: float = 0.0, y: float = 0.0, size: float = 1.0) -> Drawn:
    """Its outline, the armhole and the neck in curves."""
    places = [
        *CORNERS[:3],
        *_between(CORNERS[2], CORNERS[3], 72.0)[1:-1],
        CORNERS[3],
        CORNERS[4],
        *arc((0, 400), 90, 0, -90, 40)[1:],
    ]
    return closed(*[(x + size * a, y + size * b) for a, b in places])


def _between(one: Place, other: Place, radius: float) -> list[Place]:
    """A circle's arc that bends to the left of the way from one place to another."""
    a, b = np.array(one), np.array(other)
    half = (b - a) / 2
    size = float(np.hypot(*half))
    right = np.array([half[1], -half[0]]) / size
    centre = (a + b) / 2 + right * np.sqrt(radius**2 - size**2)
    angles = np.degrees([np.arctan2(*(p - centre)[::-1]) for p in (a, b)])
    if angles[1] > angles[0]:
        angles[1] -= 360
    return arc((float(centre[0]), float(centre[1])), radius, float(angles[0]), float(angles[1]), 40)


def sorted_out(
    *drawn: Drawn, noise: float = 0.1, asked: Asked | None = None, doubts: Doubts | None = None
) -> tuple[Tracing, ...]:
    web = web_of(drawn, noise=noise, wobble=0.2)
    return tracings_of(web, asked or Asked(), doubts or Doubts())


def only(tracings: tuple[Tracing, ...], kind: Kind) -> list[Traced]:
    (tracing,) = tracings
    return [each for each in tracing.lines if each.kind is kind]


def kinds(tracing: Tracing) -> Counter[str]:
    return Counter(each.kind.value for each in tracing.lines)


def corners(traced: Traced) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in traced.points[list(traced.corners)]]


def area(traced: Traced) -> float:
    return float(shapely.Polygon(traced.points).area)


class TestAnOutlineAlone:
    def test_is_one_closed_line_with_corners_where_the_legs_meet(self) -> None:
        (outline,) = only(sorted_out(bodice()), Kind.OUTLINE)
        assert outline.closed
        found = corners(outline)
        assert len(found) == len(CORNERS)
        for corner in CORNERS:
            assert min(np.hypot(*np.subtract(corner, each)) for each in found) < 0.8

    def test_is_as_large_as_it_was_drawn(self) -> None:
        (outline,) = only(sorted_out(bodice()), Kind.OUTLINE)
        assert area(outline) == pytest.approx(shapely.Polygon(bodice().places).area, rel=2e-3)

    def test_without_corners_has_none(self) -> None:
        (outline,) = only(sorted_out(closed(*arc((0, 0), 60, 0, 354, 60))), Kind.OUTLINE)
        assert outline.corners == ()

    def test_of_several_strands_is_one(self) -> None:
        """Where the pen was lifted past a corner, lines cross there and go on a little."""
        sides = [
            line((-6, 0), (206, 0)),
            line((200, -6), (200, 156)),
            line((206, 150), (-6, 150)),
            line((0, 156), (0, -6)),
        ]
        tracings = sorted_out(*sides)
        assert kinds(tracings[0]) == {"outline": 1}
        assert len(tracings[0].lines[0].corners) == 4


class TestTicks:
    @pytest.mark.parametrize(
        ("inwards", "outwards"), [(8.0, 0.0), (0.0, 0.0), (12.0, 0.0), (7.0, 7.0)]
    )
    def test_across_a_straight_edge(self, inwards: float, outwards: float) -> None:
        drawn = tick((100, 0), (0.1, 1), inwards or 0.1, outwards or (0.0 if inwards else 9.0))
        tracings = sorted_out(bodice(), drawn)
        (notch,) = only(tracings, Kind.NOTCH)
        (outline,) = only(tracings, Kind.OUTLINE)
        ring = shapely.LinearRing(outline.points)
        assert ring.distance(shapely.Point(100, 0)) < 0.4
        assert shapely.LineString(notch.points).distance(ring) < 0.2
        assert np.hypot(*(notch.points[-1] - notch.points[0])) == pytest.approx(
            shapely.LineString(drawn.places).length, abs=0.8
        )

    def test_in_a_curve_leave_it_smooth(self) -> None:
        drawn = tick((63.64, 400 - 63.64), (-1, 1), 0.1, 9.0)
        tracings = sorted_out(bodice(), drawn)
        assert len(only(tracings, Kind.NOTCH)) == 1
        assert len(only(tracings, Kind.OUTLINE)[0].corners) == len(CORNERS)

    def test_double_ones_stay_two(self) -> None:
        ticks = [tick((120, 0), (0, 1)), tick((128, 0), (0, 1))]
        assert len(only(sorted_out(bodice(), *ticks), Kind.NOTCH)) == 2

    @pytest.mark.parametrize("height", [-8.0, 8.0])
    def test_shaped_like_a_v(self, height: float) -> None:
        vee = line(
            (96, -0.01 if height > 0 else 0.01), (100, height), (104, -0.01 if height > 0 else 0.01)
        )
        tracings = sorted_out(bodice(), vee)
        assert kinds(tracings[0]) == {"outline": 1, "notch": 1}
        assert area(tracings[0].lines[0]) == pytest.approx(
            shapely.Polygon(bodice().places).area, rel=2e-3
        )


class TestTheFoldsBracket:
    def test_touching_the_edge(self) -> None:
        bracket = line((-0.01, 60), (20, 60), (20, 260), (-0.01, 260))
        self._is_fold(bracket)

    def test_stopping_short_of_it(self) -> None:
        self._is_fold(line((6, 60), (25, 60), (25, 260), (6, 260)))

    def test_with_arrowheads(self) -> None:
        heads = [line((4, y), (13, y + side * 5)) for y in (60, 260) for side in (-1, 1)]
        self._is_fold(line((4, 60), (30, 60), (30, 260), (4, 260)), *heads)

    def _is_fold(self, *drawn: Drawn) -> None:
        tracings = sorted_out(bodice(), *drawn)
        assert kinds(tracings[0]) == {"outline": 1, "fold": 1}
        (fold,), (outline,) = only(tracings, Kind.FOLD), only(tracings, Kind.OUTLINE)
        ends = sorted((float(y), float(x)) for x, y in (fold.points[0], fold.points[-1]))
        assert ends[0] == pytest.approx((0, 0), abs=0.8)
        assert ends[1] == pytest.approx((310, 0), abs=0.8)
        on_outline = {tuple(point) for point in outline.points}
        assert all(tuple(point) in on_outline for point in fold.points)

    def test_is_told(self) -> None:
        doubts = Doubts()
        sorted_out(bodice(), line((6, 60), (25, 60), (25, 260), (6, 260)), doubts=doubts)
        assert [doubt.code for doubt in doubts.found] == ["fold-bracket"]

    def test_without_one_no_edge_is_on_the_fold(self) -> None:
        assert only(sorted_out(bodice()), Kind.FOLD) == []


class TestGrainlines:
    @pytest.mark.parametrize("heads", [(0,), (1,), (0, 1)])
    def test_have_an_arrowhead_at_one_or_both_ends(self, heads: tuple[int, ...]) -> None:
        tracings = sorted_out(bodice(), *arrow((120, 300), (125, 80), heads))
        assert kinds(tracings[0]) == {"outline": 1, "grain": 1}
        (grain,) = only(tracings, Kind.GRAIN)
        assert grain.points[0] == pytest.approx((125, 80), abs=1.0)
        assert grain.points[-1] == pytest.approx((120, 300), abs=1.0)

    def test_without_one_are_lines_inside(self) -> None:
        tracings = sorted_out(bodice(), line((120, 300), (125, 80)))
        assert kinds(tracings[0]) == {"outline": 1, "inside": 1}

    def test_that_a_line_crosses_are_taken_apart_from_it(self) -> None:
        across = line((40, 180), (120, 190), (200, 180))
        tracings = sorted_out(bodice(), *arrow((120, 300), (125, 80)), across)
        assert kinds(tracings[0]) == {"outline": 1, "grain": 1, "inside": 1}


class TestDarts:
    def test_of_two_legs_are_one_line_that_the_drafting_reads(self) -> None:
        tracings = sorted_out(bodice(), line((150, -0.01), (161, 110), (172, -0.01)))
        assert kinds(tracings[0]) == {"outline": 1, "dart": 1}
        (dart,) = only(tracings, Kind.DART)
        one, tip, other = (dart.points[n] for n in (0, dart.corners[0], -1))
        assert tip == pytest.approx((161, 110), abs=1.2)
        assert sorted([float(one[0]), float(other[0])]) == pytest.approx([150, 172], abs=0.8)
        path = polyline([Point(*map(float, p)) for p in (one, tip, other)])
        assert dart_of(Line(Role.DART, path, "")) is not None

    def test_whose_ink_ran_together_at_the_tip(self) -> None:
        """Legs of a 4 mm marker that open by 11 degrees are one line for the last 20 mm."""
        legs = line((150, -0.01), (161, 90), (172, -0.01))
        tracings = sorted_out(bodice(), legs, line((161, 90), (161, 104)))
        assert kinds(tracings[0]) == {"outline": 1, "dart": 1}

    def test_leave_a_notch_beside_a_foot(self) -> None:
        legs = line((150, -0.1), (161, 90), (172, -0.1))
        tracings = sorted_out(bodice(), legs, tick((142, 0), (0, 1)))
        assert kinds(tracings[0]) == {"outline": 1, "dart": 1, "notch": 1}

    def test_with_two_tips_are_one_closed_line_that_the_drafting_reads(self) -> None:
        tracings = sorted_out(bodice(), closed((120, 60), (131, 140), (120, 220), (109, 140)))
        (dart,) = only(tracings, Kind.DART)
        assert dart.closed
        places = [Point(float(x), float(y)) for x, y in corners(dart)]
        assert len(places) == 4
        found = fisheye_of(Line(Role.DART, polyline(places, closed=True), ""))
        assert found is not None
        assert sorted(tip.y for tip in found.tips) == pytest.approx([60, 220], abs=2.5)


class TestMarks:
    def test_crosses_rings_and_dots_are_drill_marks(self) -> None:
        marks = [
            *cross((60, 150)),
            closed(*arc((120, 150), 4, 0, 340, 18)),
            line((180, 150), (181.5, 150.5)),
        ]
        tracings = sorted_out(bodice(), *marks)
        assert kinds(tracings[0]) == {"outline": 1, "drill": 3}
        middles = sorted(
            tuple((d.points.max(axis=0) + d.points.min(axis=0)) / 2)
            for d in only(tracings, Kind.DRILL)
        )
        assert middles == [
            pytest.approx(place, abs=0.8) for place in ((60, 150), (120, 150), (180.75, 150.25))
        ]

    def test_writing_is_left_out_and_told_once(self) -> None:
        letters = [
            line((100, 200), (100, 220), (112, 220)),
            line((100, 211), (109, 211)),
            line((118, 200), (118, 220), (128, 216), (118, 211), (129, 200)),
            closed(*arc((141, 210), 8, 0, 340, 18)),
            line((155, 200), (155, 220), (167, 200), (167, 220)),
            line((180, 200), (180, 220)),
            line((172, 220), (188, 220)),
        ]
        doubts = Doubts()
        tracings = sorted_out(bodice(), *letters, doubts=doubts)
        assert kinds(tracings[0]) == {"outline": 1}
        assert [doubt.code for doubt in doubts.found] == ["writing-left-out"]


class TestLinesInside:
    def test_may_touch_nothing_or_stand_with_one_foot(self) -> None:
        lines = [line((60, 100), (120, 140), (190, 120)), line((-0.01, 200), (60, 190))]
        tracings = sorted_out(bodice(), *lines)
        assert kinds(tracings[0]) == {"outline": 1, "inside": 2}

    def test_a_small_ring_is_a_pocket(self) -> None:
        tracings = sorted_out(bodice(), closed((60, 100), (150, 100), (150, 190), (60, 190)))
        (pocket,) = only(tracings, Kind.INSIDE)
        assert pocket.closed
        assert len(pocket.corners) == 4

    def test_outside_of_every_outline_is_left_out_and_told(self) -> None:
        doubts = Doubts()
        tracings = sorted_out(bodice(), line((-300, -50), (400, -60)), doubts=doubts)
        assert kinds(tracings[0]) == {"outline": 1}
        assert [doubt.code for doubt in doubts.found] == ["lines-outside"]


class TestALineDrawnTwice:
    def test_over_a_stretch_is_one_line_and_told(self) -> None:
        """The hand began again 60 mm back, and came up to 2.5 mm beside the line."""
        again = line((80, 0.1), (110, -2.4), (140, 0.1))
        doubts = Doubts()
        tracings = sorted_out(bodice(), again, doubts=doubts)
        assert kinds(tracings[0]) == {"outline": 1}
        assert [doubt.code for doubt in doubts.found] == ["drawn-twice"]


class TestSeveralPieces:
    def test_come_in_reading_order(self) -> None:
        places = [(400, 0), (0, -500), (0, 0), (420, -510)]
        tracings = sorted_out(*(bodice(x, y) for x, y in places))
        lefts = [t.lines[0].points.min(axis=0).round(-1).tolist() for t in tracings]
        assert lefts == [[0, 0], [400, 0], [0, -500], [420, -510]]

    def test_keep_what_is_drawn_on_them(self) -> None:
        tracings = sorted_out(
            bodice(), bodice(400), *cross((60, 150)), *arrow((520, 80), (520, 300))
        )
        assert [kinds(tracing) for tracing in tracings] == [
            {"outline": 1, "drill": 1},
            {"outline": 1, "grain": 1},
        ]


class TestWhatIsNoPiece:
    def refused(self, *drawn: Drawn) -> CaptureError:
        with pytest.raises(CaptureError) as caught:
            sorted_out(*drawn)
        return caught.value

    def test_an_open_outline_is_shown_with_its_ends(self) -> None:
        places = bodice().places
        error = self.refused(line((0, 40), *places[:-1], (0, 80)), *cross((60, 150)))
        assert error.code == "outline-open"
        assert "40 mm apart" in str(error)
        ends = [spot.points[0] for spot in error.table_spots if len(spot.points) == 1]
        assert len(ends) == 2

    def test_nor_does_a_pocket_stand_in_for_it(self) -> None:
        places = bodice().places
        pocket = closed((60, 100), (150, 100), (150, 190), (60, 190))
        assert self.refused(line((0, 40), *places[:-1], (0, 80)), pocket).code == "outline-open"

    def test_a_ring_that_is_too_small(self) -> None:
        assert self.refused(closed(*arc((0, 0), 10, 0, 350, 30))).code == "outline-small"

    def test_an_outline_that_crosses_itself(self) -> None:
        eight = closed((0, 0), (200, 200), (200, 0), (0, 200))
        assert self.refused(eight).code == "outline-crosses"

    def test_nothing_at_all(self) -> None:
        assert self.refused().code == "no-line"
