"""Push units apart that lie a little too near to each other, on the pages that they have."""

from __future__ import annotations

import math
from collections.abc import Sequence

import shapely
from shapely.affinity import affine_transform, translate
from shapely.geometry.base import BaseGeometry

from tiler.layout.ink import Floats, moved, touched
from tiler.layout.packing.exact import TOLERANCE
from tiler.layout.packing.shape import Shape
from tiler.layout.pages import sheets_of
from tiler.layout.tiles import Cell
from tiler.pattern.affine import Affine

#: Rounds in which each pair is pushed apart once.
_ROUNDS = 15
#: Degrees from the straight way apart in which a unit may give way instead.
_SIDEWAYS = (0.0, 35.0, -35.0, 60.0, -60.0)
#: What is pushed too far, millimetres, so that rounding brings no pair back.
_BEYOND = 0.02


class Loose:
    """Units that can be pushed about, as long as each stays on the pages that are printed.

    Args:
        shapes: The units.
        at: Unit -> canvas, millimetres.
        pitch: Millimetres from page to page, across and up.
        past: Millimetres that the outermost pages of a sheet show beyond their cells, each side.
        gap: Least free paper between two units, millimetres.
    """

    def __init__(
        self,
        shapes: Sequence[Shape],
        at: Sequence[Affine],
        pitch: tuple[float, float],
        past: tuple[float, float],
        gap: float,
    ) -> None:
        self.pitch, self.gap = pitch, gap
        self.at = list(at)
        self.chords: list[Floats] = [
            moved(shape.chords, place) for shape, place in zip(shapes, at, strict=True)
        ]
        self.bodies: list[BaseGeometry] = [
            affine_transform(shape.body, (m.a, m.c, m.b, m.d, m.e, m.f))
            for shape, m in zip(shapes, at, strict=True)
        ]
        self.cells = [touched(chords, pitch, 0.0) for chords in self.chords]
        #: Number of each unit's sheet: only units of one sheet have to be apart.
        self.sheet = [0] * len(shapes)
        for number, sheet in enumerate(sheets_of(self.chords, pitch, past)):
            for unit in sheet.members:
                self.sheet[unit] = number
        #: Cells on which each unit may lie.
        self.room = [
            self.cells[unit]
            if shape.group >= 0 or len(self.cells[unit]) == 1
            else frozenset().union(
                *(c for k, c in enumerate(self.cells) if self.sheet[k] == self.sheet[unit])
            )
            for unit, shape in enumerate(shapes)
        ]
        self.printed: frozenset[Cell] = frozenset().union(*self.cells)

    def close_pairs(self) -> list[tuple[int, int]]:
        """Pairs of one sheet that are nearer than the gap, less what is tolerated."""
        tree = shapely.STRtree(self.bodies)
        least = max(0.0, self.gap - TOLERANCE / 2)
        first, second = tree.query(self.bodies, predicate="dwithin", distance=least)
        pairs = sorted((int(a), int(b)) for a, b in zip(first, second, strict=True) if a < b)
        return [(a, b) for a, b in pairs if self.sheet[a] == self.sheet[b]]

    def may_move(self, unit: int, x: float, y: float) -> bool:
        """Whether a unit would ink no other cells than are printed for its sheet anyway.

        One that is kept whole or together with others stays on its own cells.
        """
        return touched(self.chords[unit] + (x, y), self.pitch, 0.0) <= self.room[unit]

    def move(self, unit: int, x: float, y: float) -> None:
        """Shift a unit by millimetres."""
        self.at[unit] = self.at[unit].then(Affine.move(x, y))
        self.chords[unit] = self.chords[unit] + (x, y)
        self.bodies[unit] = translate(self.bodies[unit], x, y)

    def push_apart(self, first: int, second: int) -> bool:
        """Shift one or both of a pair so that the gap is kept between them; whether that went."""
        line = shapely.shortest_line(self.bodies[first], self.bodies[second])
        (x, y), (to_x, to_y) = shapely.get_coordinates(line)
        apart = math.hypot(to_x - x, to_y - y)
        if apart < 0.5:
            return False
        way = math.atan2(to_y - y, to_x - x)
        need = self.gap - apart + _BEYOND
        for slant in _SIDEWAYS:
            angle, length = way + math.radians(slant), need / math.cos(math.radians(slant))
            step = length * math.cos(angle), length * math.sin(angle)
            for here, there in ((0.5, 0.5), (0.0, 1.0), (1.0, 0.0)):
                back, on = (-step[0] * here, -step[1] * here), (step[0] * there, step[1] * there)
                if (not here or self.may_move(first, *back)) and (
                    not there or self.may_move(second, *on)
                ):
                    if here:
                        self.move(first, *back)
                    if there:
                        self.move(second, *on)
                    return True
        return False


def keeps_apart(
    shapes: Sequence[Shape],
    at: Sequence[Affine],
    pitch: tuple[float, float],
    past: tuple[float, float],
    gap: float,
) -> bool:
    """Whether all units of each sheet have the gap between them, less what is tolerated."""
    return not Loose(shapes, at, pitch, past, gap).close_pairs()


def eased(
    shapes: Sequence[Shape],
    at: Sequence[Affine],
    pitch: tuple[float, float],
    past: tuple[float, float],
    gap: float,
) -> tuple[Affine, ...] | None:
    """The units at least the gap apart, on no other cells than before; None if that fails.

    Args:
        shapes: The units.
        at: Unit -> canvas, millimetres; bodies do not overlap.
        pitch: Millimetres from page to page, across and up.
        past: Millimetres that the outermost pages of a sheet show beyond their cells, each side.
        gap: Least free paper between two units, millimetres.
    """
    loose = Loose(shapes, at, pitch, past, gap)
    for _ in range(_ROUNDS):
        pairs = loose.close_pairs()
        if not pairs:
            found = tuple(loose.at)
            # A shift may have brought two sheets together that were none before.
            return found if keeps_apart(shapes, found, pitch, past, gap) else None
        if not any([loose.push_apart(*pair) for pair in pairs]):  # noqa: C419 (all are pushed)
            return None
    return None
