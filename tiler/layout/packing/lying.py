"""A unit where it lies, and roughly which pages it needs after a shift."""

from __future__ import annotations

from functools import cached_property

import numpy as np
import numpy.typing as npt
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from tiler.layout.ink import Floats, beads, moved, touched
from tiler.layout.packing.burden import Rails, rails_of
from tiler.layout.packing.shape import Shape
from tiler.layout.tiles import Cell
from tiler.pattern.affine import Affine

#: Millimetres between the points that stand for a unit's lines.
_BEADS = 4.0


class Lying:
    """A unit on the canvas.

    Args:
        shape: The unit.
        at: Unit -> canvas, millimetres.
    """

    def __init__(self, shape: Shape, at: Affine) -> None:
        self.shape, self.at = shape, at
        self._touched: frozenset[Cell] | None = None

    @cached_property
    def chords(self) -> Floats:
        """What is drawn, on the canvas."""
        return moved(self.shape.chords, self.at)

    @cached_property
    def body(self) -> BaseGeometry:
        """The paper that is cut out, on the canvas."""
        m = self.at
        return affine_transform(self.shape.body, (m.a, m.c, m.b, m.d, m.e, m.f))

    @cached_property
    def rails(self) -> Rails:
        """What may lie along joints."""
        return rails_of(self.chords)

    @cached_property
    def points(self) -> Floats:
        """Points that stand for what is drawn, shape (n, 2)."""
        return np.concatenate([beads(self.chords, _BEADS), self.chords.reshape(-1, 2)])

    @cached_property
    def box(self) -> tuple[float, float, float, float]:
        """Left, bottom, right and top of what is drawn."""
        (left, bottom), (right, top) = self.points.min(axis=0), self.points.max(axis=0)
        return float(left), float(bottom), float(right), float(top)

    def shifted(self, x: float, y: float) -> Lying:
        """The unit, moved by millimetres."""
        return Lying(self.shape, self.at.then(Affine.move(x, y)))

    def turned(self, degrees: float) -> Lying:
        """The unit, turned counterclockwise about the middle of what is drawn."""
        left, bottom, right, top = self.box
        x, y = (left + right) / 2, (bottom + top) / 2
        turn = Affine.move(-x, -y).then(Affine.turn(degrees)).then(Affine.move(x, y))
        return Lying(self.shape, self.at.then(turn))

    def touches(self, pitch: tuple[float, float]) -> frozenset[Cell]:
        """The cells with any of its ink; always asked with one pitch."""
        if self._touched is None:
            self._touched = touched(self.chords, pitch, 0.0)
        return self._touched

    def rough_cells(
        self, shifts: Floats, pitch: tuple[float, float], past: tuple[float, float]
    ) -> list[tuple[frozenset[Cell], frozenset[Cell]]]:
        """For each shift the cells that the unit needs, and all that it touches, by its points.

        Args:
            shifts: Millimetres across and up, shape (m, 2).
            pitch: Millimetres from page to page, across and up.
            past: Millimetres that a page shows beyond its cell, each side.
        """
        keys: list[npt.NDArray[np.int64]] = []
        firsts, counts = [], []
        deep = np.ones((len(shifts), len(self.points)), dtype=bool)
        for axis in (0, 1):
            level = self.points[None, :, axis] + shifts[:, axis, None]
            step = np.floor(level / pitch[axis]).astype(np.int64)
            inside = level - step * pitch[axis]
            deep &= (inside > past[axis]) & (inside < pitch[axis] - past[axis])
            firsts.append(int(step.min()))
            counts.append(int(step.max()) - firsts[-1] + 1)
            keys.append(step - firsts[-1])
        key = keys[0] * counts[1] + keys[1]
        none = counts[0] * counts[1]
        rows = np.arange(len(shifts))[:, None]
        tables = []
        for numbers in (np.where(deep, key, none), key):
            table = np.zeros((len(shifts), none + 1), dtype=bool)
            table[rows, numbers] = True
            tables.append(table[:, :none])
        cells = [
            Cell(-1 - (number % counts[1] + firsts[1]), number // counts[1] + firsts[0])
            for number in range(none)
        ]
        sets: dict[bytes, frozenset[Cell]] = {}

        def cells_in(row: npt.NDArray[np.bool_]) -> frozenset[Cell]:
            key = row.tobytes()
            if key not in sets:
                sets[key] = frozenset(cells[k] for k in np.flatnonzero(row).tolist())
            return sets[key]

        rough = [(cells_in(need), cells_in(touch)) for need, touch in zip(*tables, strict=True)]
        return [(need or touch, touch) for need, touch in rough]
