"""Which areas belong to one outline: what is certain, what is asked, and what the user may say."""

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray

from tests.intake.photo.lines.webs import (
    BLACK,
    BLUE,
    BROWN,
    GREEN,
    RED,
    Drawn,
    Place,
    arc,
    closed,
    line,
    tick,
    web_of,
)
from tiler.intake.photo.lines.sorting import Asked, Undecided, tracings_of
from tiler.intake.photo.model import Kind, Traced, Tracing, Web
from tiler.intake.photo.problem import CaptureError, Doubts

LONG: tuple[Place, ...] = ((0, 0), (200, 0), (200, 300), (0, 300))
#: A hem 80 mm up.
HEM = line((-0.1, 80), (200.1, 80))


def sorted_out(
    *drawn: Drawn, asked: Asked | None = None, doubts: Doubts | None = None, noise: float = 0.1
) -> tuple[Tracing, ...]:
    return tracings_of(_web(*drawn, noise=noise), asked or Asked(), doubts or Doubts())


def _web(*drawn: Drawn, noise: float = 0.1, seed: int = 1) -> Web:
    return web_of(drawn, noise=noise, wobble=0.15, seed=seed)


def styles(**letters: str) -> Asked:
    return Asked(styles=tuple(letters.items()))


def pieces(**letters: str) -> Asked:
    return Asked(pieces=tuple(letters.items()))


def question(*drawn: Drawn, asked: Asked | None = None) -> Undecided:
    with pytest.raises(Undecided) as caught:
        sorted_out(*drawn, asked=asked)
    return caught.value


def refused(*drawn: Drawn, asked: Asked) -> CaptureError:
    with pytest.raises(CaptureError) as caught:
        sorted_out(*drawn, asked=asked)
    assert not isinstance(caught.value, Undecided)
    return caught.value


def outlines(tracing: Tracing) -> dict[str, Traced]:
    return {each.style: each for each in tracing.lines if each.kind is Kind.OUTLINE}


def area(traced: Traced) -> float:
    return float(shapely.Polygon(traced.points).area)


def rows(points: NDArray[np.float64]) -> set[tuple[float, ...]]:
    return {tuple(point) for point in points.tolist()}


class TestALineFromEdgeToEdge:
    def test_is_asked_about_with_letters_in_reading_order(self) -> None:
        asking = question(closed(*LONG), HEM)
        assert [spot.label for spot in asking.table_spots] == ["A", "B"]
        upper, lower = (spot.points.mean(axis=0)[1] for spot in asking.table_spots)
        assert upper > lower

    def test_shows_what_to_type(self) -> None:
        text = str(question(closed(*LONG), HEM))
        assert "--style long=AB --style short=A" in text
        assert "--piece Front=A --piece Back=B" in text
        assert "--piece Front=AB" in text

    @pytest.mark.parametrize("seed", range(4))
    def test_letters_do_not_hang_on_noise(self, seed: int) -> None:
        drawn = (closed(*LONG), HEM, line((100, 80), (100, 300.1)))
        with pytest.raises(Undecided) as caught:
            tracings_of(_web(*drawn, noise=0.15, seed=seed), Asked(), Doubts())
        middles = [spot.points.mean(axis=0) for spot in caught.value.table_spots]
        expected = [(50, 190), (150, 190), (100, 40)]
        for middle, place in zip(middles, expected, strict=True):
            assert np.hypot(*(middle - place)) < 5

    def test_may_be_the_hem_of_a_shorter_style(self) -> None:
        (tracing,) = sorted_out(closed(*LONG), HEM, asked=styles(long="AB", short="A"))
        found = outlines(tracing)
        assert list(found) == ["long", "short"]
        assert area(found["long"]) == pytest.approx(200 * 300, rel=3e-3)
        assert area(found["short"]) == pytest.approx(200 * 220, rel=3e-3)
        assert len(found["short"].corners) == 4
        assert len(found["long"].corners) == 4

    def test_leaves_shared_edges_alike_point_for_point(self) -> None:
        (tracing,) = sorted_out(closed(*LONG), HEM, asked=styles(long="AB", short="A"))
        found = outlines(tracing)
        upper = [tuple(p) for p in found["short"].points.tolist() if p[1] > 82]
        assert len(upper) > 600
        assert set(upper) <= rows(found["long"].points)

    def test_may_part_two_pieces(self) -> None:
        tracings = sorted_out(closed(*LONG), HEM, asked=pieces(Top="A", Bottom="B"))
        assert [tracing.name for tracing in tracings] == ["Top", "Bottom"]
        assert [area(outlines(t)[""]) for t in tracings] == [
            pytest.approx(200 * 220, rel=3e-3),
            pytest.approx(200 * 80, rel=5e-3),
        ]

    def test_may_be_an_inner_line(self) -> None:
        (tracing,) = sorted_out(closed(*LONG), HEM, asked=pieces(Front="AB"))
        assert [line.kind for line in tracing.lines] == [Kind.OUTLINE, Kind.INSIDE]
        assert area(tracing.lines[0]) == pytest.approx(200 * 300, rel=3e-3)

    def test_may_be_an_extension_of_a_smaller_outline(self) -> None:
        flare = line((200, 300), (260, 150), (200, 0))
        (tracing,) = sorted_out(closed(*LONG), flare, asked=styles(slim="A", wide="AB"))
        found = outlines(tracing)
        assert area(found["wide"]) - area(found["slim"]) == pytest.approx(9000, rel=0.02)

    def test_letters_may_be_small_and_apart(self) -> None:
        assert sorted_out(closed(*LONG), HEM, asked=styles(long="a, b", short="a"))

    def test_pieces_and_styles_go_together(self) -> None:
        drawn = (closed(*LONG), HEM, line((100, -0.1), (100, 300.1)))
        asked = Asked(
            styles=(("long", "ABCD"), ("short", "AB")), pieces=(("Left", "AC"), ("Right", "BD"))
        )
        tracings = sorted_out(*drawn, asked=asked)
        assert [tracing.name for tracing in tracings] == ["Left", "Right"]
        assert all(set(outlines(tracing)) == {"long", "short"} for tracing in tracings)

    def test_a_notch_on_one_style_only_is_that_styles(self) -> None:
        drawn = (closed(*LONG), HEM, tick((100, 0), (0, 1)), tick((100, 80), (0, 1)))
        (tracing,) = sorted_out(*drawn, asked=styles(long="AB", short="A"))
        notches = [each.style for each in tracing.lines if each.kind is Kind.NOTCH]
        assert sorted(notches) == ["long", "short"]

    def test_a_fold_is_drawn_for_each_style_that_has_its_own(self) -> None:
        drawn = (closed(*LONG), HEM, line((8, 120), (25, 120), (25, 250), (8, 250)))
        (tracing,) = sorted_out(*drawn, asked=styles(long="AB", short="A"))
        folds = {each.style: each for each in tracing.lines if each.kind is Kind.FOLD}
        lengths = {
            style: float(np.hypot(*(fold.points[-1] - fold.points[0])))
            for style, fold in folds.items()
        }
        assert lengths == {
            "long": pytest.approx(300, abs=1.5),
            "short": pytest.approx(220, abs=1.5),
        }


