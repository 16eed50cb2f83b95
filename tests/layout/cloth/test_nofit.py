"""No-fit maps against shapely."""

import numpy as np
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.affinity import translate

from tiler.layout.cloth.nofit import map_of
from tiler.layout.cloth.ring import Floats


@st.composite
def stars(draw: st.DrawFn) -> Floats:
    """Simple rings, many of them hollow; anticlockwise."""
    radii = draw(st.lists(st.integers(20, 80), min_size=3, max_size=10))
    angles = np.arange(len(radii)) * 2 * np.pi / len(radii)
    ring = np.column_stack((np.cos(angles), np.sin(angles))) * np.array(radii)[:, None]
    return np.round(ring) if draw(st.booleans()) else ring


@settings(max_examples=25)
@given(stars(), stars())
def test_a_place_is_free_where_the_two_share_nothing(one: Floats, other: Floats) -> None:
    made = map_of(one, other, (0.7, 0.3), (9.0, 7.0))
    a, b = shapely.Polygon(one), shapely.Polygon(other)
    rows, columns = made.depth.shape
    for row in range(rows):
        for column in range(columns):
            at = ((made.column + column) * 9.0 + 0.7, (made.row + row) * 7.0 + 0.3)
            shared = shapely.intersection(a, translate(b, *at)).area
            if shared > 0.01:
                assert made.depth[row, column] > 0
            if shapely.distance(a, translate(b, *at)) > 0.01:
                assert made.depth[row, column] == 0


def test_depth_is_the_way_to_the_next_free_place() -> None:
    square = np.array([[0, 0], [50, 0], [50, 50], [0, 50]], dtype=float)
    made = map_of(square, square, (0.0, 0.0), (10.0, 10.0))
    # On one another they are five pixels from lying side by side; at (30, 10), two.
    assert made.depth[-made.row, -made.column] == 5
    assert made.depth[1 - made.row, 3 - made.column] == 2
    assert made.depth[-made.row, 5 - made.column] == 0
