"""Notches at any place of any piece: put on the cut line, or refused with a reason.

Outside values: shapely measures distances on fine chords.
"""

from dataclasses import replace

import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.strategies import outlines
from tiler.drafting.cutlines import with_cut
from tiler.drafting.notching import with_notches
from tiler.pattern.errors import PatternError
from tiler.pattern.model import Lies, Outline, Pattern, Piece, Role
from tiler.pattern.wishes import NotchShape, NotchWish, Place, Wishes


@settings(deadline=None)
@given(
    outlines(60, 250),
    st.integers(0, 7),
    st.floats(0, 1),
    st.sampled_from((1, 2)),
    st.sampled_from((0.0, 4.0, 6.0, 15.0, 30.0)),
    st.sampled_from(NotchShape),
    st.booleans(),
)
def test_near_corners_too(
    outline: Outline,
    number: int,
    share: float,
    count: int,
    allowance: float,
    shape: NotchShape,
    from_end: bool,
) -> None:
    edges = tuple(
        replace(edge, lies=Lies.SEWN if edge.lies is Lies.FOLD else edge.lies)
        for edge in outline.edges
    )
    ring = Outline(Role.STITCH, edges)
    letter = edges[number % len(edges)].letter
    wish = NotchWish(letter, Place(letter, fraction=share, from_end=from_end), None, count, shape)
    piece = Piece("Front", (ring,), allowance=allowance, wishes=Wishes(notches=(wish,)))
    try:
        piece = with_cut(replace(piece, stitch=(ring,)))
        made = with_notches(Pattern("Smock", (piece,))).pieces[0]
    except PatternError:
        assume(False)
    assert len(made.marks) == count
    cut = shapely.LinearRing(made.outlines[0].path.flattened(0.002))
    stitch = shapely.LinearRing(ring.path.flattened(0.002))
    for mark in made.marks:
        assert cut.distance(shapely.Point(mark.at)) < 0.01
        # A slit stays clear of the stitches.
        if len(mark.path.segments) == 1:
            assert stitch.distance(shapely.Point(mark.path.end)) > 2.99
