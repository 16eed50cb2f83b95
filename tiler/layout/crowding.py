"""Which units of a plan lie over one another or too near, and what else is not as it was asked."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import shapely
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from tiler.layout.ink import Floats, bounds_of_chords, moved, shown
from tiler.layout.packing.burden import rails_of
from tiler.layout.packing.exact import TOLERANCE
from tiler.layout.packing.shape import shapes_of
from tiler.layout.plan import Plan
from tiler.layout.settle import RIM
from tiler.layout.spots import Unit, block_origin
from tiler.layout.tiles import Block, Cell, PageSetup
from tiler.pattern.affine import Affine
from tiler.pattern.model import Pattern


@dataclass(frozen=True, slots=True)
class Close:
    """Two units of one sheet that are nearer to each other than asked.

    Args:
        one: Number of a unit.
        other: Number of the other, which is the larger number.
        apart: Free paper between them, millimetres; 0 where they touch.
        over: Whether they lie over one another, by more than 0.1 mm.
    """

    one: int
    other: int
    apart: float
    over: bool


class Lain:
    """The units of a tiled plan as they lie.

    Args:
        plan: The plan.
        units: What is placed as one on it.
    """

    def __init__(self, plan: Plan, units: Sequence[Unit]) -> None:
        self.plan, self.units = plan, units
        at = {placement.piece.name: placement.at for placement in plan.placements}
        places = [at[unit[0].name] for unit in units]
        shapes = shapes_of(units)
        self.areas = [shape.area for shape in shapes]
        self.chords: list[Floats] = [
            moved(shape.chords, place) for shape, place in zip(shapes, places, strict=True)
        ]
        self.bodies: list[BaseGeometry] = [
            affine_transform(shape.body, (m.a, m.c, m.b, m.d, m.e, m.f))
            for shape, m in zip(shapes, places, strict=True)
        ]
        self.cells: list[frozenset[Cell]] = [
            frozenset(shown(plan.grid, plan.cells, chords)) for chords in self.chords
        ]

    def close(self, gap: float) -> tuple[Close, ...]:
        """Pairs of one sheet that are nearer than a gap (millimetres), less what is tolerated."""
        sheets = [self._sheet(number) for number in range(len(self.units))]
        least = max(0.0, gap - TOLERANCE)
        found = []
        for one, other in combinations(range(len(self.units)), 2):
            pair = self.bodies[one], self.bodies[other]
            if sheets[one] == sheets[other] and shapely.dwithin(*pair, least):
                apart = float(shapely.distance(*pair))
                over = apart == 0.0 and _overlap(*pair)
                if over or apart < least:
                    found.append(Close(one, other, apart, over))
        return tuple(found)

    def split(self) -> tuple[int, ...]:
        """The units that lie over a joint though they would fit on one page as they are turned."""
        setup = self.plan.grid.setup
        return tuple(
            number
            for number, chords in enumerate(self.chords)
            if len(self.cells[number]) > 1 and fits_page(chords, setup)
        )

    def along_joints(self) -> tuple[float, ...]:
        """For each unit the millimetres of its lines that run along joints, or nearly so."""
        pitch, found = self.plan.grid.setup.pitch, []
        for number, chords in enumerate(self.chords):
            block = self._sheet(number)
            printed = frozenset(cell for cell in self.plan.cells if block.holds(cell))
            origin = block_origin(self.plan, block)
            rails = rails_of(moved(chords, Affine.move(-origin.x, -origin.y)))
            found.append(rails.along(pitch, printed))
        return tuple(found)

    def parted(self, pattern: Pattern) -> Iterator[tuple[str, ...]]:
        """The groups of pieces that are to be kept together and do not share pages."""
        pages = {
            piece.name: self.cells[number]
            for number, unit in enumerate(self.units)
            for piece in unit
        }
        for group in pattern.together:
            cells = [pages[name] for name in group if name in pages]
            if cells and not linked_by_pages(cells):
                yield tuple(name for name in group if name in pages)

    def _sheet(self, number: int) -> Block:
        return self.plan.grid.block_of(min(self.cells[number], key=lambda c: (c.row, c.column)))


def fits_page(chords: Floats, setup: PageSetup) -> bool:
    """Whether what is drawn would fit on one page as it is turned."""
    box, window = bounds_of_chords(chords), setup.window.grown(-RIM)
    return box.width <= window.width and box.height <= window.height


def linked_by_pages(members: Sequence[frozenset[Cell]]) -> bool:
    """Whether each shares a page with another one, and all hang together by such pages."""
    reached, left = set(members[0]), list(members[1:])
    while left:
        near = [cells for cells in left if cells & reached]
        if not near:
            return False
        reached = reached.union(*near)
        left = [cells for cells in left if not cells & reached]
    return True


def _overlap(one: BaseGeometry, other: BaseGeometry) -> bool:
    """Whether two bodies share more than a common line."""
    return bool(shapely.intersects(one.buffer(-TOLERANCE, quad_segs=2), other))
