"""Items pushed together in millimetres, where pixels leave a little room."""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from tiler.layout.strip.items import Item
from tiler.layout.strip.paper import RIM, Strip
from tiler.layout.strip.shelves import Spot
from tiler.pattern.affine import Affine

#: Shifts that are tried, millimetres, long ones first.
_SHIFTS = (32.0, 8.0, 2.0, 0.5, 0.1, 0.02)
_ROUNDS = 4
#: Distances this much under the gap are rounding, millimetres.
ROUNDING = 1e-6


def pushed(
    items: Sequence[Item], spots: Sequence[Spot], strip: Strip, gap: float
) -> tuple[Spot, ...]:
    """The items of each length shifted towards its beginning, then to the left, as far as it goes.

    Args:
        items: What is laid.
        spots: Where, the gap apart.
        strip: The paper.
        gap: Least free paper between two items, millimetres.
    """
    moved = list(spots)
    for length in sorted({spot.length for spot in spots}):
        members = [k for k, spot in enumerate(spots) if spot.length == length]
        heap = _Heap([items[k].turned(spots[k].at) for k in members], gap)
        left, head = RIM, max(RIM, strip.head if length == 0 else 0.0)
        for _ in range(_ROUNDS):
            order = sorted(range(len(members)), key=lambda k: (-heap.bodies[k].bounds[3], k))
            went = [heap.push(k, left, -head) for k in order]
            if not any(went):
                break
        for k, (x, y) in zip(members, heap.shifts, strict=True):
            moved[k] = Spot(length, spots[k].at.then(Affine.move(x, y)))
    return tuple(moved)


class _Heap:
    """Bodies on one length, and how far each has been shifted."""

    def __init__(self, bodies: list[BaseGeometry], gap: float) -> None:
        self.bodies, self.gap = bodies, gap
        self.shifts = [(0.0, 0.0)] * len(bodies)

    def push(self, number: int, left: float, top: float) -> bool:
        """Shift one body up and to the left in turn; whether it went."""
        went = False
        for x, y in ((0.0, 1.0), (-1.0, 0.0), (0.0, 1.0)):
            for shift in _SHIFTS:
                while self._goes(number, x * shift, y * shift, left, top):
                    went = True
        return went

    def _goes(self, number: int, x: float, y: float, left: float, top: float) -> bool:
        body = self.bodies[number]
        box = body.bounds
        if box[0] + x < left - ROUNDING or box[3] + y > top + ROUNDING:
            return False
        there = translate(body, x, y)
        low_x, low_y, high_x, high_y = (
            there.bounds[0] - self.gap,
            there.bounds[1] - self.gap,
            there.bounds[2] + self.gap,
            there.bounds[3] + self.gap,
        )
        for k, other in enumerate(self.bodies):
            if k == number:
                continue
            o = other.bounds
            if o[0] > high_x or o[2] < low_x or o[1] > high_y or o[3] < low_y:
                continue
            if shapely.dwithin(there, other, max(0.0, self.gap - ROUNDING)):
                return False
        self.bodies[number] = there
        dx, dy = self.shifts[number]
        self.shifts[number] = dx + x, dy + y
        return True
