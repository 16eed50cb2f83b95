"""The key `points` of a piece: measured points in place of a drawing."""

from __future__ import annotations

from tiler.intake.points.point import KINDS, Kind, Measured, length_in
from tiler.intake.tomltable import NAME_LIMIT, TomlTable, kind_of
from tiler.pattern.affine import Point
from tiler.pattern.errors import LengthError

_KEYS = ("x", "y", "kind", "name", "note")
_EXAMPLE = '{ x = "12.5 cm", y = "0 cm", kind = "corner" }'


def points_of(table: TomlTable) -> tuple[Measured, ...]:
    """The measured points of a piece; none when the key is missing.

    Raises:
        PatternError: Points beside a drawing, or one of them has no place or no kind.
    """
    if "points" not in table.data:
        return ()
    for key in ("drawing", "layer"):
        if key in table.data:
            raise table.error(
                f"the piece has points and a {key}", key, "Keep the points or the drawing."
            )
    found = tuple(
        _point(each, number)
        for number, each in enumerate(table.tables("points", "point", _EXAMPLE), start=1)
    )
    if not found:
        raise table.error("there are no points", "points", f"Write points = [ {_EXAMPLE}, … ].")
    return found


def _point(table: TomlTable, number: int) -> Measured:
    table.only(_KEYS)
    kind = table.text("kind", limit=NAME_LIMIT).lower()
    if kind not in tuple(Kind):
        problem = f'there is no kind "{kind}"' if kind else "the kind is missing"
        raise table.error(f"point {number}: {problem}", "kind", f"Write {KINDS}.")
    table.text("note")
    place = Point(_length(table, "x", number), _length(table, "y", number))
    name = table.text("name", limit=NAME_LIMIT)
    return Measured(place, Kind(kind), f"point {number}", name)


def _length(table: TomlTable, key: str, number: int) -> float:
    value = table.data.get(key)
    remedy = f'Write {key} = "12.5 cm".'
    if not isinstance(value, str):
        problem = f"is {kind_of(value)}, not a length" if key in table.data else "is missing"
        raise table.error(f"point {number}: {key} {problem}", key, remedy)
    try:
        return length_in(value, "")
    except LengthError as bad:
        raise table.error(f"point {number}: {bad.problem}", key, remedy) from None
