"""How a large sheet is divided into pages.

Sheet coordinates: millimetres, y up, origin at the lower left of all pattern windows together.
Page coordinates: millimetres, y up, origin at the lower left corner of the paper.
Rows count from the top and columns from the left, from 0.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from tiler.layout.papers import Paper
from tiler.pattern.affine import STILL, Affine, Point
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.pattern.errors import PaperError
from tiler.pattern.units import format_mm

if TYPE_CHECKING:
    from tiler.layout.scale.printer import Printer

#: Room between the printable area and the pattern window on all four sides, which the page's own
#: words and check bars have to themselves. It falls away when the joints are cut.
STRIP = 3.4
#: Least overlap: the strip on both sides, and a little of the pattern printed past the joint line.
LEAST_OVERLAP = 8.0
#: Least sides of the pattern window: the calibration squares with the words that they need.
LEAST_SHORT = 116.0
LEAST_LONG = 165.0
#: Shortest side of paper that still holds the 100 mm and 4 in calibration squares with their words.
LEAST_SIDE = 148.0


@dataclass(frozen=True)
class PageSetup:
    """A paper as it will be printed.

    Args:
        paper: The sheet, upright.
        landscape: Whether it lies on its long side.
        margin: What the printer leaves free on each side, millimetres.
        overlap: How far the printable areas of two neighbours cover each other, millimetres.
        printer: The printer whose error the pages make up for; None for any printer.

    Raises:
        PaperError: Margin and overlap leave no room, or the paper is too small to be checked.
    """

    paper: Paper
    landscape: bool = False
    margin: float = 10.0
    overlap: float = 10.0
    printer: Printer | None = None

    def __post_init__(self) -> None:
        if not 0 <= self.margin <= 100:
            raise PaperError(
                f"a margin of {format_mm(self.margin, 3)} is not between 0 and 100 mm",
                remedy="Printers leave 3 to 18 mm free; 10 mm suits most.",
            )
        if not LEAST_OVERLAP <= self.overlap <= 60:
            raise PaperError(
                f"an overlap of {format_mm(self.overlap, 3)} is not between "
                f"{format_mm(LEAST_OVERLAP)} and 60 mm",
                remedy="10 mm suits most people.",
            )
        if min(self.paper.width, self.paper.height) < LEAST_SIDE:
            raise PaperError(
                f"{self.paper.name} is too small for the 100 mm calibration square",
                remedy="Use A5 or larger.",
            )
        window = self.window
        short, long = sorted((window.width, window.height))
        if short < LEAST_SHORT - 1e-6 or long < LEAST_LONG - 1e-6:
            raise PaperError(
                f"a margin of {format_mm(self.margin)} leaves only {format_mm(window.width)} by "
                f"{format_mm(window.height)} of {self.paper.name} for the pattern",
                remedy="Use a smaller --margin or a larger paper.",
            )

    @property
    def width(self) -> float:
        """Millimetres across the paper as it is printed."""
        return self.paper.height if self.landscape else self.paper.width

    @property
    def height(self) -> float:
        """Millimetres up the paper as it is printed."""
        return self.paper.width if self.landscape else self.paper.height

    @property
    def printable(self) -> Bounds:
        """The paper without its margins, page coordinates."""
        return Bounds(0, 0, self.width, self.height).grown(-self.margin)

    @cached_property
    def window(self) -> Bounds:
        """Where pattern lines may be on a page, page coordinates."""
        return self.printable.grown(-STRIP)

    @cached_property
    def pitch(self) -> tuple[float, float]:
        """From one page to the next, across and down, millimetres."""
        return (
            self.width - 2 * self.margin - self.overlap,
            self.height - 2 * self.margin - self.overlap,
        )

    @property
    def bleed(self) -> float:
        """How far pattern lines are printed past a joint line, millimetres."""
        return self.overlap / 2 - STRIP

    @cached_property
    def sent(self) -> Affine:
        """The map from a page as it should come out to the one that is sent to the printer."""
        return self.printer.compensation(self) if self.printer else STILL

    @property
    def words(self) -> str:
        """Such as ``A4 portrait``; a roll has no way up."""
        if self.paper.roll:
            return self.paper.name
        return f"{self.paper.name} {'landscape' if self.landscape else 'portrait'}"


@dataclass(frozen=True)
class Cell:
    """One place for a page in the grid."""

    row: int
    column: int

    @property
    def name(self) -> str:
        """Row letters and column number: A1 is top left, AA follows Z."""
        letters, number = "", self.row + 1
        while number:
            number, rest = divmod(number - 1, 26)
            letters = chr(65 + rest) + letters
        return f"{letters}{self.column + 1}"


ORIGIN = Point(0.0, 0.0)


@dataclass(frozen=True)
class Block:
    """Pages of the grid that are taped together: one sheet.

    Args:
        row: Of its top left cell.
        column: Of its top left cell.
        rows: How many it has.
        columns: How many it has.
        shift: How far it lies from its place in the plain grid, millimetres; keeps the windows of
            two sheets apart.
    """

    row: int
    column: int
    rows: int
    columns: int
    shift: Point = ORIGIN

    def holds(self, cell: Cell) -> bool:
        """Whether a cell is one of its own."""
        return (
            0 <= cell.row - self.row < self.rows and 0 <= cell.column - self.column < self.columns
        )


@dataclass(frozen=True)
class Grid:
    """Pages side by side, in one sheet or in several.

    Args:
        setup: The paper.
        rows: Of pages.
        columns: Of pages.
        blocks: The sheets, none touching another; empty for a single one of all cells.
    """

    setup: PageSetup
    rows: int
    columns: int
    blocks: tuple[Block, ...] = ()

    @cached_property
    def bounds(self) -> Bounds:
        """All windows together, sheet coordinates."""
        if self.blocks:
            return bounds_of([self.bounds_of_block(block) for block in self.blocks])
        return self.bounds_of_block(Block(0, 0, self.rows, self.columns))

    def bounds_of_block(self, block: Block) -> Bounds:
        """The windows of one sheet together, sheet coordinates."""
        window, (across, down) = self.setup.window, self.setup.pitch
        left = block.column * across + block.shift.x
        bottom = (self.rows - block.row - block.rows) * down + block.shift.y
        return Bounds(
            left,
            bottom,
            left + (block.columns - 1) * across + window.width,
            bottom + (block.rows - 1) * down + window.height,
        )

    def block_of(self, cell: Cell) -> Block:
        """The sheet that a cell belongs to.

        Raises:
            KeyError: The cell lies between the sheets.
        """
        if not self.blocks:
            return Block(0, 0, self.rows, self.columns)
        for block in self.blocks:
            if block.holds(cell):
                return block
        raise KeyError(cell)

    def origin(self, cell: Cell) -> Point:
        """Where the lower left corner of a page's paper lies on the sheet."""
        window, (across, down) = self.setup.window, self.setup.pitch
        shift = self.block_of(cell).shift
        return Point(
            cell.column * across - window.left + shift.x,
            (self.rows - 1 - cell.row) * down - window.bottom + shift.y,
        )

    def window(self, cell: Cell) -> Bounds:
        """Where a page can show the pattern, sheet coordinates."""
        (left, bottom, right, top), (x, y) = self.setup.window, self.origin(cell)
        return Bounds(left + x, bottom + y, right + x, top + y)

    def core(self, cell: Cell) -> Bounds:
        """What only this page is for: its window up to the joint lines, sheet coordinates."""
        # Asked for tens of thousands of times while words look for free places.
        if cell not in self._cores:
            self._cores[cell] = self._core(cell)
        return self._cores[cell]

    @cached_property
    def _cores(self) -> dict[Cell, Bounds]:
        return {}

    def _core(self, cell: Cell) -> Bounds:
        left, bottom, right, top = self.window(cell)
        block, bleed = self.block_of(cell), self.setup.bleed
        return Bounds(
            left + bleed if cell.column > block.column else left,
            bottom + bleed if cell.row < block.row + block.rows - 1 else bottom,
            right - bleed if cell.column < block.column + block.columns - 1 else right,
            top - bleed if cell.row > block.row else top,
        )

    @staticmethod
    def smallest(setup: PageSetup, width: float, height: float) -> Grid:
        """The grid with the fewest pages that covers a sheet of that size."""
        window, (across, down) = setup.window, setup.pitch
        return Grid(
            setup,
            rows=1 + max(0, _steps(height - window.height, down)),
            columns=1 + max(0, _steps(width - window.width, across)),
        )


def _steps(extra: float, pitch: float) -> int:
    return -int(-(extra - 1e-9) // pitch)
