"""Words along slanted lines: never on their head, and in each other's way only where they are."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.printed import words_on
from tiler.pattern.affine import STILL, Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.sheets.drawing import Group, Page, Words
from tiler.sheets.extent import word_boxes, word_shapes
from tiler.sheets.places import turned_boxes
from tiler.sheets.room import Room
from tiler.sheets.upright import corners_along, turned_corners, upright

angles = st.floats(-720, 720)


@given(angles)
def test_words_run_along_the_line_and_stand_upright(degrees: float) -> None:
    """The turn is in (-90, 90], and the direction is the line's or its opposite."""
    along = (math.cos(math.radians(degrees)), math.sin(math.radians(degrees)))
    forward, turn = upright(along)
    assert -90 < turn <= 90
    cross = along[0] * forward[1] - along[1] * forward[0]
    assert abs(cross) < 1e-9
    wanted = math.cos(math.radians(turn)), math.sin(math.radians(turn))
    assert math.dist(wanted, forward) < 1e-4


@pytest.mark.parametrize(
    ("along", "turn"),
    [((1, 0), 0), ((0, 1), 90), ((0, -1), 90), ((-1, 0), 0), ((1e-9, -1), 90), ((-1e-9, -1), 90)],
)
def test_quarter_turns_are_read_from_below_or_from_the_right(
    along: tuple[float, float], turn: float
) -> None:
    """Straight down counts as straight up, rounding or not."""
    assert upright(along)[1] == pytest.approx(turn, abs=1e-6)


@given(angles, st.floats(1, 60), st.floats(-5, 0), st.floats(0.5, 5))
def test_corners_make_a_box_of_the_size_asked_for(
    degrees: float, half: float, low: float, high: float
) -> None:
    """Twice the half by the height, whichever way it lies."""
    along = (math.cos(math.radians(degrees)), math.sin(math.radians(degrees)))
    shape = shapely.Polygon(corners_along(Point(10, 20), along, half, low, high))
    assert shape.area == pytest.approx(2 * half * (high - low), rel=1e-9)
    assert shape.exterior.is_ccw
    start, end = shapely.Point(10, 20), shape.centroid
    assert start.distance(end) == pytest.approx(abs(low + high) / 2, abs=1e-9)


@settings(deadline=None)
@given(st.floats(-89, 90), st.text("Agjx ", min_size=1, max_size=12), st.floats(7, 24))
def test_the_shape_of_turned_words_holds_their_ink(turn: float, text: str, size: float) -> None:
    """Ink measured with the typeface itself lies in the turned box, and in the upright one."""
    words = Words(text, Point(60, 50), size, anchor="middle", turn=turn)
    items = (Group((words,), at=Affine.turn(20).then(Affine.move(5, 5))),)
    # A tenth of the type size: what letters such as j reach beyond their own width.
    air = size / 72 * 25.4 / 10
    [shape] = word_shapes(items, STILL, air)
    [box] = word_boxes(items, STILL)
    for seen in words_on(Page("A1", 300, 300, items)):
        assert shape.covers(seen.ink)
        assert shapely.box(*box.grown(air)).covers(seen.ink)


@given(st.floats(-180, 180))
def test_turned_boxes_are_turned_about_the_origin(turn: float) -> None:
    """As shapes in bulk and as corners one by one."""
    box = Bounds(3, 4, 20, 9)
    [shape] = turned_boxes([box], turn)
    assert shape.equals_exact(shapely.Polygon(turned_corners(box, turn)), 1e-9, normalize=True)
    assert turned_boxes([box], turn, 1.0)[0].area == pytest.approx(19 * 7)


def test_slanted_words_are_in_each_other_s_way_only_where_they_share_paper() -> None:
    """Two parallel slanted lines of words, whose upright boxes overlap nearly wholly."""
    room = Room([])
    along = (math.sqrt(0.5), math.sqrt(0.5))
    assert room.take_if_free(corners_along(Point(50, 50), along, 40, 0, 3))
    assert room.take_if_free(corners_along(Point(50, 56), along, 40, 0, 2))
    assert not room.take_if_free(corners_along(Point(50, 53), along, 40, 0, 3))
    # An upright box in the free corner of the slanted one's bounds.
    corner = Bounds(24, 60, 34, 70)
    assert room.first_free([corner]) == corner
    assert room.first_free([Bounds(45, 45, 55, 55)]) is None


@settings(deadline=None)
@given(
    st.lists(st.tuples(st.floats(-90, 90), st.floats(0, 200), st.floats(0, 200)), max_size=10),
)
def test_turned_places_are_given_away_only_once(
    wanted: list[tuple[float, float, float]],
) -> None:
    """Whatever the turns, no two boxes that are given away share paper."""
    room = Room([])
    given_away = []
    for turn, x, y in wanted:
        box = Bounds(x, y, x + 60, y + 12)
        if room.first_free([box], turn=turn):
            given_away += list(turned_boxes([box], turn))
    for number, one in enumerate(given_away):
        for other in given_away[:number]:
            assert (one & other).area < 1e-6