class TestWhatCannotBeAsked:
    drawn = (closed(*LONG), HEM)

    def test_letters_of_no_area(self) -> None:
        error = refused(*self.drawn, asked=styles(long="AC", short="A"))
        assert error.code == "wrong-letters"
        assert "The areas are A, B" in str(error)

    def test_an_area_in_two_pieces(self) -> None:
        assert refused(*self.drawn, asked=pieces(Top="AB", Low="B")).code == "area-in-two-pieces"

    def test_styles_without_an_area_in_common(self) -> None:
        assert refused(*self.drawn, asked=styles(long="B", short="A")).code == "styles-apart"

    def test_styles_that_are_the_same(self) -> None:
        assert refused(*self.drawn, asked=styles(long="AB", short="BA")).code == "styles-same"

    def test_areas_that_lie_apart(self) -> None:
        other = closed(*[(x + 400, y) for x, y in LONG])
        error = refused(*self.drawn, other, asked=pieces(Front="AB"))
        assert error.code == "areas-apart"

    def test_an_outline_with_a_hole(self) -> None:
        ring = closed((20, 20), (180, 20), (180, 280), (20, 280))
        assert refused(closed(*LONG), ring, asked=pieces(Front="A")).code == "areas-apart"

    def test_a_name_twice(self) -> None:
        asked = Asked(pieces=(("Front", "A"), ("Front", "B")))
        assert refused(*self.drawn, asked=asked).code == "name-twice"

    def test_what_is_not_named_is_told(self) -> None:
        doubts = Doubts()
        (tracing,) = sorted_out(*self.drawn, asked=pieces(Front="A"), doubts=doubts)
        assert area(tracing.lines[0]) == pytest.approx(200 * 220, rel=3e-3)
        assert [doubt.code for doubt in doubts.found] == ["areas-left-out"]


