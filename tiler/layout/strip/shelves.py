"""Items on shelves as they come: what any better way is compared with."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tiler.layout.strip.items import Item
from tiler.layout.strip.paper import RIM, Strip
from tiler.pattern.affine import Affine


@dataclass(frozen=True, slots=True)
class Spot:
    """Where an item lies: the number of the length, and item -> that length's millimetres."""

    length: int
    at: Affine


def shelved(items: Sequence[Item], strip: Strip, gap: float) -> tuple[Spot, ...]:
    """The items in their order from left to right, in rows, a gap between their upright boxes.

    Each lies in the first of its turns that fits; a row begins where the next item would go over
    the edge, a gap below the lowest one, and a new length where the row would go over its end.

    Args:
        items: Each goes on a length in one turn at least.
        strip: The paper; its `count` is not heeded.
        gap: Least free paper between two items, millimetres.

    Raises:
        ValueError: An item goes on no length in any turn.
    """
    inside = strip.width - 2 * RIM
    length, top, left, low = 0, max(strip.head, RIM), 0.0, 0.0
    spots = []
    for item in items:
        turns = item.fits(inside, strip.limit - 2 * RIM)
        if not turns:
            raise ValueError("an item goes on no length")
        width, height = item.size(turns[0])
        if left and left + width > inside + 1e-6:
            top, left, low = low + gap, 0.0, 0.0
        if top + height > strip.limit - RIM + 1e-6:
            length, top, left, low = length + 1, RIM, 0.0, 0.0
        turn = Affine.turn(turns[0])
        box = item.turned(turn).bounds
        spots.append(Spot(length, turn.then(Affine.move(RIM + left - box[0], -top - box[3]))))
        low = max(low, top + height)
        left += width + gap
    return tuple(spots)
