"""How long an edge is as it is sewn, without looking at its notches."""

from __future__ import annotations

import pytest

from tests.demos import DEMOS, drafted_demo
from tiler.drafting.walking.sewn import sewn_edge, sewn_length
from tiler.pattern.errors import PatternError
from tiler.pattern.wishes import EdgeName


@pytest.mark.parametrize("demo", DEMOS)
def test_it_is_the_length_of_the_edge_that_is_walked(demo: str) -> None:
    """In every style, on edges with darts and without."""
    pattern = drafted_demo(demo)
    for piece in pattern.pieces:
        for ring in piece.stitch:
            for edge in ring.edges:
                name = EdgeName(piece.name, edge.letter)
                length = sewn_length(pattern, name, ring.style)
                assert length == sewn_edge(pattern, name, ring.style).length


def test_what_is_not_there_is_refused_in_the_same_words() -> None:
    pattern = drafted_demo("hat")
    for name in (EdgeName("Brim", "Z"), EdgeName("Rim", "A")):
        with pytest.raises(PatternError) as told:
            sewn_edge(pattern, name)
        with pytest.raises(PatternError) as again:
            sewn_length(pattern, name)
        assert str(again.value) == str(told.value)
