"""A unit as the packing sees it: what is drawn, and the paper that is cut out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely
from shapely.geometry.base import BaseGeometry

from tiler.layout.ink import CLOSE, chords_of
from tiler.pattern.model import Piece

Floats = npt.NDArray[np.float64]

#: Half the width that a drawn line which sticks out of the cut paper takes up, millimetres.
LINE = 0.25


@dataclass(frozen=True, eq=False)
class Shape:
    """A unit in its own coordinates, millimetres, y up.

    Args:
        index: Its place among the units, from 0.
        chords: Everything drawn for it as short straight lines, shape (n, 2, 2), n >= 1.
        body: All paper that is cut out: the outlines filled, with every line that sticks out.
        whole: Whether it must lie on one page.
        group: Number of the units that it is kept together with; -1 for none.
    """

    index: int
    chords: Floats
    body: BaseGeometry
    whole: bool = False
    group: int = -1

    @property
    def area(self) -> float:
        """Square millimetres of its body."""
        return float(self.body.area)


def shape_of(
    index: int, chords: Floats, rings: Sequence[Floats], whole: bool = False, group: int = -1
) -> Shape:
    """A shape from what is drawn and the rings of its outlines, each of shape (n, 2)."""
    filled = [shapely.make_valid(shapely.Polygon(ring)) for ring in rings if len(ring) >= 3]
    body = shapely.union_all(filled)
    drawn = shapely.MultiLineString([line.tolist() for line in chords])
    outside = drawn.difference(body.buffer(CLOSE))
    if not outside.is_empty:
        body = body.union(outside.buffer(LINE, quad_segs=2))
    # What has no area, such as the seam of an outline that touches itself, is left out.
    body = shapely.union_all([part for part in shapely.get_parts(body) if part.area > 0])
    return Shape(index, chords, body, whole, group)


def shapes_of(
    units: Sequence[Sequence[Piece]],
    whole: Sequence[bool] = (),
    groups: Sequence[int] = (),
) -> tuple[Shape, ...]:
    """The units as shapes, in their order.

    Args:
        units: Pieces that are placed as one, in one coordinate frame.
        whole: For each unit whether it must lie on one page; empty when none must.
        groups: For each unit the number of its keep-together group or -1; empty when there is none.
    """
    shapes = []
    for index, unit in enumerate(units):
        chords = np.concatenate([chords_of(piece) for piece in unit])
        rings = [
            np.array(outline.path.flattened(CLOSE), dtype=float)
            for piece in unit
            for outline in piece.outlines
        ]
        shapes.append(
            shape_of(
                index,
                chords,
                rings,
                bool(whole[index]) if whole else False,
                groups[index] if groups else -1,
            )
        )
    return tuple(shapes)
