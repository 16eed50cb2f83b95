"""Reading a TOML table key by key, with an error that names the place of each."""

from __future__ import annotations

import difflib
import unicodedata
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from tiler.intake.tomlplaces import TomlPlaces
from tiler.pattern.errors import LengthError, PatternError
from tiler.pattern.units import parse_length

NAME_LIMIT = 120
TEXT_LIMIT = 4000
ENTRY_LIMIT = 1000

_COUNT = "Write {key} = 1, or as many as there are."

_KINDS: tuple[tuple[type, str], ...] = (
    (bool, "true or false"),
    (str, "text"),
    (int, "a whole number"),
    (float, "a number"),
    (list, "a list"),
    (dict, "a table"),
)


def kind_of(value: object) -> str:
    """What a TOML value is, in words."""
    return next((words for kind, words in _KINDS if isinstance(value, kind)), "a date or time")


def near_miss(word: str, known: Collection[str]) -> str:
    """``Did you mean "fold"?`` or, when nothing is near, the list of what there is."""
    near = difflib.get_close_matches(word, known, n=1)
    if near:
        return f'Did you mean "{near[0]}"?'
    return f"Known here: {', '.join(known)}." if known else "Leave it out."


@dataclass(frozen=True, slots=True)
class TomlTable:
    """One table of a TOML file.

    Args:
        data: What the parser found.
        places: The file that it stands in.
        table: The table's name in the file; empty for the top.
        nth: Which of the tables of that name, from 0.
        total: How many there are.
        about: What the table describes, for messages, such as ``piece Front``.
        key: For a table inside a line, the key of that line.
        line: Where the table begins, when that is known otherwise than by its name.
    """

    data: Mapping[str, object]
    places: TomlPlaces
    table: str = ""
    nth: int = 0
    total: int = 1
    about: str = ""
    key: str = ""
    line: int | None = None

    def where(self, key: str = "") -> str:
        """File, line (when it can be found), what the table is about, and key."""
        # A key that is missing belongs where the table begins.
        written = self.key or (key if key in self.data else "")
        line = self.line
        if line is not None:
            line = self.places.within(line, written)
        elif written or self.table:
            line = self.places.line(self.table, written, self.nth, self.total)
        place = f"{self.places.file} line {line}" if line else self.places.file
        named = ".".join(part for part in (self.key, _readable(key)) if part)
        head = f"table [{self.table}]" if self.table and not self.about else self.about
        parts = [place, head, f"key {named}" if named else ""]
        return ", ".join(part for part in parts if part)

    def error(self, problem: str, key: str = "", remedy: str = "") -> PatternError:
        """An error that knows its place."""
        return PatternError(problem, where=self.where(key), remedy=remedy)

    def only(self, known: Collection[str]) -> None:
        """Refuse keys that nobody reads.

        Raises:
            PatternError: The first such key, with the known key that is nearest.
        """
        for key in self.data:
            if key not in known:
                shown = f'unknown key "{_readable(key)}"'
                raise self.error(shown, key, near_miss(key, known))

    def text(self, key: str, *, limit: int = TEXT_LIMIT) -> str:
        """Text with its spaces and line ends drawn together; empty when the key is missing.

        Raises:
            PatternError: Something else than text, a control character, or too long.
        """
        if key not in self.data:
            return ""
        return self._clean(self.data[key], key, limit)

    def must(self, key: str, example: str) -> str:
        """A name that may not be missing or empty, given an example of how to write it.

        Raises:
            PatternError: As for `text`, and when there is none.
        """
        found = self.text(key, limit=NAME_LIMIT)
        if not found:
            missing = "is empty" if key in self.data else "is missing"
            raise self.error(f"{key} {missing}", key, f"Write {key} = {example}.")
        return found

    def texts(self, key: str, *, limit: int = TEXT_LIMIT) -> tuple[str, ...]:
        """One text or a list of texts.

        Raises:
            PatternError: Something else, or an empty text among them.
        """
        return self.listed(key, self.data.get(key, []), limit=limit)

    def listed(self, key: str, value: object, *, limit: int = TEXT_LIMIT) -> tuple[str, ...]:
        """A value under a key as one text or a list of texts.

        Raises:
            PatternError: Something else, or an empty text among them.
        """
        values = value if isinstance(value, list) else [value]
        found = tuple(self._clean(each, key, limit) for each in values)
        if "" in found:
            raise self.error(f"{key} has an empty text", key, "Leave it out.")
        return found

    def length(self, key: str) -> float | None:
        """A length in millimetres that is not negative; None when the key is missing.

        Raises:
            PatternError: No unit, or not a length of zero or more.
        """
        return self.length_of(key, self.data[key]) if key in self.data else None

    def length_of(self, key: str, value: object, *, signed: bool = False) -> float:
        """A value under a key as a length in millimetres, negative only when `signed`.

        Raises:
            PatternError: No unit, not a length, or less than nothing.
        """
        if not isinstance(value, str | int | float) or isinstance(value, bool):
            raise self.error(
                f"{key} is {kind_of(value)}, not a length", key, 'Write it as "15 mm".'
            )
        try:
            length = parse_length(value)
        except LengthError as bad:
            raise self.error(bad.problem, key, bad.remedy) from None
        if length < 0 and not signed:
            raise self.error(f"{key} is less than nothing", key, "Write a length of 0 mm or more.")
        return length

    def count(self, key: str) -> int:
        """A whole number of one or more.

        Raises:
            PatternError: Missing, not a whole number, under one or over a thousand.
        """
        if key not in self.data:
            raise self.error(f"{key} is missing", key, _COUNT.format(key=key))
        return self.count_of(key, self.data[key])

    def count_of(self, key: str, value: object) -> int:
        """A value under a key as a whole number of one or more.

        Raises:
            PatternError: Not a whole number, under one or over a thousand.
        """
        remedy = _COUNT.format(key=key)
        if isinstance(value, bool) or not isinstance(value, int):
            raise self.error(f"{key} is {kind_of(value)}, not a whole number", key, remedy)
        if not 1 <= value <= 1000:
            raise self.error(f"{key} must be from 1 to 1000", key, remedy)
        return value

    def inner(self, key: str) -> TomlTable:
        """The table under a key, empty when the key is missing.

        Raises:
            PatternError: Something else than a table stands there.
        """
        return self.under(key, self.data.get(key, {}))

    def under(self, key: str, value: object) -> TomlTable:
        """A value under a key, which must be a table.

        Raises:
            PatternError: It is something else.
        """
        if not isinstance(value, dict):
            raise self.error(
                f"{key} is {kind_of(value)}, not a table", key, f"Write {key} = {{ name = value }}."
            )
        if not self.table and f"[{key}]" in (f"[{block.name}]" for block in self.places.blocks):
            return TomlTable(value, self.places, table=key)
        at = (self.table, self.nth, self.total, self.about)
        return TomlTable(value, self.places, *at, key, self.line)

    def tables(self, key: str, word: str, example: str) -> Iterator[TomlTable]:
        """The tables in a list under a key, or the only one; none when the key is missing.

        Args:
            key: The key.
            word: What one of them is called in messages, such as ``notch``.
            example: How one is written.

        Raises:
            PatternError: Something else than tables stands there, or more than a thousand.
        """
        value = self.data.get(key, [])
        values = value if isinstance(value, list) else [value]
        if len(values) > ENTRY_LIMIT:
            raise self.error(
                f"{key} has {len(values)} entries", key, f"Keep it to {ENTRY_LIMIT} entries."
            )
        lines = self.places.entries(self.table, key, len(values), self.nth, self.total)
        begin = self.places.line(self.table, "", self.nth, self.total) if self.table else None
        for number, (each, line) in enumerate(zip(values, lines, strict=True), start=1):
            if not isinstance(each, dict):
                raise self.error(
                    f"{key} holds {kind_of(each)}, not a table", key, f"Write {example}."
                )
            about = f"{self.about}, {word} {number}" if self.about else f"{word} {number}"
            at = (self.table, self.nth, self.total, about)
            yield TomlTable(each, self.places, *at, line=begin if line is None else line)

    def _clean(self, value: object, key: str, limit: int) -> str:
        if not isinstance(value, str):
            raise self.error(
                f"{key} is {kind_of(value)}, not text", key, "Put it in quotation marks."
            )
        words = " ".join(value.split())
        if any(unicodedata.category(letter) in ("Cc", "Cs") for letter in words):
            raise self.error(f"{key} has a control character in it", key, "Take it out.")
        if len(words) > limit:
            raise self.error(
                f"{key} has {len(words)} characters", key, f"Keep it to {limit} characters."
            )
        return words


def _readable(key: str) -> str:
    """A key as it can be shown: TOML allows line ends and whole novels in it."""
    words = "".join(letter if letter.isprintable() else " " for letter in key)
    return words if len(words) <= 40 else f"{words[:40]}…"