class TestColours:
    def test_a_chord_of_another_colour_is_a_style(self) -> None:
        doubts = Doubts()
        hem = Drawn(HEM.places, RED)
        (tracing,) = sorted_out(closed(*LONG), hem, doubts=doubts)
        found = outlines(tracing)
        assert set(found) == {"black", "red"}
        assert area(found["black"]) == pytest.approx(60000, rel=3e-3)
        assert area(found["red"]) == pytest.approx(44000, rel=3e-3)
        assert [doubt.code for doubt in doubts.found] == ["styles-by-colour"]
        assert "--style long=black --style short=red" in doubts.found[0].text

    def test_a_body_with_two_hems_has_no_style_of_its_own(self) -> None:
        body = line((0, 0), (0, 300), (200, 300), (200, 0))
        drawn = (body, line((0, 0), (200, 0), colour=BLUE), Drawn(HEM.places, RED))
        (tracing,) = sorted_out(*drawn)
        found = outlines(tracing)
        assert {style: area(each) for style, each in found.items()} == {
            "blue": pytest.approx(60000, rel=3e-3),
            "red": pytest.approx(44000, rel=3e-3),
        }

    def test_rings_that_cross_are_a_style_each(self) -> None:
        other = closed((20, -30), (180, -30), (180, 320), (20, 320), colour=GREEN)
        (tracing,) = sorted_out(closed(*LONG), other)
        assert {style: area(each) for style, each in outlines(tracing).items()} == {
            "black": pytest.approx(60000, rel=3e-3),
            "green": pytest.approx(160 * 350, rel=3e-3),
        }

    def test_rings_inside_one_another_are_a_style_each(self) -> None:
        inner = closed((20, 20), (180, 20), (180, 280), (20, 280), colour=BROWN)
        (tracing,) = sorted_out(closed(*LONG), inner)
        assert set(outlines(tracing)) == {"black", "brown"}

    def test_may_get_names(self) -> None:
        hem = Drawn(HEM.places, RED)
        (tracing,) = sorted_out(closed(*LONG), hem, asked=styles(long="black", short="red"))
        assert set(outlines(tracing)) == {"long", "short"}

    def test_may_mean_nothing_if_the_user_says_so(self) -> None:
        hem = Drawn(HEM.places, RED)
        (tracing,) = sorted_out(closed(*LONG), hem, asked=pieces(Front="AB"))
        assert [each.kind for each in tracing.lines] == [Kind.OUTLINE, Kind.INSIDE]

    def test_a_colour_that_is_not_there_is_refused(self) -> None:
        hem = Drawn(HEM.places, RED)
        error = refused(closed(*LONG), hem, asked=styles(long="black", short="green"))
        assert error.code == "wrong-colour"
        assert "black, red" in str(error)

    def test_in_the_middle_is_asked(self) -> None:
        """Above or below, the areas are about as large: either could be the style."""
        assert question(closed(*LONG), line((-0.1, 150), (200.1, 150), colour=RED))

    def test_do_not_answer_for_a_line_in_the_bodys_colour(self) -> None:
        yoke = line((-0.1, 250), (200.1, 250))
        assert question(closed(*LONG), Drawn(HEM.places, RED), yoke)

    @pytest.mark.parametrize("shift", [-3.0, 3.0])
    def test_a_marker_that_fades_is_one_marker(self, shift: float) -> None:
        faded = (BLACK[0] + 2 * shift, BLACK[1], BLACK[2] + shift)
        assert question(closed(*LONG), Drawn(HEM.places, faded))


class TestCrossingLines:
    def test_closed_ones_are_pieces(self) -> None:
        doubts = Doubts()
        one = closed(*arc((0, 0), 100, 0, 356, 90))
        other = closed(*arc((120, 0), 100, 0, 356, 90))
        tracings = sorted_out(one, other, doubts=doubts)
        assert [area(outlines(t)[""]) for t in tracings] == [
            pytest.approx(np.pi * 1e4, rel=5e-3)
        ] * 2
        assert [doubt.code for doubt in doubts.found] == ["outlines-cross"]

    def test_that_share_most_of_their_area_are_styles(self) -> None:
        other = closed((20, -30), (180, -30), (180, 320), (20, 320))
        (tracing,) = sorted_out(closed(*LONG), other)
        assert sorted(area(each) for each in outlines(tracing).values()) == [
            pytest.approx(160 * 350, rel=3e-3),
            pytest.approx(60000, rel=3e-3),
        ]

    def test_and_others_that_end_on_them_are_asked(self) -> None:
        other = closed((20, -30), (180, -30), (180, 320), (20, 320))
        assert question(closed(*LONG), other, line((20, 150), (180, 150)))


class TestOneInsideAnother:
    def test_nearly_as_large_is_asked(self) -> None:
        ring = closed((20, 20), (180, 20), (180, 280), (20, 280))
        asking = question(closed(*LONG), ring)
        assert "inside" in str(asking)
        assert [spot.label for spot in asking.table_spots] == ["A", "B"]

    def test_may_be_a_smaller_style(self) -> None:
        ring = closed((20, 20), (180, 20), (180, 280), (20, 280))
        text = str(question(closed(*LONG), ring))
        inner = "B" if "short=B" in text else "A"
        (tracing,) = sorted_out(closed(*LONG), ring, asked=styles(large="AB", small=inner))
        assert [area(each) for each in outlines(tracing).values()] == [
            pytest.approx(60000, rel=3e-3),
            pytest.approx(160 * 260, rel=3e-3),
        ]
