"""Whether a pattern that was written and read again is the one that it was."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import fields, is_dataclass, replace

from tiler.output.folder.drawing import offset_of
from tiler.output.folder.order import in_reading_order
from tiler.pattern.affine import Affine, Point
from tiler.pattern.model import Mark, Pattern, Role

#: How far (millimetres) a point may be from where it was.
WITHIN = 0.001
#: The same for where a notch meets the outline. A drawing holds the notch's line only, and that
#: point is found again from it; an outline that came from points on its curves may pass beside it.
NOTCH_WITHIN = 0.05
#: A drawn buttonhole means its middle, one that was put beside an edge the middle of its button.
_FOUND_AGAIN = {Role.NOTCH: NOTCH_WITHIN, Role.BUTTONHOLE: 50.0}
#: What depends on the files, not on the pattern.
_ASIDE = frozenset({"findings", "sources", "drawing", "where"})


def difference(before: Pattern, after: Pattern) -> str:
    """Where two patterns differ, such as ``piece Front, edges 2, name``; empty when nowhere.

    Points may be 0.001 mm apart, the place where a notch meets its outline 0.05 mm, and pieces
    lie where `offset_of` moves them. The order of lines and marks of different roles does not
    count, nor do findings, sources and places in files.
    """
    for one, other in zip(before.pieces, after.pieces, strict=False):
        found = _between(
            in_reading_order(one), in_reading_order(other), Affine.move(*offset_of(one))
        )
        if found:
            return f"piece {one.name}, {found}"
    plain = [replace(each, pieces=()) for each in (before, after)]
    if len(before.pieces) != len(after.pieces):
        return "the number of pieces"
    return _between(plain[0], plain[1], Affine())


def _between(one: object, other: object, move: Affine, within: float = WITHIN) -> str:
    """The names of the fields and the numbers that lead to the first difference."""
    if isinstance(one, Point) and isinstance(other, Point):
        return "" if move(one).to(other) <= within else "place"
    if type(one) is not type(other) and not _both_numbers(one, other):
        return "kind"
    if is_dataclass(one) and not isinstance(one, type):
        for name in (field.name for field in fields(one) if field.name not in _ASIDE):
            near = WITHIN
            if isinstance(one, Mark) and name == "at":
                near = _FOUND_AGAIN.get(one.role, WITHIN)
            found = _between(getattr(one, name), getattr(other, name), move, near)
            if found:
                return f"{name}, {found}"
        return ""
    if isinstance(one, tuple) and isinstance(other, tuple):
        return _in_order(one, other, move)
    if isinstance(one, float | int) and isinstance(other, float | int):
        same = math.isclose(one, other, rel_tol=1e-12, abs_tol=1e-9)
        return "" if same else f"{one!r} and {other!r}"
    return "" if one == other else f"{one!r} and {other!r}"


def _in_order(one: Sequence[object], other: Sequence[object], move: Affine) -> str:
    if len(one) != len(other):
        return f"{len(one)} and {len(other)} of them"
    for nth, (a, b) in enumerate(zip(one, other, strict=True), start=1):
        found = _between(a, b, move)
        if found:
            return f"{nth}, {found}"
    return ""


def _both_numbers(one: object, other: object) -> bool:
    return all(isinstance(x, float | int) and not isinstance(x, bool) for x in (one, other))
