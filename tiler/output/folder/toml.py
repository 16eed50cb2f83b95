"""TOML as a person would write it: one key a line, lists broken where they grow long."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from decimal import Decimal

from tiler.intake.tomlwords import toml_key, toml_string

#: Longer lines (characters) are broken where TOML allows it.
_WIDE = 100
#: A table in braces may not be broken over lines; past this it stands under a header of its own.
_WIDEST = 1000

Pairs = Sequence[tuple[str, str]]


def number(value: float) -> str:
    """A number that reads back as the same one, without an exponent or idle zeros."""
    words = format(Decimal(repr(float(value))), "f")
    if "." in words:
        words = words.rstrip("0").rstrip(".")
    return "0" if words == "-0" else words


def length(mm: float) -> str:
    """A length in quotation marks: ``"15 mm"``."""
    return f'"{number(mm)} mm"'


def share(value: float) -> str:
    """A share in quotation marks: ``"40 %"`` for 0.4."""
    words = format(Decimal(repr(float(value))).scaleb(2), "f")
    if "." in words:
        words = words.rstrip("0").rstrip(".")
    return f'"{words} %"'


def angle(degrees: float) -> str:
    """An angle in quotation marks: ``"45 deg"``."""
    return f'"{number(degrees)} deg"'


def truth(value: bool) -> str:
    """``true`` or ``false``."""
    return "true" if value else "false"


def one_or_list(texts: Sequence[str]) -> str:
    """A single text as it is, several as a list on one line."""
    words = [toml_string(text) for text in texts]
    return words[0] if len(words) == 1 else f"[{', '.join(words)}]"


def inline(pairs: Pairs) -> str:
    """A table in braces on one line."""
    return "{ " + ", ".join(f"{toml_key(key)} = {value}" for key, value in pairs) + " }"


def listed(values: Sequence[str], key: str) -> str:
    """A list; each value on a line of its own when one line would be long."""
    line = f"[{', '.join(values)}]"
    if len(values) <= 1 and len(key) + 3 + len(line) <= _WIDE:
        return line
    return "\n".join(("[", *(f"    {value}," for value in values), "]"))


class Table:
    """The lines of one table, and the tables below it that were too long for a line.

    Args:
        header: As ``[[piece]]``; empty for the top of the file.
    """

    def __init__(self, header: str = "") -> None:
        self._header = header
        self._lines: list[str] = []
        self._below: list[tuple[str, Pairs]] = []

    def say(self, key: str, value: str) -> None:
        """Add a key with a value that is TOML already; nothing when the value is empty."""
        if value:
            self._lines.append(f"{toml_key(key)} = {value}")

    def text(self, key: str, text: str) -> None:
        """Add a text; nothing when it is empty."""
        self.say(key, toml_string(text) if text else "")

    def pairs(self, key: str, pairs: Pairs) -> None:
        """Add a table in braces, or below when it would be very long; nothing when empty."""
        if not pairs:
            return
        words = inline(pairs)
        if len(words) > _WIDEST:
            self._below.append((key, pairs))
        else:
            self.say(key, words)

    def lines(self) -> Iterable[str]:
        """The lines of the file."""
        if self._header:
            yield self._header
        yield from self._lines
        name = self._header.strip("[]")
        for key, pairs in self._below:
            yield ""
            yield f"[{name}.{key}]" if name else f"[{key}]"
            yield from (f"{toml_key(each)} = {value}" for each, value in pairs)
