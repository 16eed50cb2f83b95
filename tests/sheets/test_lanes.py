"""Boxes in a band beside a line: found by comparing numbers, and the same as box by box."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry.base import BaseGeometry

from tests.strategies import lengths
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds
from tiler.sheets.bodies import NOWHERE, Bodies
from tiler.sheets.lanes import Beside, first_place
from tiler.sheets.places import as_boxes
from tiler.sheets.room import Room

LENGTH = 100.0
#: Wide enough for all lanes, with the most air.
AROUND = Bounds(-1.0, -1.0, LENGTH + 1, 41.0).grown(3.0)
AIRS = (0.0, 0.3, 1.5)
#: Boxes that rounding alone could tell apart are no case for a comparison, millimetres.
_NEAR = 1e-6

Lane = tuple[float, float]


@dataclass(frozen=True)
class Sheet:
    """What lies beside a line from (0, 0) along the x axis."""

    lines: tuple[BaseGeometry, ...] = ()
    taken: tuple[Bounds, ...] = ()
    turned: tuple[shapely.Polygon, ...] = ()
    bodies: tuple[shapely.Polygon, ...] = ()

    @property
    def room(self) -> Room:
        room = Room(self.lines)
        for box in self.taken:
            room.take(box)
        for shape in self.turned:
            room.take_shape(shape)
        return room

    def upright(self) -> Sheet:
        """The same beside a line along the y axis: x and y change places."""
        return Sheet(
            tuple(swapped(line) for line in self.lines),
            tuple(Bounds(b.bottom, b.left, b.top, b.right) for b in self.taken),
            tuple(swapped(shape) for shape in self.turned),
            tuple(swapped(body) for body in self.bodies),
        )


def swapped(shape: BaseGeometry) -> BaseGeometry:
    return shapely.transform(shape, lambda points: points[:, ::-1])


def turned_box(x: float, y: float, width: float, height: float, turn: float) -> shapely.Polygon:
    at = Affine.turn(turn).then(Affine.move(x, y))
    return shapely.Polygon([at(corner) for corner in Bounds(0, 0, width, height).corners()])


spots = st.tuples(lengths(-5, LENGTH + 5), lengths(-5, 45))
strokes = st.lists(spots, min_size=2, max_size=4, unique=True).map(shapely.LineString)
boxes = st.builds(
    lambda at, width, height: Bounds(*at, at[0] + width, at[1] + height),
    spots,
    lengths(1, 20),
    lengths(1, 20),
)
turned = st.builds(
    lambda at, width, height, turn: turned_box(*at, width, height, turn),
    spots,
    lengths(1, 20),
    lengths(1, 20),
    st.integers(1, 89),
)
areas = st.one_of(
    boxes.map(lambda box: shapely.box(*box)),
    turned,
    # A body may reach over everything, or have a hole in which there is room.
    st.just(shapely.box(-200, -200, 300, 300)),
    st.just(shapely.box(-200, -200, 300, 300) - shapely.box(20, -50, 70, 90)),
)
sheets = st.builds(
    Sheet,
    st.lists(strokes, max_size=5).map(tuple),
    st.lists(boxes, max_size=4).map(tuple),
    st.lists(turned, max_size=2).map(tuple),
    st.lists(areas, max_size=2).map(tuple),
)
bands = st.lists(
    st.tuples(lengths(0, 30), lengths(1, 10)).map(lambda each: (each[0], sum(each))),
    min_size=1,
    max_size=3,
)
starts_along = st.lists(lengths(0, LENGTH - 20), min_size=1, max_size=12)


def by_lanes(
    sheet: Sheet,
    room: Room,
    bands: Sequence[Lane],
    starts: Sequence[float],
    length: float,
    air: float | None,
    *,
    upright: bool,
) -> Bounds | None:
    """What is tested."""
    around = Bounds(AROUND.bottom, AROUND.left, AROUND.top, AROUND.right) if upright else AROUND
    beside = Beside(room, Bodies(sheet.bodies), around, upright=upright)
    return first_place([beside.lane(*band) for band in bands], starts, length, air)


def boxes_of(
    bands: Sequence[Lane], starts: Sequence[float], length: float, *, upright: bool
) -> list[Bounds]:
    """All boxes, best first."""
    if upright:
        return [Bounds(low, s, high, s + length) for low, high in bands for s in starts]
    return [Bounds(s, low, s + length, high) for low, high in bands for s in starts]


def doubtful(box: Bounds, sheet: Sheet, air: float) -> bool:
    """Whether rounding may decide: something is just about as far off as it has to be."""
    shape = shapely.box(*box)
    rims = [shapely.box(*each) for each in sheet.taken] + [*sheet.turned, *sheet.bodies]
    outer = shape.buffer(air, join_style="mitre")
    return any(
        outer.buffer(-_NEAR, join_style="mitre").intersects(line)
        != outer.buffer(_NEAR, join_style="mitre").intersects(line)
        for line in sheet.lines
    ) or any(
        shape.buffer(-_NEAR).intersects(rim) != shape.buffer(_NEAR).intersects(rim) for rim in rims
    )


@settings(deadline=None)
@given(
    sheet=sheets,
    bands=bands,
    starts=starts_along,
    length=lengths(2, 20),
    air=st.sampled_from(AIRS),
    upright=st.booleans(),
)
def test_the_first_free_box_is_the_one_found_box_by_box(
    sheet: Sheet,
    bands: list[Lane],
    starts: list[float],
    length: float,
    air: float,
    upright: bool,
) -> None:
    """Against shapely: outside of all bodies first, nearest lanes first, in the order given."""
    sheet = sheet.upright() if upright else sheet
    boxes = boxes_of(bands, starts, length, upright=upright)
    boxes = [box for box in boxes if not doubtful(box, sheet, air)]
    taken = [*(shapely.box(*box) for box in sheet.taken), *sheet.turned]
    free = [
        box
        for box in boxes
        if not any(shapely.box(*box.grown(air)).intersects(line) for line in sheet.lines)
        and not any(shapely.box(*box).intersection(each).area > 1e-9 for each in taken)
    ]
    outside = [
        box for box in free if not any(shapely.box(*box).intersects(body) for body in sheet.bodies)
    ]
    wanted = (outside or free or [None])[0]
    found = by_lanes(sheet, sheet.room, bands, starts, length, air, upright=upright)
    if len(boxes) == len(bands) * len(starts):
        assert found == wanted
    elif found in boxes:
        assert found in free


@settings(deadline=None)
@given(
    sheet=sheets,
    bands=bands,
    starts=starts_along,
    length=lengths(2, 20),
    air=st.sampled_from((*AIRS, None)),
    upright=st.booleans(),
)
def test_it_is_the_one_that_the_room_would_give(
    sheet: Sheet,
    bands: list[Lane],
    starts: list[float],
    length: float,
    air: float | None,
    upright: bool,
) -> None:
    """`Room` looks at boxes of any kind; a lane is a quicker way to the same one."""
    sheet = sheet.upright() if upright else sheet
    boxes = boxes_of(bands, starts, length, upright=upright)
    if any(doubtful(box, sheet, air or 0.0) for box in boxes):
        return
    sifted = Bodies(sheet.bodies).outside_first(as_boxes(boxes))
    room = sheet.room
    wanted = room.first_untaken(sifted) if air is None else room.first_free(sifted, air)
    found = by_lanes(sheet, sheet.room, bands, starts, length, air, upright=upright)
    assert found == wanted


@pytest.mark.parametrize("upright", [False, True])
def test_what_is_taken_is_in_the_way_of_the_next(upright: bool) -> None:
    """In this search and in every other one in the same room; boxes may stand edge to edge."""
    room = Room([])
    around = Bounds(-10, -10, 110, 110)
    beside = Beside(room, NOWHERE, around, upright=upright)
    starts = [10.0, 15.0, 20.0, 5.0]
    found = []
    while box := first_place([beside.lane(0, 5)], starts, 10.0, 0.0):
        beside.take(box)
        found.append(box.bottom if upright else box.left)
    assert found == [10.0, 20.0]
    assert first_place([beside.lane(5, 10)], starts, 10.0, 0.0)
    other = Beside(room, NOWHERE, around, upright=upright)
    assert first_place([other.lane(0, 5)], starts, 10.0, 0.0) is None


@pytest.mark.parametrize("upright", [False, True])
def test_what_has_to_stand_somewhere_is_taken_too(upright: bool) -> None:
    """The place with the fewest lines, and the next one does not get it again."""
    lines = [shapely.LineString([(x, -9), (x, 9)]) for x in (12, 14, 32)]
    room = Room([swapped(line) for line in lines] if upright else lines)
    beside = Beside(room, NOWHERE, Bounds(-10, -10, 110, 110), upright=upright)
    lane = beside.lane(0, 5)
    tried = [lane.box(start, 10.0) for start in (10.0, 30.0)]
    assert beside.least_struck(tried) == tried[1]
    assert beside.least_struck(tried) == tried[0]
    assert first_place([beside.lane(0, 5)], [10.0, 30.0], 10.0, None) is None


def test_a_line_that_only_passes_by_leaves_the_lane_free() -> None:
    """A slanted stroke blocks the part of the lane that it crosses, with its air, and no more."""
    # It rises 1 in 2, so that it is in a lane from 4 to 6 between 8 and 12.
    room = Room([shapely.LineString([Point(0, 0), Point(40, 20)])])
    beside = Beside(room, NOWHERE, Bounds(-10, -10, 110, 110), upright=False)
    for start, free in ((5.9, True), (6.1, False), (11.9, False), (12.1, True)):
        assert bool(first_place([beside.lane(4, 6)], [start], 2.0, 0.0)) == free
    # With 1 mm of air it counts from 3 to 7: between 6 and 14, and the boxes are longer as well.
    for start, free in ((2.9, True), (3.1, False), (14.9, False), (15.1, True)):
        assert bool(first_place([beside.lane(4, 6)], [start], 2.0, 1.0)) == free
