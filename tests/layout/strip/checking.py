"""Whether items lie on a strip as they should, by shapely alone."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations

import shapely
from shapely import affinity

from tiler.layout.strip.items import Item
from tiler.layout.strip.lay import Lain
from tiler.layout.strip.paper import Strip

#: Millimetres that an item stays away from the edge.
RIM = 1.0


def lying(items: Sequence[Item], lain: Lain) -> list[shapely.Geometry]:
    """The items' bodies where they lie, each on its own length."""
    return [
        affinity.affine_transform(item.body, [at.a, at.c, at.b, at.d, at.e, at.f])
        for item, at in ((item, spot.at) for item, spot in zip(items, lain.spots, strict=True))
    ]


def check_lain(items: Sequence[Item], lain: Lain, strip: Strip, gap: float) -> None:
    """Every item once, whole on one length, off its edges and its head, apart, never mirrored."""
    assert len(lain.spots) == len(items)
    bodies = lying(items, lain)
    deepest = 0.0
    for item, spot, body in zip(items, lain.spots, bodies, strict=True):
        at = spot.at
        assert math.isclose(at.a * at.d - at.b * at.c, 1, abs_tol=1e-9)
        assert math.isclose(at.a, at.d, abs_tol=1e-9)
        assert math.isclose(at.b, -at.c, abs_tol=1e-9)
        turn = math.degrees(math.atan2(at.b, at.a))
        assert any(abs((turn - t + 180) % 360 - 180) < 1e-6 for t in item.turns)
        left, bottom, right, top = body.bounds
        assert left >= RIM - 1e-3
        assert right <= strip.width - RIM + 1e-3
        assert top <= -(max(RIM, strip.head) if spot.length == 0 else RIM) + 1e-3
        assert -bottom <= strip.limit - RIM + 1e-3
        assert 0 <= spot.length < lain.lengths
        deepest = max(deepest, RIM - bottom)
    for one, other in combinations(range(len(items)), 2):
        if lain.spots[one].length == lain.spots[other].length:
            assert bodies[one].distance(bodies[other]) >= gap - 1e-3
    assert math.isclose(lain.longest, deepest, abs_tol=1e-6)
