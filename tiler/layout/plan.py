"""A finished layout: which piece lies where, and which pages are needed."""

from __future__ import annotations

from dataclasses import dataclass

from tiler.layout.tiles import Cell, Grid
from tiler.pattern.affine import Affine
from tiler.pattern.model import Piece


@dataclass(frozen=True)
class Placement:
    """A piece on the sheet; `at` is a turn and a shift from pattern to sheet millimetres."""

    piece: Piece
    at: Affine


@dataclass(frozen=True)
class Plan:
    """Where everything lies.

    Args:
        grid: The pages.
        placements: In the pattern's order.
        cells: The pages that carry ink, row by row from the top left.
    """

    grid: Grid
    placements: tuple[Placement, ...]
    cells: tuple[Cell, ...]
