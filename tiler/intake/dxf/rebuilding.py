"""Rows of points -> paths, by the turn points and curve points of their block."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from tiler.intake.dxf.curves import path_through
from tiler.intake.dxf.drawn import Block, Strand
from tiler.intake.dxf.layers import Layer
from tiler.pattern.affine import Point
from tiler.pattern.path import Path

#: How far (millimetres) a turn or curve point may lie from the vertex that it speaks of.
REACH = 0.02
#: A vertex of which nothing is said is a corner where the way turns by more (degrees).
CORNER_TURN = 30.0


class Rebuilder:
    """Knows the turn points (layer 2) and curve points (layer 3) of a block.

    A vertex with a turn point is a turn, also when a curve point of another line lies there; one
    with a curve point only is on a curve. A vertex with neither is a point that the sender's
    program put between curve points (ASTM D6673, "curve interpolation point"), unless the way
    turns sharply there. In a block without any such points nothing is made smooth.
    """

    def __init__(self, block: Block) -> None:
        self._turns = _Places(dot.at for dot in block.dots if dot.layer is Layer.TURN)
        self._curves = _Places(dot.at for dot in block.dots if dot.layer is Layer.CURVE)
        self._silent = not (self._turns or self._curves)
        #: Whether a line of many points had to be taken as straight because nothing is said.
        self.unsaid = False

    def path(self, strand: Strand) -> Path | None:
        """The path that a row of points stands for; None when it has no length."""
        turns = [
            self._turn(strand, index) if said is None else said
            for index, said in enumerate(strand.turns)
        ]
        if self._silent and len(strand.points) > 8 and None in strand.turns:
            self.unsaid = True
        return path_through(strand.points, turns, strand.closed)

    def _turn(self, strand: Strand, index: int) -> bool:
        point = strand.points[index]
        if self._silent or point in self._turns:
            return True
        if point in self._curves:
            return False
        before, after = strand.points[index - 1], strand.points[(index + 1) % len(strand.points)]
        return _turn_at(before, point, after) > CORNER_TURN


def _turn_at(a: Point, b: Point, c: Point) -> float:
    """Degrees by which the way turns, without sign."""
    ux, uy, vx, vy = b.x - a.x, b.y - a.y, c.x - b.x, c.y - b.y
    return abs(math.degrees(math.atan2(ux * vy - uy * vx, ux * vx + uy * vy)))


class _Places:
    """Points in a grid of cells, asked whether one is near."""

    def __init__(self, points: Iterable[Point]) -> None:
        self._cells: dict[tuple[int, int], list[Point]] = {}
        for point in points:
            self._cells.setdefault(_cell(point), []).append(point)

    def __bool__(self) -> bool:
        return bool(self._cells)

    def __contains__(self, to: Point) -> bool:
        return any(point.to(to) <= REACH for point in self._around(to))

    def _around(self, to: Point) -> Iterator[Point]:
        column, row = _cell(to)
        for x in (column - 1, column, column + 1):
            for y in (row - 1, row, row + 1):
                # Points heaped on one place all say the same.
                yield from self._cells.get((x, y), ())[:20]


def _cell(point: Point) -> tuple[int, int]:
    return math.floor(point.x / REACH), math.floor(point.y / REACH)
