"""A pattern of 12 pieces in 5 styles on 72 pages of A4: about 2,000 segments, 3 in 4 curved."""

from __future__ import annotations

import math

from tiler.layout.bridges import linked
from tiler.layout.ink import chords_of, inked, moved
from tiler.layout.papers import find_paper
from tiler.layout.plan import Placement, Plan
from tiler.layout.tiles import Cell, Grid, PageSetup
from tiler.pattern.affine import Affine, Point
from tiler.pattern.model import Cut, Edge, Lay, Outline, Pattern, Piece, Role, Source
from tiler.pattern.path import Path
from tiler.pattern.segment import Cubic, Segment, Straight

STYLES = ("one", "two", "three", "four", "five")
COLUMNS, ROWS = 8, 9


def ring(centre: Point, width: float, height: float, bumps: int, segments: int) -> Path:
    """A wavy closed outline of lines and cubics."""

    def at(step: int) -> Point:
        angle = 2 * math.pi * step / segments
        swell = 1 + 0.06 * math.sin(bumps * angle)
        return Point(
            centre.x + width / 2 * swell * math.cos(angle),
            centre.y - height / 2 * swell * math.sin(angle),
        )

    parts: list[Segment] = []
    for step in range(segments):
        start, end = at(step), at((step + 1) % segments)
        if step % 4 == 0:
            parts.append(Straight(start, end))
            continue
        before, after = at(step - 1), at((step + 2) % segments)
        reach = 1 / 6
        parts.append(
            Cubic(
                start,
                Point(start.x + (end.x - before.x) * reach, start.y + (end.y - before.y) * reach),
                Point(end.x - (after.x - start.x) * reach, end.y - (after.y - start.y) * reach),
                end,
            )
        )
    return Path(tuple(parts), closed=True)


def synthetic(segments: int = 33, times: float = 1.0) -> Pattern:
    """The pattern.

    Args:
        segments: Of each of its 60 outlines.
        times: How many times as large as usual it is.
    """
    pieces = []
    for number in range(12):
        outlines = []
        for index, style in enumerate(STYLES):
            size = (0.8 + 0.05 * index) * times
            path = ring(Point(0, 0), 330 * size, 720 * size, 3 + number % 4, segments)
            edge = Edge("A", Path(path.segments))
            outlines.append(Outline(Role.CUT, (edge,), style))
        pieces.append(
            Piece(
                f"Piece {number + 1}",
                tuple(outlines),
                cuts=(Cut(2, "main", Lay.PAIR),),
                grain=Path((Straight(Point(0, -150 * times), Point(0, 150 * times)),)),
            )
        )
    return Pattern(
        "Synthetic",
        tuple(pieces),
        styles=tuple((style, style) for style in STYLES),
        sources=(Source("pattern.toml", b"title = 'Synthetic'\n"),),
    )


def plan_of(pattern: Pattern, times: int = 1) -> Plan:
    """Four pieces across and three down on a grid of 8 x 9 pages, every page with ink.

    Args:
        pattern: The synthetic one.
        times: How many times as large as usual it is; the grid has as many times as many pages
            both ways.
    """
    grid = Grid(PageSetup(find_paper("a4")), ROWS * times, COLUMNS * times)
    across, down = grid.bounds.width / 4, grid.bounds.height / 3
    placements = tuple(
        Placement(piece, Affine.move(across * (number % 4 + 0.5), down * (number // 4 + 0.5)))
        for number, piece in enumerate(pattern.pieces)
    )
    cells: frozenset[Cell] = frozenset().union(
        *(inked(grid, moved(chords_of(p.piece), p.at)) for p in placements)
    )
    ordered = tuple(sorted(linked(cells), key=lambda cell: (cell.row, cell.column)))
    return Plan(grid, placements, ordered)
