"""Random outlines against an offsetting library that works in another way.

Clipper (through pyclipper) offsets polygons of short chords in whole numbers; we offset curves.
Distances are measured by shapely.
"""

from __future__ import annotations

from dataclasses import replace

import pyclipper
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.drafting.allowance.making import all_of, as_role
from tests.drawing import draws
from tests.strategies import outlines
from tiler.drafting.allowance import MITRE_LIMIT, cut_outline
from tiler.pattern.model import Outline, Role
from tiler.pattern.path import polyline
from tiler.pattern.segment import turn_between

#: Whole numbers in a millimetre.
SCALE = 100_000
WIDTHS = st.sampled_from((6.0, 10.0, 15.0, 25.0))
#: The fit (0.02 mm) and the chords on both sides (0.002 mm each).
NEAR = 0.025


def clipped(outline: Outline, width: float, join: int) -> shapely.Polygon:
    """What Clipper makes of the outline; its holes are filled, as a knife could not follow them."""
    tool = pyclipper.PyclipperOffset(MITRE_LIMIT, 0.001 * SCALE)
    points = [(round(x * SCALE), round(y * SCALE)) for x, y in outline.path.flattened(0.002)]
    tool.AddPath(points, join, pyclipper.ET_CLOSEDPOLYGON)
    rings = [
        shapely.Polygon([(x / SCALE, y / SCALE) for x, y in ring])
        for ring in tool.Execute(width * SCALE)
    ]
    return max(rings, key=lambda polygon: polygon.area)


@draws(60)
@given(outlines(60, 300), WIDTHS)
def test_one_width_all_round(drawn: Outline, width: float) -> None:
    """Nowhere less than the width all round; the same line as Clipper's away from mitres."""
    stitch = as_role(drawn, Role.STITCH)
    assume(shapely.Polygon(stitch.path.flattened(0.002)).is_valid)
    made = cut_outline(stitch, all_of(stitch, width))
    ours = shapely.Polygon(made.path.flattened(0.002))
    rounded = clipped(stitch, width, pyclipper.JT_ROUND)
    assert rounded.difference(ours.buffer(NEAR)).area < 1e-3
    # Mitres of chords and of curves point to slightly different places: they are left out.
    points = [
        edge.path.end
        for edge, after in zip(stitch.edges, (*stitch.edges[1:], stitch.edges[0]), strict=True)
        if turn_between(edge.path.segments[-1], after.path.segments[0]) < 0
    ]
    # A needle that is blunted has its two corners a little further out than the limit.
    corners = shapely.MultiPoint(points).buffer((MITRE_LIMIT + 0.3) * width)
    elsewhere = ours.exterior.difference(corners)
    beyond = elsewhere.difference(rounded.buffer(NEAR))
    assert beyond.length < 0.01
    assert made.role is Role.CUT
    assert [edge.letter for edge in made.edges] == [edge.letter for edge in stitch.edges]


@draws(40)
@given(outlines(60, 300), WIDTHS)
def test_mitres_reach_as_far_as_clippers(drawn: Outline, width: float) -> None:
    """Polygons without curves, whose mitres are within the limit, are the same to a micrometre."""
    corners = [edge.path.start for edge in drawn.edges]
    stitch = as_role(drawn, Role.STITCH)
    ends = [*corners[1:], corners[0]]
    straight = Outline(
        Role.STITCH,
        tuple(
            replace(edge, path=polyline([edge.path.start, end]))
            for edge, end in zip(stitch.edges, ends, strict=True)
        ),
    )
    turns = [
        turn_between(edge.path.segments[-1], after.path.segments[0])
        for edge, after in zip(
            straight.edges, (*straight.edges[1:], straight.edges[0]), strict=True
        )
    ]
    assume(min(turns) > -140 and shapely.Polygon(straight.path.flattened(1)).is_valid)
    ours = shapely.Polygon(cut_outline(straight, all_of(straight, width)).path.flattened(0.01))
    theirs = clipped(straight, width, pyclipper.JT_MITER)
    assert ours.symmetric_difference(theirs).area < 1e-4 * theirs.length
