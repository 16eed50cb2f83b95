"""What is placed as one: a piece, or two that are joined along their folds."""

from __future__ import annotations

from tiler.drafting.pairs import partner_of
from tiler.pattern.model import Pattern, Piece


def units_of(pattern: Pattern) -> tuple[tuple[Piece, ...], ...]:
    """Every piece once, joined ones together, in the order of the first piece of each unit.

    Args:
        pattern: Joined pieces lie in one coordinate frame; a pair of which a piece is missing
            leaves the other one alone.
    """
    by_name = {piece.name: piece for piece in pattern.pieces}
    done: set[str] = set()
    units = []
    for piece in pattern.pieces:
        if piece.name in done:
            continue
        names = dict.fromkeys((piece.name, partner_of(piece, pattern)))
        unit = tuple(by_name[name] for name in names if name in by_name)
        done.update(each.name for each in unit)
        units.append(unit)
    return tuple(units)
