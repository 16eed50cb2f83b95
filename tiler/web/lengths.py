"""Lengths as the user reads and types them."""

from __future__ import annotations

import re

from tiler.pattern.units import MM_PER_INCH, format_inch, format_mm, parse_length

_BARE = re.compile(r"\s*[+-]?(?:\d+(?:[.,]\d+)?|[.,]\d+|(?:\d+\s+)?\d+\s*/\s*\d+)\s*")
#: A decimal comma, as most of Europe writes it.
_COMMA = re.compile(r"(?<=\d),(?=\d)|^,(?=\d)")
#: Units as German and Ukrainian write them -> as pattern files do; longer words first.
_UNITS = {"мм": "mm", "см": "cm", "м": "m", "zoll": "in"}
_UNIT = re.compile(r"(?<=[\d\s])(мм|см|м|дюйм(?:\.|ів|и|а)?|zoll)(?!\w)\.?", re.IGNORECASE)
#: How a language writes mm and in.
_SPOKEN = {"de": {"mm": "mm", "in": "Zoll"}, "uk": {"mm": "мм", "cm": "см", "in": "дюйм."}}
#: Where a sixteenth of an inch says it to this many millimetres, it is said so.
_CLOSE = 0.05


def told(mm: float, units: str, places: int = 1, language: str = "en") -> str:
    """A length in the user's unit: ``15 mm``, ``5/8 in``, ``14.25 in``; in German ``14,25 Zoll``.

    Args:
        mm: Millimetres.
        units: mm or in.
        places: After the point, of millimetres.
        language: Whose decimal sign and name of the unit.
    """
    words = _told(mm, units, places)
    if language == "en":
        return words
    number, _, unit = words.rpartition(" ")
    return f"{in_language(number, language)} {unit_told(unit, language)}"


def in_language(number: str, language: str) -> str:
    """A number with the decimal sign of the language."""
    return number if language == "en" else number.replace(".", ",")


def unit_told(unit: str, language: str) -> str:
    """A unit as the language writes it."""
    return _SPOKEN.get(language, {}).get(unit, unit)


def _told(mm: float, units: str, places: int) -> str:
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
    plain = _UNIT.sub(_unit, _COMMA.sub(".", words))
    return f"{plain} {units}" if _BARE.fullmatch(words) else plain


def _unit(found: re.Match[str]) -> str:
    word = found[1].lower()
    return "in" if word.startswith("дюйм") else _UNITS[word]


def typed_length(typed: str, units: str, where: str = "") -> float:
    """Millimetres of what was typed.

    Raises:
        LengthError: It is no length.
    """
    return parse_length(as_written(typed, units), where=where)
