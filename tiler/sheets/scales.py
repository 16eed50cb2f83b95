"""The ticks of one page at a joint, in their places."""

from __future__ import annotations

from functools import lru_cache

from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import bounds_of
from tiler.sheets.drawing import Drawing, Group, Use
from tiler.sheets.tickplaces import BESIDE, TickSpot
from tiler.sheets.ticks import Ticks, at_joint, vernier

#: Ticks that are no farther off their place beside the others are beside them, millimetres.
_SAME = 1e-6


def draw_scales(
    straight: TickSpot, slanted: TickSpot, over: bool, to_page: Affine, *, upright: bool
) -> list[Use | Group]:
    """Straight and slanted ticks; as one drawing where they stand side by side, as they mostly do.

    Args:
        straight: Where the straight ones are, sheet coordinates.
        slanted: Where the slanted ones are.
        over: Whether the page lies over its neighbour.
        to_page: Sheet to page.
        upright: Whether the joint runs up the page.
    """
    first, second = (at_joint(to_page(spot.at), upright=upright) for spot in (straight, slanted))
    beside = Affine.move(BESIDE, 0.0).then(first)
    near = Point(beside.e, beside.f).to(Point(second.e, second.f)) <= _SAME
    if near and not (straight.bare or slanted.bare):
        return [Use(_both(over), first)]
    return [
        _scale(Ticks.STRAIGHT, Use(vernier(Ticks.STRAIGHT, over, straight.bare), first)),
        _scale(Ticks.SLANTED, Use(vernier(Ticks.SLANTED, over, slanted.bare), second)),
    ]


@lru_cache(maxsize=2)
def _both(over: bool) -> Drawing:
    uses = [
        Use(vernier(Ticks.STRAIGHT, over)),
        Use(vernier(Ticks.SLANTED, over), Affine.move(BESIDE, 0.0)),
    ]
    bounds = bounds_of([use.drawing.bounds.moved(use.at) for use in uses])
    return Drawing(bounds, tuple(_scale(kind, use) for kind, use in zip(Ticks, uses, strict=True)))


def _scale(kind: Ticks, ticks: Use) -> Group:
    number = 1 if kind is Ticks.STRAIGHT else 2
    return Group((ticks,), furniture=True, facts=(("Scale", number),))
