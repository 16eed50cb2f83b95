"""Ticks at a joint go where nothing else is, and without their words before they go over lines."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from tiler.pattern.affine import Point
from tiler.pattern.bounds import Bounds
from tiler.sheets.bodies import NOWHERE, Bodies
from tiler.sheets.places import as_boxes
from tiler.sheets.room import Room
from tiler.sheets.tickplaces import Stretch, TickSpot
from tiler.sheets.ticks import Ticks, at_joint

LENGTH = 180.0
BETWEEN = (38.0, 142.0)
upright = pytest.mark.parametrize("upright", [True, False])


def stretch(upright: bool, room: Room, bodies: Bodies = NOWHERE) -> Stretch:
    """A joint from the origin."""
    end = Point(0, LENGTH) if upright else Point(LENGTH, 0)
    return Stretch(Point(0, 0), end, BETWEEN, room, bodies)


def box_of(spot: TickSpot, kind: Ticks, upright: bool) -> Bounds:
    """What the ticks there cover."""
    frame = kind.bare_box if spot.bare else kind.box
    return frame.moved(at_joint(spot.at, upright=upright))


def along(spot: TickSpot) -> float:
    """Millimetres from the start of the joint."""
    return spot.at.x + spot.at.y


@upright
def test_on_blank_paper_both_lie_side_by_side_in_the_middle(upright: bool) -> None:
    """With their words, straight ones first, and as near to the middle as can be."""
    straight, slanted = stretch(upright, Room([])).spots()
    assert not straight.bare
    assert not slanted.bare
    assert 17 < along(slanted) - along(straight) < 18
    low, high = along(straight) - 6.2, along(slanted) + 11
    assert (low + high) / 2 == pytest.approx(LENGTH / 2, abs=1)
    assert BETWEEN[0] <= low
    assert high <= BETWEEN[1]


@given(
    where=st.lists(st.floats(0, LENGTH), max_size=6),
    upright=st.booleans(),
)
def test_ticks_with_words_are_never_struck(where: list[float], upright: bool) -> None:
    """Lines across the joint anywhere: whatever carries words is clear of them and of the other."""
    ends = [((-20, a), (20, a)) if upright else ((a, -20), (a, 20)) for a in where]
    lines = [shapely.LineString(end) for end in ends]
    spots = stretch(upright, Room(lines)).spots()
    boxes = [
        shapely.box(*box_of(spot, kind, upright)) for spot, kind in zip(spots, Ticks, strict=True)
    ]
    for spot, box in zip(spots, boxes, strict=True):
        assert spot.bare or not any(box.intersects(line) for line in lines)
    assert boxes[0].intersection(boxes[1]).area < 1e-9
    # Six lines leave a stretch of 25 mm or more, or two shorter ones, for one kind at least.
    assert not spots[0].bare


@upright
def test_words_go_before_lines_are_struck(upright: bool) -> None:
    """A line 6 mm beside the whole joint leaves room for bare ticks only."""
    line = ((-6, 0), (-6, LENGTH)) if upright else ((0, 6), (LENGTH, 6))
    room = Room([shapely.LineString(line)])
    assert all(spot.bare for spot in stretch(upright, room).spots())


@upright
def test_ticks_leave_the_pieces_alone(upright: bool) -> None:
    """With half of the joint on a piece, they stand on the other half."""
    half = shapely.box(-30, -30, 30, LENGTH / 2) if upright else shapely.box(-30, -30, 90, 30)
    for spot in stretch(upright, Room([]), Bodies([half])).spots():
        assert along(spot) > LENGTH / 2


def test_places_outside_come_first_in_their_order() -> None:
    """What touches a body goes to the end; nothing is lost."""
    boxes = as_boxes([Bounds(x, 0, x + 5, 5) for x in (0.0, 20.0, 10.0, 30.0)])
    bodies = Bodies([shapely.box(0, 0, 12, 3)])
    assert bodies.outside_first(boxes).all().tolist() == boxes[[1, 3, 0, 2]].tolist()
    assert bodies.outside(boxes).all().tolist() == boxes[[1, 3]].tolist()
    assert NOWHERE.outside_first(boxes).all().tolist() == boxes.tolist()
    assert len(bodies.outside_first(as_boxes([])).all()) == 0


def test_least_struck_avoids_words_before_lines() -> None:
    """Words under words cannot be read at all; a line through ticks can be borne."""
    room = Room([shapely.LineString([(0, 2), (15, 2)]), shapely.LineString([(10, 3), (15, 3)])])
    room.take(Bounds(20, 0, 25, 5))
    boxes = [Bounds(x, 0, x + 4, 5) for x in (20.0, 10.5, 1.0)]
    assert room.least_struck(boxes) == boxes[2]
    assert room.least_struck(boxes) == boxes[1]
