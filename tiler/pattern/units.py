"""Lengths as people write them, turned into millimetres and back."""

from __future__ import annotations

import math
import re
from fractions import Fraction

from tiler.pattern.errors import LengthError

#: Millimetres in one unit. The inch is 25.4 mm exactly (international yard and pound agreement,
#: 1959); the point is 1/72 in (ISO 32000-1, 8.3.2.3), the pica 12 points, the CSS pixel 1/96 in
#: (CSS Values and Units, "absolute lengths").
MM_PER_UNIT = {
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "in": 25.4,
    "pt": 25.4 / 72,
    "pc": 25.4 / 6,
    "px": 25.4 / 96,
    "yd": 914.4,
}
MM_PER_INCH = 25.4
PT_PER_MM = 72 / 25.4
#: Longest side of a page in PDF units (ISO 32000-1, Annex C, limits of implementations; from
#: memory), and in millimetres: 5,080 exactly.
MOST_UNITS = 14_400
LONGEST_SIDE = MOST_UNITS / PT_PER_MM

_SPELLINGS = '"15 mm", "1.5 cm" or "5/8 in"'
_NUMBER = r"[+-]?(?:\d+\.?\d*|\.\d+)"
_LENGTH = re.compile(
    rf"\s*(?:(?P<whole>\d+)\s+)?(?:(?P<over>\d+)\s*/\s*(?P<under>\d+)|(?P<number>{_NUMBER}))"
    r"\s*(?P<unit>[a-zA-Z\"”″]*)\s*"
)
_INCH_SIGNS = {'"': "in", "”": "in", "″": "in", "inch": "in", "inches": "in"}


def parse_length(text: object, *, where: str = "") -> float:
    """Read a length with its unit, such as ``15 mm``, ``1.5cm``, ``5/8 in`` or ``1 1/2 in``.

    Args:
        text: The words as the person wrote them.
        where: The place to name in the error.

    Returns:
        Millimetres.

    Raises:
        LengthError: No unit, an unknown unit, or no number.
    """
    if not isinstance(text, str):
        raise LengthError(
            f"the length {text!r} has no unit", where=where, remedy=f"Write it as {_SPELLINGS}."
        )
    if len(text) > 60:
        raise LengthError(
            f"{text[:20]!r}… is not a length", where=where, remedy=f"Write it as {_SPELLINGS}."
        )
    match = _LENGTH.fullmatch(text)
    if match is None or (match["whole"] and not match["over"]):
        remedy = f"Write it as {_SPELLINGS}."
        pointed = re.sub(r"(?<=\d),(?=\d)", ".", text)
        if pointed != text and _LENGTH.fullmatch(pointed):
            remedy = f'Write a point for the comma: "{pointed.strip()}".'
        raise LengthError(f"{text!r} is not a length", where=where, remedy=remedy)
    unit = match["unit"].lower()
    unit = _INCH_SIGNS.get(unit, unit)
    if not unit:
        raise LengthError(
            f"the length {text!r} has no unit", where=where, remedy=f"Write it as {_SPELLINGS}."
        )
    if unit not in MM_PER_UNIT:
        known = ", ".join(MM_PER_UNIT)
        raise LengthError(
            f"{text!r} has an unknown unit {match['unit']!r}",
            where=where,
            remedy=f"Use one of {known}.",
        )
    if match["over"]:
        if int(match["under"]) == 0:
            raise LengthError(f"{text!r} divides by nothing", where=where)
        number = float(int(match["whole"] or 0) + Fraction(int(match["over"]), int(match["under"])))
    else:
        number = float(match["number"])
    length = number * MM_PER_UNIT[unit]
    if not math.isfinite(length):
        raise LengthError(f"{text!r} is not a length that exists", where=where)
    return length


def user_unit(width: float, height: float) -> int:
    """How many points one unit of a page is, so that neither side is over 14,400 units.

    It is 1 for all but very long pages (ISO 32000-1, table 30, UserUnit; PDF 1.6).

    Args:
        width: Of the page, millimetres.
        height: Of the page, millimetres.
    """
    return max(1, math.ceil(max(width, height) / LONGEST_SIDE - 1e-9))


def format_mm(length: float, places: int = 1) -> str:
    """Millimetres for reading: ``412.5 mm``, ``15 mm`` (no trailing zeros)."""
    return f"{_trim(length, places)} mm"


def format_inch(length: float, denominator: int = 8) -> str:
    """The same length in inches to the nearest 1/8 (or another power of two), as tapes show it.

    Args:
        length: Millimetres.
        denominator: The finest division of the inch.
    """
    parts = round(length / MM_PER_INCH * denominator)
    whole, rest = divmod(abs(parts), denominator)
    fraction = Fraction(rest, denominator)
    sign = "-" if parts < 0 else ""
    if rest == 0:
        return f"{sign}{whole} in"
    words = f"{fraction.numerator}/{fraction.denominator}"
    return f"{sign}{whole} {words} in" if whole else f"{sign}{words} in"


def _trim(number: float, places: int) -> str:
    words = f"{number:.{places}f}"
    if "." in words:
        words = words.rstrip("0").rstrip(".")
    return "0" if words == "-0" else words
