"""Our search beside a strip-packing engine, on instances from the literature."""

import math
from itertools import combinations

import pytest
import shapely
from shapely.affinity import translate

from tests.layout.cloth.instances import ENGINE, instance
from tiler.layout.cloth.stretch import Stage, lay


@pytest.mark.parametrize(("name", "rows"), [("shirts", 40), ("trousers", 79)])
def test_it_uses_no_less_of_the_strip_than_the_engine_alone_less_two_points(
    name: str, rows: int
) -> None:
    things, strip = instance(name)
    lain = lay(things, (0.0, strip), (Stage(rows, 0.0, 1.5e6, fine=()),), seed=1)
    bodies = []
    for thing, spot in zip(things, lain.spots, strict=True):
        ring = shapely.Polygon(thing.forms[spot.form].outline)
        bodies.append(translate(ring, spot.x, spot.y))
    for one, other in combinations(bodies, 2):
        assert shapely.intersection(one, other).area < 1e-3
    left, low, right, high = shapely.GeometryCollection(bodies).bounds
    assert min(left, low) >= -1e-6
    assert high <= strip + 1e-6
    assert math.isclose(right, lain.length, abs_tol=1e-6)
    used = sum(body.area for body in bodies) / (right * strip)
    assert used >= ENGINE[name] - 0.02
