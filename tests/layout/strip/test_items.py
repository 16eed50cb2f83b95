"""Units of a pattern as items of a strip."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from shapely import affinity

from tiler.layout.packing.options import Packing
from tiler.layout.packing.shape import shape_of
from tiler.layout.strip.items import Item, item_of


def slanted(width: float, height: float, degrees: float) -> Item:
    ring = shapely.get_coordinates(affinity.rotate(shapely.box(0, 0, width, height), degrees))
    chords = [[ring[k], ring[k + 1]] for k in range(len(ring) - 1)]
    return item_of(shape_of(0, np.array(chords), [ring]), Packing("quick"))


@pytest.mark.parametrize("degrees", [0.0, 12.3456, 77.7001, 133.33])
def test_an_item_can_be_turned_to_be_as_narrow_as_it_is(degrees: float) -> None:
    """A rectangle of 2000 x 300 mm, drawn slanting, is 300 mm wide in one of its turns."""
    item = slanted(2000, 300, degrees)
    assert item.least_width == pytest.approx(300, abs=1e-3)
    assert item.fits(300.001)
    assert not item.fits(299.9)


def test_an_item_that_may_not_turn_has_one_turn() -> None:
    ring = shapely.get_coordinates(shapely.box(0, 0, 10, 20))
    chords = np.stack([ring[:-1], ring[1:]], axis=1)
    item = item_of(shape_of(0, chords, [ring]), Packing("quick", turn=False))
    assert item.turns == (0.0,)
    assert item.size(0.0) == pytest.approx((10, 20))
    assert item.size(90.0) == pytest.approx((20, 10))
