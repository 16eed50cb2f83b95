"""What was typed into a form, beside what stood there when it was shown."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from tiler.pattern.errors import PatternError

if TYPE_CHECKING:
    from tiler.web.asking import Asked

_NUMBER = re.compile(r"[+-]?\d+(?:[.,]\d+)?")
_COUNT = re.compile(r"\d{1,4}")


class Typed:
    """A form of the panel.

    Each field ``allowance`` has a hidden one ``was.allowance`` beside it, so that only what the
    user has changed becomes a change of the file.

    Args:
        asked: The request that brought the form.
    """

    def __init__(self, asked: Asked) -> None:
        self._asked = asked
        self.changed: list[str] = []

    def text(self, name: str) -> str:
        """A field, its spaces drawn together."""
        return " ".join(self._asked.field(name).split())

    def is_new(self, name: str) -> bool:
        """Whether a field was shown and says something else now."""
        was = self._asked.form.get(f"was.{name}")
        if not isinstance(was, str) or self._now(name) == _plain(was):
            return False
        self.changed.append(name)
        return True

    def length(self, name: str) -> str | None:
        """A length as it goes into the file; None for none."""
        return self._asked.written(name) or None

    def place(self, name: str) -> str:
        """A length or a share of an edge."""
        words = self.text(name)
        if words.endswith("%"):
            return _shared(words)
        return self._asked.written(name)

    def share(self, name: str) -> str | None:
        """A share; a bare number is a percentage."""
        words = self.text(name)
        return _shared(words) if words else None

    def angle(self, name: str) -> str:
        """An angle; a bare number is degrees, and none at all for 0."""
        words = self.text(name).replace("°", " deg")
        if _NUMBER.fullmatch(words):
            words = f"{words.replace(',', '.')} deg"
        return (
            "" if words.split()[:1] in (["0"], ["+0"], ["-0"], ["0.0"]) else " ".join(words.split())
        )

    def count(self, name: str, label: str = "") -> int | None:
        """A whole number; None for none.

        Raises:
            PatternError: Something else.
        """
        words = self.text(name)
        if not words:
            return None
        if not _COUNT.fullmatch(words):
            raise PatternError(
                f'"{words[:40]}" is not a whole number', where=label, remedy="Write 2, or another."
            )
        return int(words)

    def number(self, name: str) -> int:
        """The number of an entry, which the page itself has put into the form.

        Raises:
            PatternError: There is none.
        """
        found = self.count(name)
        if found is None:
            raise PatternError("the form is not complete", remedy="Open the page again.")
        return found

    def texts(self, name: str) -> tuple[str, ...]:
        """The lines of a large field, without empty ones."""
        return tuple(_lines(self._asked.field(name)))

    def all(self, name: str) -> tuple[str, ...]:
        """All values of a field that is there several times, without empty ones."""
        return self._asked.fields(name)

    def how_many(self, beginning: str) -> int:
        """How many fields ``count.0``, ``count.1`` … there are."""
        return sum(1 for name in self._asked.form if name.startswith(beginning))

    def _now(self, name: str) -> str:
        return _plain("\n".join(self._asked.fields(name)))


def bare(value: object, unit: str) -> str:
    """A value as it stands in a field: without its unit where that is the one beside the field."""
    words = str(value)
    spelled = {"°": "deg"}.get(unit, unit)
    if unit and words.endswith(f" {spelled}"):
        return words.removesuffix(spelled).strip()
    return words


def other_unit(words: str) -> bool:
    """Whether what stands in a field says a unit by itself."""
    return any(letter.isalpha() or letter in '%°"' for letter in words)


def _lines(words: str) -> list[str]:
    return [line for line in (" ".join(each.split()) for each in words.splitlines()) if line]


def _plain(words: str) -> str:
    return "\n".join(_lines(words))


def _shared(words: str) -> str:
    number = words.removesuffix("%").strip().replace(",", ".")
    return f"{number} %"
