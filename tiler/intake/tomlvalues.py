"""Values of a TOML table that are more than text: choices, shares, angles, places on edges."""

from __future__ import annotations

import math
import re
from collections.abc import Collection
from decimal import Decimal
from enum import StrEnum
from typing import TypeVar

from tiler.intake.tomltable import NAME_LIMIT, TomlTable, kind_of, near_miss
from tiler.pattern.wishes import EdgeName, Place

Choice = TypeVar("Choice", bound=StrEnum)

_NUMBER = r"[+-]?(?:\d{1,40}\.?\d{0,40}|\.\d{1,40})"
_PERCENT = re.compile(rf"\s*({_NUMBER})\s*%\s*")
_DEGREES = re.compile(rf"\s*({_NUMBER})\s*(?:deg|°)\s*")
_PLACES = 'at = "250 mm" or at = "40 %"'


def choice_in(table: TomlTable, key: str, known: type[Choice]) -> Choice | None:
    """One of the words that a key may have; None when the key is missing.

    Raises:
        PatternError: Another word, with those that there are.
    """
    if key not in table.data:
        return None
    word = table.text(key, limit=NAME_LIMIT)
    if word not in tuple(known):
        spellings = " or ".join(f'{key} = "{each}"' for each in known)
        raise table.error(f'there is no {key} "{word}"', key, f"Write {spellings}.")
    return known(word)


def flag_in(table: TomlTable, key: str) -> bool | None:
    """True or false; None when the key is missing.

    Raises:
        PatternError: Something else.
    """
    value = table.data.get(key)
    if value is None or isinstance(value, bool):
        return value
    raise table.error(
        f"{key} is {kind_of(value)}, not true or false",
        key,
        f"Write {key} = true or {key} = false, without quotation marks.",
    )


def above_zero(table: TomlTable, key: str, example: str) -> float:
    """A length in millimetres that may not be missing or zero.

    Raises:
        PatternError: Missing, no length, zero or less.
    """
    found = table.length(key)
    if not found:
        problem = f"{key} is missing" if found is None else f"{key} is nothing"
        raise table.error(problem, key, f'Write {key} = "{example}".')
    return found


def percent_in(table: TomlTable, key: str, most: int) -> float | None:
    """A share such as ``"25 %"`` as 0.25; None when the key is missing.

    Raises:
        PatternError: No percentage, negative, or more than `most` percent.
    """
    if key not in table.data:
        return None
    value = table.data[key]
    remedy = f'Write {key} = "25 %".'
    if not isinstance(value, str):
        raise table.error(f"{key} is {kind_of(value)}, not a percentage", key, remedy)
    share = share_of(value)
    if share is None:
        raise table.error(f'{key} "{value[:40]}" is not a percentage', key, remedy)
    if not 0 <= share <= most / 100:
        raise table.error(f"{key} must be from 0 % to {most} %", key, remedy)
    return share


def share_of(text: str) -> float | None:
    """``"40 %"`` as 0.4, the nearest number to it; None when it is no percentage."""
    match = _PERCENT.fullmatch(text[:120])
    return float(Decimal(match[1]).scaleb(-2)) if match else None


def degrees_in(table: TomlTable, key: str, most: int, example: str) -> float:
    """An angle such as ``"45 deg"`` in degrees; 0 when the key is missing.

    Raises:
        PatternError: No angle, or more than `most` degrees either way.
    """
    value = table.data.get(key, "0 deg")
    remedy = f'Write {key} = "{example}".'
    if not isinstance(value, str):
        raise table.error(f"{key} is {kind_of(value)}, not an angle", key, remedy)
    match = _DEGREES.fullmatch(value[:120])
    if match is None:
        raise table.error(f'{key} "{value[:40]}" is not an angle in degrees', key, remedy)
    angle = float(match[1])
    if not math.fabs(angle) <= most:
        raise table.error(f"{key} must be from -{most} deg to {most} deg", key, remedy)
    return angle


def letter_in(table: TomlTable, key: str) -> str:
    """The letter of an edge, which may not be missing.

    Raises:
        PatternError: Missing, empty or no text.
    """
    return table.must(key, '"E", the letter of an edge').upper()


def letters_in(table: TomlTable, key: str) -> tuple[str, ...]:
    """One letter of an edge or a list of them, at least one.

    Raises:
        PatternError: None, one twice, or something else than text.
    """
    letters = tuple(letter.upper() for letter in table.texts(key, limit=NAME_LIMIT))
    if not letters:
        raise table.error(f"{key} names no edge", key, f'Write {key} = "B".')
    twice = next((letter for letter in letters if letters.count(letter) > 1), None)
    if twice:
        raise table.error(f"{key} names edge {twice} twice", key, "Keep it once.")
    return letters


def place_in(table: TomlTable, edge: str = "edge") -> Place:
    """A place on an edge, from the keys of the edge, `at` and `from`.

    Args:
        table: A table that holds them.
        edge: The key that names the edge.

    Raises:
        PatternError: A key is missing, or is no letter, no length and no share, or no end.
    """
    letter = letter_in(table, edge)
    value = table.data.get("at")
    if value is None:
        raise table.error("at is missing", "at", f"Write {_PLACES}.")
    start = table.text("from", limit=NAME_LIMIT)
    if "from" in table.data and start not in ("start", "end"):
        raise table.error(
            f'there is no from "{start}"', "from", 'Write from = "start" or from = "end".'
        )
    from_end = start == "end"
    if isinstance(value, str) and "%" in value:
        return Place(letter, fraction=percent_in(table, "at", 100), from_end=from_end)
    if not isinstance(value, str):
        raise table.error(
            f"at is {kind_of(value)}, neither a length nor a share of the edge",
            "at",
            f"Write {_PLACES}.",
        )
    return Place(letter, length=table.length("at"), from_end=from_end)


def edge_name_of(table: TomlTable, key: str, text: str, pieces: Collection[str]) -> EdgeName:
    """An edge of a piece, such as ``Front.E``; the last point parts piece and letter.

    Raises:
        PatternError: No point in it, or no piece of that name.
    """
    piece, point, letter = text.rpartition(".")
    piece, letter = piece.strip(), letter.strip().upper()
    if not point or not piece or not letter:
        raise table.error(
            f'"{text}" does not name an edge of a piece',
            key,
            'Write the name of the piece, a point and the letter, as in "Front.E".',
        )
    if piece not in pieces:
        raise table.error(f'there is no piece "{piece}"', key, near_miss(piece, pieces))
    return EdgeName(piece, letter)
