"""Where units lie on their sheets, rounded to what a person can write down, and plans made of it.

A sheet has an endless grid of its own, with joints at whole multiples of the pitch, y up. Its rows
count downwards and its columns from the left, as those of the plan in which it has its place; on
the way to another plan they may become negative.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tiler.layout.bound import area_bound
from tiler.layout.ink import Floats, chords_of, moved
from tiler.layout.naive import naive_pages
from tiler.layout.plan import Placement, Plan, Tally
from tiler.layout.settle import RIM, settle
from tiler.layout.tiles import Block, Cell, PageSetup
from tiler.pattern.affine import Affine, Point
from tiler.pattern.bounds import Bounds, bounds_of
from tiler.pattern.model import Pattern, Piece
from tiler.pattern.placed import LENGTH_PLACES, TURN_PLACES, PlacedPiece

Unit = Sequence[Piece]

#: A line may come nearer to the edge of the windows by this much than where the search lays it,
#: millimetres: rounding moves the far end of a unit by less, and must not cost a page.
_ROUNDING = 0.05
#: How near (millimetres) to a joint a middle is taken to lie in the page to its right and above.
_ON_JOINT = 1e-6
_LETTERS = 26
_PAGE = re.compile(r"([A-Z]{1,3})([1-9]\d{0,3})")


@dataclass(frozen=True, slots=True)
class Spot:
    """Where a unit lies.

    Args:
        sheet: Which sheet; each has an endless grid of its own.
        cell: In which its middle lies.
        at: Where its middle lies, from the cell's left and lower joint line, millimetres.
        turn: Degrees anticlockwise about its middle, from 0 up to 360.
    """

    sheet: int
    cell: Cell
    at: Point
    turn: float = 0.0

    @classmethod
    def rounded(cls, sheet: int, middle: Point, turn: float, pitch: tuple[float, float]) -> Spot:
        """The spot nearest to a middle on the sheet's grid, in millimetres, and a turn."""
        column = math.floor((middle.x + _ON_JOINT) / pitch[0])
        step = math.floor((middle.y + _ON_JOINT) / pitch[1])
        at = Point(
            _plain(middle.x - column * pitch[0], LENGTH_PLACES),
            _plain(middle.y - step * pitch[1], LENGTH_PLACES),
        )
        degrees = _plain(turn % 360, TURN_PLACES) % 360
        return cls(sheet, Cell(-1 - step, column), at, degrees)

    def middle(self, pitch: tuple[float, float]) -> Point:
        """Where the middle lies on the sheet's grid, millimetres."""
        x = self.cell.column * pitch[0] + self.at.x
        return Point(x, (-1 - self.cell.row) * pitch[1] + self.at.y)

    def moved(self, x: float, y: float, turn: float, pitch: tuple[float, float]) -> Spot:
        """The spot after a shift in millimetres and a turn about the middle, rounded."""
        middle = self.middle(pitch)
        to = Point(middle.x + x, middle.y + y)
        return Spot.rounded(self.sheet, to, self.turn + turn, pitch)

    def lying(self, unit: Unit, pitch: tuple[float, float]) -> Affine:
        """The map from a unit's own coordinates to the sheet's grid."""
        own, there = middle_of(unit), self.middle(pitch)
        turned = Affine.move(-own.x, -own.y).then(Affine.turn(self.turn))
        return turned.then(Affine.move(there.x, there.y))


def middle_of(unit: Unit) -> Point:
    """The middle of the upright rectangle round a unit as it is drawn."""
    return bounds_of([piece.bounds for piece in unit]).centre


def spots_of(plan: Plan, units: Sequence[Unit]) -> tuple[Spot, ...]:
    """Where the units of a tiled plan lie, rounded.

    Sheets are numbered in the order in which they are printed.
    """
    at = {placement.piece.name: placement.at for placement in plan.placements}
    blocks = [plan.grid.block_of(cells[0]) for cells in plan.sheets]
    found = []
    for unit in units:
        place = at[unit[0].name]
        middle = place(middle_of(unit))
        number = nearest_block(plan, blocks, Bounds(*middle, *middle))
        origin = block_origin(plan, blocks[number])
        turn = math.degrees(math.atan2(place.b, place.a))
        inside = Point(middle.x - origin.x, middle.y - origin.y)
        found.append(Spot.rounded(number, inside, turn, plan.grid.setup.pitch))
    return tuple(found)


