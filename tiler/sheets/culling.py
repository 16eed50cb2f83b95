"""Which pages show something of what is drawn on the sheet."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from tiler.layout.ink import CLOSE
from tiler.pattern.bounds import Bounds


class Windows:
    """The windows of pages, sheet coordinates; an index over all of them."""

    def __init__(self, windows: Sequence[Bounds]) -> None:
        self._tree = shapely.STRtree([shapely.box(*window) for window in windows])

    def showing(
        self, shapes: Sequence[BaseGeometry], halves: Sequence[float] | None = None
    ) -> list[frozenset[int]]:
        """The windows into which the ink of each shape comes, as indices.

        Lines count with their width. A shape that misses a window by less than 0.05 mm, which is
        what flattening may have taken off a curve, is taken to be in it.

        Args:
            shapes: Lines or areas, sheet coordinates.
            halves: Half the width of each line, millimetres; None for areas.
        """
        found: list[set[int]] = [set() for _ in shapes]
        if shapes:
            reach = np.zeros(len(shapes)) if halves is None else np.array(halves)
            pairs = self._tree.query(
                np.array(shapes, dtype=object), predicate="dwithin", distance=reach + CLOSE
            )
            for shape, window in pairs.T.tolist():
                found[shape].add(window)
        return [frozenset(each) for each in found]
