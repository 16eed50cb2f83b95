"""Lengths as the user reads and types them."""

from __future__ import annotations

import re

from tiler.pattern.units import MM_PER_INCH, format_inch, format_mm, parse_length

_BARE = re.compile(r"\s*[+-]?(?:\d+(?:[.,]\d+)?|[.,]\d+|(?:\d+\s+)?\d+\s*/\s*\d+)\s*")
#: Where a sixteenth of an inch says it to this many millimetres, it is said so.
_CLOSE = 0.05


def told(mm: float, units: str, places: int = 1) -> str:
    """A length in the user's unit: ``15 mm``, ``5/8 in``, ``14.25 in``.

    Args:
        mm: Millimetres.
        units: mm or in.
        places: After the point, of millimetres.
    """
    if units == "mm":
        return format_mm(mm, places)
    sixteenths = mm / MM_PER_INCH * 16
    if abs(sixteenths - round(sixteenths)) * MM_PER_INCH / 16 <= _CLOSE:
        return format_inch(mm, 16)
    return f"{mm / MM_PER_INCH:.{places + 1}f}".rstrip("0").rstrip(".") + " in"


def as_written(typed: str, units: str) -> str:
    """What goes into the pattern file for what was typed: a bare number gets the unit shown.

    Args:
        typed: As the user typed it.
        units: mm or in, which stood beside the field.
    """
    words = " ".join(typed.split())
    return f"{words.replace(',', '.')} {units}" if _BARE.fullmatch(words) else words


def typed_length(typed: str, units: str, where: str = "") -> float:
    """Millimetres of what was typed.

    Raises:
        LengthError: It is no length.
    """
    return parse_length(as_written(typed, units), where=where)
