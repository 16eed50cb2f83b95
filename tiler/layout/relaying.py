"""Places that were laid by hand, used again: also where pieces have changed since."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from tiler.layout.crowding import Lain
from tiler.layout.packing.options import Packing
from tiler.layout.place import Progress, place
from tiler.layout.plan import Plan
from tiler.layout.spots import Spot, Unit, laid, spot_of, spots_of
from tiler.layout.tiles import PageSetup
from tiler.layout.units import units_of
from tiler.pattern.model import Pattern
from tiler.pattern.placed import Placed


@dataclass(frozen=True)
class Relaid:
    """A plan on kept places.

    Args:
        plan: The plan.
        gone: Names of pieces that have a place and are in the pattern no longer.
        new: Names of pieces that have no place, and were laid beside.
        pushed: Names of pieces that would lie over another one, and were laid beside; each with
            that one's name.
    """

    plan: Plan
    gone: tuple[str, ...] = ()
    new: tuple[str, ...] = ()
    pushed: tuple[tuple[str, str], ...] = ()


def relaid(
    pattern: Pattern,
    setup: PageSetup,
    placed: Placed,
    packing: Packing,
    progress: Progress | None = None,
) -> Relaid:
    """Lay the pieces on the places that are kept for them.

    Pieces without a place, and of two that lie over one another the smaller one, are laid on
    sheets of their own by a search.

    Args:
        pattern: At least one piece; joined ones lie in one coordinate frame.
        setup: The paper, as the places are kept for it.
        placed: The places.
        packing: What is asked of the layout; for pieces that are laid beside.
        progress: Told about the search for these.
    """
    units = units_of(pattern)
    known = {each.piece: spot_of(each) for each in placed.pieces}
    spots = {k: known[unit[0].name] for k, unit in enumerate(units) if unit[0].name in known}
    over = _over(pattern, setup, units, spots)
    beside = [k for k in range(len(units)) if k not in spots or k in over]
    stopped = False
    if beside:
        few = _only(pattern, [units[k] for k in beside])
        found = place(few, [setup], packing, progress)
        stopped = found.tally is not None and found.tally.stopped
        above = max((spot.sheet for spot in spots.values()), default=-1) + 1
        for k, spot in zip(beside, spots_of(found, units_of(few)), strict=True):
            spots[k] = replace(spot, sheet=spot.sheet + above)
    plan = laid(pattern, setup, units, [spots[k] for k in range(len(units))])
    if stopped and plan.tally:
        plan = replace(plan, tally=replace(plan.tally, stopped=True))
    names = {piece.name for piece in pattern.pieces}
    return Relaid(
        plan,
        tuple(each.piece for each in placed.pieces if each.piece not in names),
        tuple(piece.name for k in beside if k not in over for piece in units[k]),
        tuple((units[k][0].name, units[other][0].name) for k, other in over.items()),
    )


def _over(
    pattern: Pattern, setup: PageSetup, units: Sequence[Unit], spots: dict[int, Spot]
) -> dict[int, int]:
    """The units that lie over larger ones which keep their places, each with one of those."""
    if not spots:
        return {}
    numbers = sorted(spots)
    own = [units[k] for k in numbers]
    plan = laid(_only(pattern, own), setup, own, [spots[k] for k in numbers])
    lain = Lain(plan, own)
    hit: dict[int, set[int]] = {}
    for pair in lain.close(0.0):
        if pair.over:
            hit.setdefault(pair.one, set()).add(pair.other)
            hit.setdefault(pair.other, set()).add(pair.one)
    found: dict[int, int] = {}
    for k in sorted(hit, key=lambda k: (-round(lain.areas[k], 3), k)):
        staying = [
            other
            for other in sorted(hit[k])
            if numbers[other] not in found
            and (-round(lain.areas[other], 3), other) < (-round(lain.areas[k], 3), k)
        ]
        if staying:
            found[numbers[k]] = numbers[staying[0]]
    return found


def _only(pattern: Pattern, units: Sequence[Unit]) -> Pattern:
    """The pattern with the pieces of some of its units, in their order, kept together or not."""
    names = {piece.name for unit in units for piece in unit}
    return replace(
        pattern,
        pieces=tuple(piece for piece in pattern.pieces if piece.name in names),
        together=(),
    )
