"""Lay plans made by hand: one piece after the other along the cloth, each easily seen."""

from __future__ import annotations

import math
from collections.abc import Sequence

from tests.demos import drafted_demo
from tiler.layout.cloth.demand import needs_of, whole_ring
from tiler.layout.cloth.model import Cloth, Laid, LayPlan, Need, Part, Spread
from tiler.layout.cloth.ring import Ring
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds, bounds_of_points
from tiler.pattern.model import Lay

FLIP = Affine.scale(1, -1)
BETWEEN = 5.0


def bounds(ring: Ring) -> Bounds:
    return bounds_of_points([Point(*point) for point in ring])


def laid(need: Need, copy: int, start: float, low: float, **how: bool) -> Laid:
    """One cut with its grain along the cloth, its left end and its lower side where they are asked.

    A piece on the fold has its fold line at 0.
    """
    down, on_fold, opened = (bool(how.get(key)) for key in ("down", "on_fold", "opened"))
    ring = whole_ring(need) if opened else need.ring
    at = Affine.turn(-math.degrees(math.atan2(need.grain[1], need.grain[0])))
    if on_fold:
        assert need.fold
        fold = at(need.fold[0]).y
        down = bounds(tuple(at(Point(*p)) for p in ring)).centre.y < fold
    at = at.then(FLIP) if down else at
    box = bounds(tuple(at(Point(*point)) for point in ring))
    foot = at(need.fold[0]).y if on_fold and need.fold else box.bottom
    at = at.then(Affine.move(start - box.left, (0.0 if on_fold else low) - foot))
    outline = tuple(at(Point(*point)) for point in ring)
    layers = 2 if how.get("double") or on_fold else 1
    return Laid(need.piece, copy, at, down, layers, on_fold, opened, outline)


def row(needs: Sequence[Need], cloth: Cloth) -> LayPlan:
    """All pieces one after the other: folded ones first, the others on cloth that is opened out."""
    end = 0.0
    parts = []
    folded = cloth.spread is Spread.FOLDED
    double = [need for need in needs if folded and need.lay is not Lay.COPIES]
    single = [need for need in needs if need not in double]
    for spread, some in ((Spread.FOLDED, double), (Spread.SINGLE, single)):
        start, cuts = end, []
        for need in some:
            on_fold = folded and need.lay is Lay.FOLD
            pair = folded and need.lay is Lay.PAIR
            for number in range(need.count // (2 if pair else 1)):
                cut = laid(
                    need,
                    number + 1,
                    end + BETWEEN,
                    cloth.selvedge,
                    on_fold=on_fold,
                    double=pair,
                    opened=need.fold is not None and not on_fold,
                    down=need.lay is Lay.PAIR and not folded and number % 2 == 1,
                )
                cuts.append(cut)
                end = bounds(cut.outline).right
        if cuts:
            parts.append(Part(spread, start, end, tuple(cuts)))
    return LayPlan(cloth, tuple(parts), end, 0.5)


def demo_plan(demo: str, cloth: Cloth) -> LayPlan:
    return row(needs_of(drafted_demo(demo), cloth.name), cloth)