def block_origin(plan: Plan, block: Block) -> Point:
    """Where the origin of a sheet's own grid lies in the plan, sheet coordinates.

    There the sheet's cells have the rows and columns that they have in the plan.
    """
    bleed, down = plan.grid.setup.bleed, plan.grid.setup.pitch[1]
    return Point(block.shift.x + bleed, block.shift.y + bleed + plan.grid.rows * down)


def nearest_block(plan: Plan, blocks: Sequence[Block], box: Bounds, own: int = 0) -> int:
    """On which sheet something lies: where most of it is, or else the nearest; `own` in doubt."""

    def far(number: int) -> tuple[float, float, bool, int]:
        sheet = plan.grid.bounds_of_block(blocks[number])
        across = min(sheet.right, box.right) - max(sheet.left, box.left)
        up = min(sheet.top, box.top) - max(sheet.bottom, box.bottom)
        shared = max(across, 0.0) * max(up, 0.0)
        apart = math.hypot(min(across, 0.0), min(up, 0.0))
        return -round(shared, 3), round(apart, 3), number != own, number

    return min(range(len(blocks)), key=far)


def chords_of_unit(unit: Unit) -> Floats:
    """Everything drawn for a unit as short straight lines."""
    return np.concatenate([chords_of(piece) for piece in unit])


def laid(
    pattern: Pattern,
    setup: PageSetup,
    units: Sequence[Unit],
    spots: Sequence[Spot],
    tally: Tally | None = None,
) -> Plan:
    """The plan in which units lie on their spots, with its pages named as `place` names them.

    Units with one number of a sheet stay on one as long as they share pages; the others never
    come to lie on one with them.

    Args:
        pattern: Whose pieces the units are.
        setup: The paper.
        units: All pieces, joined ones together.
        spots: For each unit.
        tally: What the pages are compared with; None to count it.
    """
    pitch = setup.pitch
    chords = [chords_of_unit(unit) for unit in units]
    at = [spot.lying(unit, pitch) for unit, spot in zip(units, spots, strict=True)]
    # All sheets go into one grid, side by side, too far apart to touch.
    begin = 0
    for sheet in sorted({spot.sheet for spot in spots}):
        members = [k for k, spot in enumerate(spots) if spot.sheet == sheet]
        across = np.concatenate([moved(chords[k], at[k]).reshape(-1, 2)[:, 0] for k in members])
        first, last = (math.floor(edge / pitch[0]) for edge in (across.min(), across.max()))
        aside = Affine.move((begin - first) * pitch[0], 0.0)
        for k in members:
            at[k] = at[k].then(aside)
        begin += last - first + 4
    settled = settle(setup, chords, at, RIM - _ROUNDING)
    places = {
        piece.name: place for unit, place in zip(units, settled.at, strict=True) for piece in unit
    }
    tally = tally or Tally(area_bound(units, setup), naive_pages(units, setup))
    return Plan(
        settled.grid,
        tuple(Placement(piece, places[piece.name]) for piece in pattern.pieces),
        settled.cells,
        tally,
    )


def placed_piece(unit: Unit, spot: Spot) -> PlacedPiece:
    """A spot on a plan as a pattern file keeps it; its row and column are not negative."""
    at = spot.at.x, spot.at.y
    return PlacedPiece(unit[0].name, spot.sheet + 1, spot.cell.name, at, spot.turn)


def spot_of(placed: PlacedPiece) -> Spot:
    """What a pattern file keeps, as a spot.

    Raises:
        ValueError: The page has no name such as ``B2``.
    """
    return Spot(placed.sheet - 1, cell_named(placed.page), Point(*placed.at), placed.turn)


def cell_named(name: str) -> Cell:
    """The place in the grid of that name, such as ``B2``.

    Raises:
        ValueError: There is none.
    """
    match = _PAGE.fullmatch(name)
    if match is None:
        raise ValueError(f"{name!r} is no name of a page")
    row = 0
    for letter in match[1]:
        row = row * _LETTERS + ord(letter) - ord("A") + 1
    return Cell(row - 1, int(match[2]) - 1)


def _plain(value: float, places: int) -> float:
    """Rounded, and never minus nothing."""
    return float(round(value, places)) + 0.0
