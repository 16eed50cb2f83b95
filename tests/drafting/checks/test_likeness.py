"""Outlines are told to be one shape when one is the other moved, turned, or turned over."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.drafting.checks.making import piece
from tiler.drafting.checks.likeness import fit, likeness, symmetric
from tiler.pattern.affine import Affine, Point
from tiler.pattern.model import Edge, Outline, Role
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic

#: No two halves of this one are alike.
ODD = [(0, 0), (0, 300), (120, 330), (200, 140), (180, 0)]

moves = st.builds(
    lambda degrees, x, y: Affine.turn(degrees).then(Affine.move(x, y)),
    st.floats(0, 360),
    st.floats(-500, 500),
    st.floats(-500, 500),
)


def outline(*places: tuple[float, float]) -> Outline:
    return piece("Any", places).stitch[0]


def moved(shape: Outline, by: Affine, start: int = 0) -> Outline:
    paths = [edge.path.moved(by) for edge in shape.edges]
    if by.determinant < 0:
        paths = [path.reversed() for path in reversed(paths)]
    paths = paths[start:] + paths[:start]
    return Outline(Role.CUT, tuple(Edge(letter, p) for letter, p in zip("ABCDE", paths,
                                                                        strict=False)))  # fmt: skip


@given(moves, st.integers(0, 4), st.booleans())
@settings(max_examples=60, deadline=None)
def test_a_moved_outline_is_the_same_and_its_side_is_told(
    by: Affine, start: int, over: bool
) -> None:
    shape = outline(*ODD)
    other = moved(shape, Affine.scale(-1, 1).then(by) if over else by, start)
    found = likeness(shape, other)
    assert found.same
    assert found.off < 0.5
    assert found.mirrored is over


@given(st.floats(3, 40), st.integers(0, 4))
@settings(max_examples=40, deadline=None)
def test_a_corner_moved_by_3_mm_or_more_is_another_outline(by: float, corner: int) -> None:
    changed = [(x + by * (n == corner), y) for n, (x, y) in enumerate(ODD)]
    assert not likeness(outline(*ODD), outline(*changed)).same


@pytest.mark.parametrize(
    ("places", "even"),
    [
        (ODD, False),
        ([(0, 0), (0, 300), (200, 300), (200, 0)], True),
        ([(0, 0), (30, 300), (170, 300), (200, 0)], True),
        # A parallelogram is the same turned by half, but not turned over.
        ([(0, 0), (60, 200), (260, 200), (200, 0)], False),
        ([(0, 0), (30, 300), (175, 300), (200, 0)], False),
    ],
)
def test_symmetric_pieces(places: list[tuple[float, float]], even: bool) -> None:
    for degrees in (0, 33, 90):
        assert symmetric(moved(outline(*places), Affine.turn(degrees))) is even


def test_a_bowed_side_makes_another_outline_that_is_still_symmetric() -> None:
    """The cubic rises 30 over its chord (3/4 of its handles' 40), and is alike from either end."""
    chord = outline((0, 0), (0, 300), (200, 300), (200, 0))
    curve = Cubic(Point(200, 300), Point(240, 200), Point(240, 100), Point(200, 0))
    paths = [edge.path for edge in chord.edges]
    paths[2] = Path((curve,))
    bowed = Outline(Role.CUT, tuple(Edge(e.letter, p) for e, p in zip(chord.edges, paths,
                                                                      strict=True)))  # fmt: skip
    assert fit(chord, bowed, mirrored=False) > 10
    assert symmetric(bowed)
