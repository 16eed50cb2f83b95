"""Pieces that are moved and turned by hand on a plan of taped pages."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from tiler.layout.ink import bounds_of_chords, moved
from tiler.layout.plan import Plan, Tally
from tiler.layout.spots import (
    Spot,
    Unit,
    block_origin,
    chords_of_unit,
    laid,
    nearest_block,
    placed_piece,
    spots_of,
)
from tiler.layout.tiles import PageSetup
from tiler.layout.units import units_of
from tiler.pattern.errors import PaperError, PatternError
from tiler.pattern.model import Pattern, Piece
from tiler.pattern.placed import LENGTH_PLACES, Kind, Placed

#: Nobody's table is larger, millimetres.
_FARTHEST = 50_000.0


def move_by_hand(
    plan: Plan, pattern: Pattern, piece: str, x: float = 0.0, y: float = 0.0, turn: float = 0.0
) -> Plan:
    """A piece moved and turned, with the one that is joined to it; all pages counted anew.

    Where it comes to lie on another sheet it belongs to that one, and keeps its place on the paper
    there. Beside all sheets the nearest one's grid goes on; on pages that no other piece has it is
    a sheet of its own. Nothing is pushed out of its way.

    All places are rounded to what can be kept (0.01 mm, 0.001 degrees), those of pieces that were
    not moved too: laying them again gives the same plan to the last digit.

    Args:
        plan: Pages that are taped.
        pattern: Whose pieces lie there; of its own pieces none is looked at.
        piece: Its name.
        x: To the right on the plan, millimetres.
        y: Up on the plan, millimetres.
        turn: Degrees anticlockwise about the middle of the rectangle round the piece as drawn.

    Raises:
        PaperError: The paper is large and its pieces are not taped, or the shift leaves any table.
        PatternError: There is no such piece.
    """
    refuse_untaped(plan)
    if not max(abs(x), abs(y)) <= _FARTHEST or not abs(turn) <= 1e6:
        raise PaperError(
            f"a piece cannot be moved by {x:g} and {y:g} mm and {turn:g} degrees",
            where=f"piece {piece}",
            remedy=f"Move it by no more than {_FARTHEST / 1000:g} m.",
        )
    units = units_on(plan, pattern)
    number = _unit_of(piece, units)
    spots = list(spots_of(plan, units))
    spots[number] = _moved(plan, units[number], spots[number], x, y, turn)
    return _settled(plan, replace(pattern, pieces=_pieces(plan)), units, spots)


def kept_places(plan: Plan, pattern: Pattern, styles: tuple[str, ...] = ()) -> Placed:
    """What a pattern file keeps of a tiled plan.

    Args:
        plan: Pages that are taped.
        pattern: Whose pieces lie there.
        styles: Names of the styles that were chosen for it; empty for all.

    Raises:
        PaperError: The paper is large and its pieces are not taped.
    """
    refuse_untaped(plan)
    setup, units = plan.grid.setup, units_on(plan, pattern)
    spots = spots_of(plan, units)
    return Placed(
        setup.paper.name.lower(),
        setup.landscape,
        round(setup.margin, LENGTH_PLACES),
        round(setup.overlap, LENGTH_PLACES),
        tuple(placed_piece(unit, spot) for unit, spot in zip(units, spots, strict=True)),
        styles,
    )


def kind_of(setup: PageSetup, styles: Sequence[str]) -> Kind:
    """What places have to be kept for, to be those of a paper and a choice of styles."""
    return Placed(
        setup.paper.name.lower(), setup.landscape, setup.margin, setup.overlap, (), tuple(styles)
    ).kind


def units_on(plan: Plan, pattern: Pattern) -> tuple[Unit, ...]:
    """What is placed as one on a plan."""
    return units_of(replace(pattern, pieces=_pieces(plan)))


def refuse_untaped(plan: Plan) -> None:
    """See that a plan is one of pages that are taped.

    Raises:
        PaperError: It is one of whole pieces on large paper.
    """
    setup = plan.grid.setup
    if setup.paper.large:
        raise PaperError(
            "pieces are moved by hand on pages that are taped, and not on rolls or large sheets",
            where=setup.words,
            remedy="Choose a paper for a printer at home, such as A4 or Letter.",
        )


def _pieces(plan: Plan) -> tuple[Piece, ...]:
    return tuple(placement.piece for placement in plan.placements)


def _unit_of(piece: str, units: tuple[Unit, ...]) -> int:
    for number, unit in enumerate(units):
        if any(each.name == piece for each in unit):
            return number
    names = ", ".join(each.name for unit in units for each in unit)
    raise PatternError(
        f"there is no piece called {piece!r} on the pages", remedy=f"The pieces are: {names}."
    )


def _moved(plan: Plan, unit: Unit, spot: Spot, x: float, y: float, turn: float) -> Spot:
    """The spot after the move, on the sheet on which it then lies."""
    blocks = [plan.grid.block_of(cells[0]) for cells in plan.sheets]
    pitch = plan.grid.setup.pitch
    there = spot.moved(x, y, turn, pitch)
    own = block_origin(plan, blocks[spot.sheet])
    box = bounds_of_chords(moved(chords_of_unit(unit), there.lying(unit, pitch)))
    seen = box._replace(
        left=box.left + own.x,
        right=box.right + own.x,
        bottom=box.bottom + own.y,
        top=box.top + own.y,
    )
    number = nearest_block(plan, blocks, seen, spot.sheet)
    if number == spot.sheet:
        return there
    other = block_origin(plan, blocks[number])
    aside = there.moved(own.x - other.x, own.y - other.y, 0.0, pitch)
    return replace(aside, sheet=number)


def _settled(plan: Plan, pattern: Pattern, units: tuple[Unit, ...], spots: Sequence[Spot]) -> Plan:
    """The plan on the spots, to the last digit as it is laid again from what it keeps."""
    setup, tally = plan.grid.setup, plan.tally
    counted = Tally(tally.bound, tally.naive) if tally else None
    plan = laid(pattern, setup, units, spots, counted)
    return laid(pattern, setup, units, spots_of(plan, units), plan.tally)
