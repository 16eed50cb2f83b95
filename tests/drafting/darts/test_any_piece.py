"""Darts in random pieces: done properly, or refused with a reason.

Outside values: shapely judges whether rings are sound; legs are equal by definition; sewn lengths
by scipy's quadrature.
"""

from dataclasses import replace

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.drafting.darts.shapes import length_by_quadrature
from tests.strategies import outlines
from tiler.drafting.darts.wished import with_darts
from tiler.drafting.rings import polygon_of
from tiler.drafting.walking.sewn import sewn_edge
from tiler.intake.nearest import nearest
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Lies, Outline, Pattern, Piece, Role
from tiler.pattern.wishes import DartWish, EdgeName, Place, Wishes


def piece_of(outline: Outline, *darts: DartWish) -> Piece:
    edges = tuple(replace(edge, lies=Lies.SEWN) for edge in outline.edges)
    ring = Outline(Role.STITCH, edges)
    return Piece("Front", (ring,), stitch=(ring,), wishes=Wishes(darts=darts))


@settings(deadline=None)
@given(
    outlines(80, 300),
    st.integers(0, 7),
    st.floats(0.1, 0.9),
    st.floats(3, 40),
    st.floats(20, 120),
    st.floats(-20, 20),
    st.booleans(),
    st.one_of(st.just(0.0), st.floats(20, 150)),
)
def test_a_dart_anywhere(
    outline: Outline,
    number: int,
    share: float,
    intake: float,
    length: float,
    slant: float,
    onwards: bool,
    blend: float,
) -> None:
    letters = [edge.letter for edge in outline.edges]
    index = number % len(letters)
    after, before = letters[(index + 1) % len(letters)], letters[index - 1]
    wish = DartWish(
        Place(letters[index], fraction=share),
        length,
        intake,
        after if onwards else before,
        gives=after if blend else "",
        blend=blend,
        slant=slant,
    )
    piece = piece_of(outline, wish)
    try:
        made, _ = with_darts(piece)
    except PatternError:
        assume(False)
    (old,), (ring,) = piece.stitch, made.stitch
    assert [edge.letter for edge in ring.edges] == letters
    polygon = polygon_of(ring.path)
    assert polygon.is_valid
    (line,) = made.lines
    left, tip, right = line.path.nodes()
    assert left.to(tip) == pytest.approx(right.to(tip))
    assert polygon.buffer(0.1).contains(shapely.Point(tip))
    edge = ring.edges[index]
    assert max(nearest(edge.path, end).distance for end in (left, right)) < 1e-6
    changed = {letters[index], after} if blend else {letters[index]}
    for was, now in zip(old.edges, ring.edges, strict=True):
        assert now == was or now.letter in changed
    # Neighbours still meet.
    for one, other in zip(ring.edges, (*ring.edges[1:], ring.edges[0]), strict=True):
        assert one.path.end.to(other.path.start) < 1e-9
    if blend:
        # The edge that was opened is as long when sewn as it was traced.
        sewn = sewn_edge(Pattern("", (made,)), EdgeName("Front", edge.letter)).length
        assert sewn == pytest.approx(length_by_quadrature(old.edges[index].path), abs=1e-3)
    (drill,) = made.marks
    assert shapely.Polygon([left, tip, right]).contains(shapely.Point(drill.at))


@settings(deadline=None)
@given(outlines(150, 300), st.floats(0.15, 0.4), st.floats(0.6, 0.85), st.floats(5, 15))
def test_two_darts_in_one_edge(outline: Outline, low: float, high: float, intake: float) -> None:
    """Both orders of asking give the same piece."""
    edge = max(outline.edges, key=lambda e: e.path.length)
    assume(edge.path.length > 120)
    index = outline.edges.index(edge)
    after = outline.edges[(index + 1) % len(outline.edges)].letter
    one, other = (
        DartWish(Place(edge.letter, fraction=share), 40, intake, after) for share in (low, high)
    )
    try:
        first, _ = with_darts(piece_of(outline, one, other))
        second, _ = with_darts(piece_of(outline, other, one))
    except PatternError:
        assume(False)
    assert first.stitch == second.stitch
    assert first.lines == second.lines
    assert len(first.lines) == 2
