"""Many points of a path at once are the ones that it gives one by one, to the last bit."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.strategies import outlines
from tiler.drafting.points import flattened, points_on
from tiler.pattern.model import Outline


@settings(max_examples=20)
@given(outlines(), st.sampled_from([0.0005, 0.02, 0.1]))
def test_a_flattened_path_has_the_same_points(outline: Outline, tolerance: float) -> None:
    path = outline.path
    assert flattened(path, tolerance).tolist() == [
        list(point) for point in path.flattened(tolerance)
    ]


@settings(max_examples=20)
@given(outlines(), st.lists(st.floats(0, 1), min_size=1, max_size=20))
def test_points_on_a_segment_are_those_at_its_parameters(
    outline: Outline, shares: list[float]
) -> None:
    for segment in outline.path.segments:
        ends = {0.0: segment.start, 1.0: segment.end}
        expected = [list(ends.get(share, segment.at(share))) for share in shares]
        assert points_on(segment, np.array(shares)).tolist() == expected
