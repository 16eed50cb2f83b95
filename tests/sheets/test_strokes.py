"""Which boxes lines run through, and which boxes touch the pieces, held against shapely."""

from __future__ import annotations

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry.base import BaseGeometry

from tests.strategies import lengths
from tiler.pattern.bounds import Bounds
from tiler.sheets.bodies import Bodies
from tiler.sheets.places import around, as_boxes
from tiler.sheets.strokes import Strokes

boxes = st.builds(
    lambda x, y, w, h: Bounds(x, y, x + w, y + h),
    lengths(0, 200),
    lengths(0, 200),
    lengths(1, 60),
    lengths(1, 60),
)
points = st.tuples(lengths(0, 200), lengths(0, 200))
lines = (
    st.lists(points, min_size=2, max_size=70).map(shapely.LineString).filter(lambda x: x.length > 0)
)
discs = st.builds(
    lambda at, far, hole: shapely.Point(at).buffer(far) - shapely.Point(at).buffer(hole * far),
    points,
    lengths(2, 120),
    st.sampled_from([0.0, 0.4, 0.9]),
)


def clear_cut(wanted: list[Bounds], shapes: list[BaseGeometry]) -> list[Bounds]:
    """Those of the boxes that do not just touch a line: rounding decides there."""
    return [
        box
        for box in wanted
        if not any(
            shapely.box(*box.grown(1e-6)).intersects(line)
            != shapely.box(*box.grown(-1e-6)).intersects(line)
            for line in shapes
        )
    ]


@settings(deadline=None)
@given(st.lists(boxes, min_size=1, max_size=20), st.lists(lines, max_size=3))
def test_strokes_run_through_the_boxes_that_they_meet(
    wanted: list[Bounds], drawn: list[shapely.LineString]
) -> None:
    """Few strokes, tried one by one, and many, looked up, tell what the lines themselves tell."""
    tried = clear_cut(wanted, drawn)
    if not tried:
        return
    rows = as_boxes(tried)
    near = Strokes(drawn).near(around(rows))
    met = [any(shapely.box(*box).intersects(line) for line in drawn) for box in tried]
    assert near.through(rows).tolist() == met
    assert not (near.none and any(met))


def test_a_dot_is_a_stroke() -> None:
    """A line without length is in the way where it is, and nowhere else."""
    near = Strokes([shapely.LineString([(5, 5), (5, 5)])]).near(Bounds(0, 0, 20, 10))
    rows = as_boxes([Bounds(0, 0, 10, 10), Bounds(10, 0, 20, 10)])
    assert near.through(rows).tolist() == [True, False]


@settings(deadline=None)
@given(st.lists(boxes, min_size=1, max_size=20), st.lists(discs, max_size=3))
def test_boxes_outside_the_pieces_come_first(
    wanted: list[Bounds], areas: list[BaseGeometry]
) -> None:
    """A box inside a piece, across its rim or round all of it touches it; one in its hole not."""
    tried = clear_cut(wanted, areas)
    if not tried:
        return
    bodies, rows = Bodies(areas), as_boxes(tried)
    touch = [any(shapely.box(*box).intersects(area) for area in areas) for box in tried]
    outside = rows[~np.array(touch)]
    assert bodies.outside(rows).all().tolist() == outside.tolist()
    first = bodies.outside_first(rows).all().tolist()
    assert sorted(first) == sorted(rows.tolist())
    if len(outside) and not all(touch):
        assert first[: len(outside)] == outside.tolist()
