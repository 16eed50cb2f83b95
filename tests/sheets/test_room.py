"""Finding a place for words where no line runs."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.strategies import lengths
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.pattern.path import circle, polyline
from tiler.sheets.places import as_boxes, boxes_in, nearest_first
from tiler.sheets.room import Room, as_line

boxes = st.builds(
    lambda x, y, w, h: Bounds(x, y, x + w, y + h),
    lengths(0, 90),
    lengths(0, 90),
    lengths(1, 20),
    lengths(1, 20),
)


@settings(deadline=None)
@given(st.lists(boxes, max_size=12), st.lists(boxes, max_size=4))
def test_what_is_found_free_is_free_and_comes_first(
    wanted: list[Bounds], lines: list[Bounds]
) -> None:
    """The first box that no line meets is returned; when none is free, nothing is."""
    drawn = [shapely.box(*line).boundary for line in lines]
    found = Room(drawn).first_free(wanted)
    free = [b for b in wanted if not any(shapely.box(*b).intersects(line) for line in drawn)]
    assert found == (free[0] if free else None)


@settings(deadline=None)
@given(st.lists(boxes, min_size=2, max_size=12))
def test_a_place_is_given_away_only_once(wanted: list[Bounds]) -> None:
    """Words that have found their place are in the way of the next ones."""
    room = Room([])
    given_away: list[Bounds] = []
    while (box := room.first_free(wanted)) is not None:
        assert not any(box.meets(other) for other in given_away)
        given_away.append(box)
    assert given_away


def test_a_box_that_is_taken_stays_free() -> None:
    """A place kept free by hand is not given away."""
    room = Room([])
    room.take(Bounds(0, 0, 10, 10))
    assert room.first_free([Bounds(5, 5, 8, 8)]) is None
    assert room.first_free([Bounds(10, 0, 20, 10)]) == Bounds(10, 0, 20, 10)
    assert room.first_free([]) is None


@pytest.mark.parametrize(("width", "height", "count"), [(10, 10, 1), (4, 10, 3), (11, 4, 0)])
def test_boxes_stay_in_their_frame(width: float, height: float, count: int) -> None:
    """All places lie inside the frame, and both ends of it are tried."""
    frame = Bounds(100, 50, 110, 60)
    spots = [Bounds(*spot) for spot in boxes_in(frame, width, height, 3)]
    assert len({box.left for box in spots}) == count
    for box in spots:
        assert box.width == pytest.approx(width)
        assert frame.left - 1e-9 <= box.left
        assert box.right <= frame.right + 1e-9
        assert frame.bottom - 1e-9 <= box.bottom
        assert box.top <= frame.top + 1e-9


def test_boxes_come_from_the_top_left() -> None:
    """Rows from the top, each from the left."""
    spots = [Bounds(*spot) for spot in boxes_in(Bounds(0, 0, 10, 10), 5, 5, 5)]
    assert [(box.left, box.top) for box in spots] == [(0, 10), (5, 10), (0, 5), (5, 5)]


@settings(deadline=None)
@given(st.lists(boxes, min_size=1, max_size=10), st.randoms())
def test_nearest_first_does_not_depend_on_the_order_given(wanted: list[Bounds], chance) -> None:
    """Sorted by the distance of their middles, the same for every order."""
    to = Point(50, 50)
    shuffled = list(wanted)
    chance.shuffle(shuffled)
    ordered = nearest_first(as_boxes(shuffled), to).tolist()
    assert ordered == nearest_first(as_boxes(wanted), to).tolist()
    assert sorted(ordered) == sorted(list(box) for box in wanted)
    distances = [Bounds(*box).centre.to(to) for box in ordered]
    assert distances == pytest.approx(sorted(distances), abs=1e-5)


def test_a_path_becomes_a_line_close_to_it() -> None:
    """Flattened to a tenth of a millimetre, moved where it is asked to be."""
    ring = circle(Point(0, 0), 50)
    line = as_line(ring, Affine.move(100, 20))
    assert line.distance(shapely.Point(100, 20)) == pytest.approx(50, abs=0.1)
    assert as_line(polyline([Point(0, 0), Point(3, 4)])).length == pytest.approx(5)
