"""The words of the notes in one language, read from its templates."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from functools import cache
from typing import Any

from tiler.pattern.errors import PatternError
from tiler.sheets.notes.quoting import Phrase
from tiler.sheets.words import shipped

#: Where the templates of a language are, below its folder.
FOLDER = "notes"


class WordTable:
    """A table of words; what is not in it is a fault of the code."""

    def __init__(self, table: dict[str, Any], name: str) -> None:
        self._table, self._name = table, name

    def __getitem__(self, key: str) -> Any:
        if key not in self._table:
            raise KeyError(f"{self._name} has no {key!r}")
        value = self._table[key]
        if isinstance(value, dict):
            return WordTable(value, f"{self._name}.{key}")
        return Phrase(value) if isinstance(value, str) else value

    def items(self) -> Iterable[tuple[str, Any]]:
        """Keys and what stands under them."""
        return ((key, self[key]) for key in self._table)

    def get(self, key: str) -> Any:
        """What stands under a key, or None."""
        return self[key] if key in self._table else None


@cache
def languages() -> tuple[str, ...]:
    """Tags of the languages that there are notes in."""
    folders = (shipped("templates")).glob(f"*/{FOLDER}/words.toml")
    return tuple(sorted(path.parents[1].name for path in folders))


@cache
def words_of(language: str) -> WordTable:
    """All words of a language.

    Raises:
        PatternError: There are no notes in it.
    """
    if language not in languages():
        raise PatternError(
            f"there are no notes in the language {language!r}",
            remedy=f"Use one of {', '.join(languages())}.",
        )
    file = shipped("templates") / language / FOLDER / "words.toml"
    return WordTable(tomllib.loads(file.read_text("utf-8")), f"{language}/{FOLDER}/words.toml")


def template_of(language: str, section: str) -> str:
    """The text of a section's template."""
    return (shipped("templates") / language / FOLDER / f"{section}.md.j2").read_text("utf-8")
