"""A finished layout: which piece lies where, and which pages are needed."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import cached_property

from tiler.layout.tiles import Cell, Grid
from tiler.pattern.affine import Affine
from tiler.pattern.bounds import Bounds
from tiler.pattern.model import Piece


@dataclass(frozen=True)
class Placement:
    """A piece on the sheet; `at` is a turn and a shift from pattern to sheet millimetres."""

    piece: Piece
    at: Affine


@dataclass(frozen=True)
class Tally:
    """How well a layout does.

    Args:
        bound: Pages that the area of the pieces fills.
        naive: Pages that the pieces would take as drawn, side by side.
        stopped: Whether the search was stopped before its end.
        split: Pieces that were to stay whole and lie over a joint after all.
    """

    bound: int
    naive: int
    stopped: bool = False
    split: tuple[str, ...] = ()


@dataclass(frozen=True)
class Spent:
    """What whole pieces take of a roll or of large sheets.

    Args:
        length: Of all pages together, millimetres.
        naive_length: What rows of the pieces as drawn would take.
        naive_pages: The same, in pages.
        share: Of the paper that the pieces cover, from 0 to 1.
        stopped: Whether the search was stopped before its end.
    """

    length: float
    naive_length: float
    naive_pages: int
    share: float
    stopped: bool = False


@dataclass(frozen=True)
class Plan:
    """Where everything lies.

    Args:
        grid: The pages.
        placements: In the pattern's order.
        cells: The pages that are printed, sheet by sheet and row by row: whoever tapes while the
            printer runs has each page's neighbours at hand.
        tally: How well it does; None where nobody has counted.
        head: Where the first page says what front pages say otherwise, sheet coordinates; None
            where there are front pages.
        spent: How well pieces do that are laid whole on large paper; None where they are not.
    """

    grid: Grid
    placements: tuple[Placement, ...]
    cells: tuple[Cell, ...]
    tally: Tally | None = None
    head: Bounds | None = None
    spent: Spent | None = None

    @cached_property
    def code(self) -> str:
        """Four signs that tell its pages from those of another layout of the same pattern."""
        setup, grid = self.grid.setup, self.grid
        said = [
            f"{setup.paper.name} {setup.landscape} {setup.margin:.3f} {setup.overlap:.3f}",
            *(f"{c.name} {grid.origin(c).x:.3f} {grid.origin(c).y:.3f}" for c in self.cells),
            *(" ".join(f"{part + 0.0:.4f}" for part in place.at) for place in self.placements),
        ]
        return hashlib.sha256("\n".join(said).encode()).hexdigest()[:4]

    @cached_property
    def joints(self) -> tuple[tuple[Cell, Cell], ...]:
        """Pages that are taped to each other: left and right, upper and lower, in reading order."""
        there = set(self.cells)
        pairs = []
        for cell in self.cells:
            block = self.grid.block_of(cell)
            for over in (Cell(cell.row, cell.column + 1), Cell(cell.row + 1, cell.column)):
                if over in there and block.holds(over):
                    pairs.append((cell, over))
        return tuple(pairs)

    @cached_property
    def sheets(self) -> tuple[tuple[Cell, ...], ...]:
        """The pages of each sheet, in the order in which they are printed."""
        found: dict[object, list[Cell]] = {}
        for cell in self.cells:
            found.setdefault(self.grid.block_of(cell), []).append(cell)
        return tuple(tuple(cells) for cells in found.values())
