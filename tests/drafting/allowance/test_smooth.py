"""Rings without corners, and edges of different widths: what holds whatever the shape."""

from __future__ import annotations

import math

import shapely
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from hypothesis.strategies import DrawFn

from tests.drafting.allowance.making import as_role, ring_of
from tests.strategies import lengths, outlines
from tiler.drafting.allowance import Finish, cut_outline, stitch_outline
from tiler.pattern.affine import Point
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Lies, Outline, Role
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic, Segment

_SLOW = settings(
    max_examples=150, deadline=None, suppress_health_check=[HealthCheck.too_slow], database=None
)


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
    stitch = as_role(drawn, Role.STITCH)
    widths = {e.letter: w for e, w in zip(stitch.edges, amounts, strict=False)}
    letters = list(widths)
    pairs = zip(letters, [*letters[1:], letters[0]], strict=True)
    try:
        made = cut_outline(stitch, widths, dict(zip(pairs, ways, strict=False)))
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
    pairs = zip(letters, [*letters[1:], letters[0]], strict=True)
    finishes = {pair: data.draw(st.sampled_from(Finish)) for pair in pairs}
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
    stitch: Outline, widths: dict[str, float], finishes: dict[tuple[str, str], Finish]
) -> Outline | PatternError:
    try:
        return cut_outline(stitch, widths, finishes)
    except PatternError as told:
        return told
