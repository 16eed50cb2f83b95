"""Rings without corners, and edges of different widths: what holds whatever the shape."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import pairwise

import shapely
from hypothesis import assume, given
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from tests.drafting.allowance.making import as_role, ring_of
from tests.drafting.allowance.measuring import NEAR, lacking, needles, standing_out
from tests.drawing import draws
from tests.strategies import lengths, outlines
from tiler.drafting.allowance import CornerFinish, Finish, cut_outline, stitch_outline
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Lies, Outline, Role
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic, Segment

WIDTHS = (0.0, 3.0, 6.0, 10.0, 15.0, 25.0, 40.0)
_SLOW = draws(30)


@st.composite
def pebbles(draw: DrawFn) -> Outline:
    """One smooth edge all round, nowhere bent tighter than about 40 mm either way."""
    size = draw(lengths(100, 300))
    waves = [(k, draw(lengths(0, 0.25 / k**2)), draw(lengths(0, 6))) for k in (2, 3)]

    def at(angle: float) -> tuple[Point, Point]:
        r = size * (1 + sum(a * math.cos(k * angle + f) for k, a, f in waves))
        d = size * sum(-a * k * math.sin(k * angle + f) for k, a, f in waves)
        cos, sin = math.cos(angle), math.sin(angle)
        return Point(r * cos, r * sin), Point(d * cos - r * sin, d * sin + r * cos)

    count = 12
    step = -math.tau / count
    segments: list[Segment] = []
    for number in range(count):
        (p, v), (q, w) = at(step * number), at(step * ((number + 1) % count))
        third = step / 3
        segments.append(
            Cubic(
                p,
                Point(p.x + v.x * third, p.y + v.y * third),
                Point(q.x - w.x * third, q.y - w.y * third),
                q,
            )
        )
    return ring_of([Path(tuple(segments))])


@_SLOW
@given(pebbles(), st.sampled_from((6.0, 15.0, 25.0)))
def test_a_smooth_line_is_followed_within_two_hundredths(stitch: Outline, width: float) -> None:
    """Every place of the cut line is its width from the stitch line, and no gap is left."""
    made = cut_outline(stitch, {"A": width})
    line = shapely.LinearRing(stitch.path.flattened(0.0005))
    points = shapely.points([tuple(p) for p in made.path.flattened(0.01)])
    distances = shapely.distance(points, line)
    assert abs(distances - width).max() < 0.02
    # All round: Steiner's formula, area + perimeter x width + pi width^2, for smooth rings.
    expected = stitch.area + stitch.path.length * width + math.pi * width**2
    assert abs(made.area - expected) < 0.02 * made.path.length
    assert len(made.edges[0].path.segments) <= 3 * len(stitch.edges[0].path.segments)


@_SLOW
@given(pebbles(), st.sampled_from((6.0, 15.0, 25.0)))
def test_out_and_back_again(stitch: Outline, width: float) -> None:
    back = stitch_outline(cut_outline(stitch, {"A": width}), {"A": width})
    line = shapely.LinearRing(stitch.path.flattened(0.0005))
    points = shapely.points([tuple(p) for p in back.path.flattened(0.01)])
    assert shapely.distance(points, line).max() < 0.04
    assert abs(back.area - stitch.area) < 0.04 * stitch.path.length


@_SLOW
@given(
    outlines(120, 400),
    st.lists(st.sampled_from((6.0, 10.0, 15.0, 25.0)), min_size=8, max_size=8),
    st.lists(st.sampled_from((Finish.MITRE, Finish.SQUARE)), min_size=8, max_size=8),
)
def test_no_edge_has_less_than_it_was_given(
    drawn: Outline, amounts: list[float], ways: list[Finish]
) -> None:
    """Away from corners every place of a stitch edge has its whole width of cloth outside it."""
    # A fold has no allowance, and what meets it slantwise ends on its straight continuation.
    sewn = tuple(replace(edge, lies=Lies.SEWN) for edge in drawn.edges)
    stitch = as_role(replace(drawn, edges=sewn), Role.STITCH)
    widths = {e.letter: w for e, w in zip(stitch.edges, amounts, strict=False)}
    asked = {e: CornerFinish(way) for e, way in zip(widths, ways, strict=False)}
    try:
        made = cut_outline(stitch, widths, asked)
    except PatternError:
        assume(False)
    cloth = shapely.Polygon(made.path.flattened(0.002)).buffer(0.025)
    widest = max(amounts)
    for edge in stitch.edges:
        length = edge.path.length
        distance = widest * 1.5
        while distance < length - widest * 1.5:
            place, (dx, dy) = edge.path.point_at(distance)
            width = widths[edge.letter]
            assert cloth.covers(shapely.Point(place.x - dy * width, place.y + dx * width))
            distance += 40


@_SLOW
@given(outlines(60, 300), st.data())
def test_anything_asked_is_answered_or_refused(drawn: Outline, data: st.DataObject) -> None:
    """Folds, hems, raw edges and any finish: a sound ring with every edge, or a PatternError."""
    stitch = as_role(drawn, Role.STITCH)
    amounts = st.sampled_from((0.0, 6.0, 15.0, 40.0))
    widths = {e.letter: 0.0 if e.lies is Lies.FOLD else data.draw(amounts) for e in stitch.edges}
    letters = list(widths)
    ways = st.builds(CornerFinish, st.sampled_from(Finish), st.booleans())
    finishes = {letter: data.draw(ways) for letter in letters}
    made = _answer(stitch, widths, finishes)
    if isinstance(made, PatternError):
        assert made.problem
        assert made.remedy
        return
    assert [edge.letter for edge in made.edges] == letters
    assert all(edge.path.length > 0.001 for edge in made.edges)
    ring = shapely.Polygon(made.path.flattened(0.01))
    assert ring.buffer(0.05).covers(shapely.Polygon(stitch.path.flattened(0.01)))


def _answer(
    stitch: Outline, widths: dict[str, float], finishes: dict[str, CornerFinish]
) -> Outline | PatternError:
    try:
        return cut_outline(stitch, widths, finishes)
    except PatternError as told:
        return told


@st.composite
def smooth_rings(draw: DrawFn) -> Outline:
    """A closed curve through 5 to 12 points (Catmull and Rom), parted into 1 to 5 edges.

    The edges run on smoothly into one another; hollows are tighter than some allowances.
    """
    count = draw(st.integers(5, 12))
    size = draw(st.sampled_from((40.0, 100.0, 250.0)))
    rough = draw(st.sampled_from((0.25, 0.6)))
    points = []
    for number in range(count):
        angle = -math.tau * (number + draw(lengths(-0.2, 0.2))) / count
        reach = size * (1 + rough * draw(lengths(-1, 1)))
        points.append(Point(reach * math.cos(angle), reach * math.sin(angle)))
    curves: list[Segment] = []
    for n in range(count):
        a, b, c, d = (points[(n + step) % count] for step in (-1, 0, 1, 2))
        one = Point(b.x + (c.x - a.x) / 6, b.y + (c.y - a.y) / 6)
        two = Point(c.x - (d.x - b.x) / 6, c.y - (d.y - b.y) / 6)
        curves.append(Cubic(b, one, two, c))
    parts = draw(st.integers(1, min(5, count)))
    cuts = [round(count * part / parts) for part in range(parts + 1)]
    stitch = ring_of([Path(tuple(curves[a:b])) for a, b in pairwise(cuts)])
    assume(stitch.path.area < 0 and shapely.Polygon(stitch.path.flattened(0.01)).is_valid)
    return stitch


@draws(50)
@given(smooth_rings(), st.lists(st.sampled_from(WIDTHS), min_size=5, max_size=5))
def test_nowhere_less_and_nowhere_more_than_asked(stitch: Outline, amounts: list[float]) -> None:
    widths = {edge.letter: width for edge, width in zip(stitch.edges, amounts, strict=False)}
    made = cut_outline(stitch, widths)
    assert lacking(stitch, made, widths) < NEAR
    assert standing_out(stitch, made, widths) < NEAR
    assert needles(made) < 0.5


@_SLOW
@given(smooth_rings(), st.lists(st.sampled_from((0.0, 3.0, 6.0, 10.0)), min_size=5, max_size=5))
def test_inside_a_cut_line_there_are_no_needles(drawn: Outline, amounts: list[float]) -> None:
    cut = as_role(drawn, Role.CUT)
    widths = {edge.letter: width for edge, width in zip(cut.edges, amounts, strict=False)}
    try:
        made = stitch_outline(cut, widths)
    except PatternError:
        assume(False)
    assert needles(made) < 0.5
    assert (
        shapely.Polygon(cut.path.flattened(0.002))
        .buffer(NEAR)
        .covers(shapely.LinearRing(made.path.flattened(0.002)))
    )
