"""Lengths as the user reads and types them."""

from __future__ import annotations

import re

from tiler.pattern.units import MM_PER_INCH, format_inch, format_mm, parse_length

_BARE = re.compile(r"\s*[+-]?(?:\d+(?:[.,]\d+)?|[.,]\d+|(?:\d+\s+)?\d+\s*/\s*\d+)\s*")
#: A decimal comma, as most of Europe writes it.
_COMMA = re.compile(r"(?<=\d),(?=\d)|^,(?=\d)")
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


def bare(mm: float, units: str) -> str:
    """A length for a field beside which the unit stands: ``10``, ``0.3937``."""
    words = f"{mm:.3f}" if units == "mm" else f"{mm / MM_PER_INCH:.4f}"
    return words.rstrip("0").rstrip(".")


def as_written(typed: str, units: str) -> str:
    """What goes into the pattern file for what was typed: a bare number gets the unit shown.

    Args:
        typed: As the user typed it.
        units: mm or in, which stood beside the field.
    """
    words = " ".join(typed.split())
    plain = _COMMA.sub(".", words)
    return f"{plain} {units}" if _BARE.fullmatch(words) else plain


def typed_length(typed: str, units: str, where: str = "") -> float:
    """Millimetres of what was typed.

    Raises:
        LengthError: It is no length.
    """
    return parse_length(as_written(typed, units), where=where)
