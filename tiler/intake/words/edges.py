"""What is said of edges by their letters: how they lie, their names, widths and finishes."""

from __future__ import annotations

from collections.abc import Iterator

from tiler.intake.tomltable import NAME_LIMIT, TomlTable
from tiler.intake.tomlvalues import choice_in, letters_in
from tiler.intake.words.model import EdgeWord
from tiler.pattern.model import Lies
from tiler.pattern.wishes import Finish

KEYS = ("fold", "hem", "raw", "names", "allowances", "finish")
_HEM = ("edge", "allowance", "finish")


def edge_words(table: TomlTable) -> tuple[EdgeWord, ...]:
    """All that a [[piece]] says of its edges.

    Raises:
        PatternError: An edge lies in two ways or has two widths or two finishes; with the place.
    """
    words = (*_lies(table), *_names(table), *_allowances(table), *_finishes(table))
    _once(table, words)
    return words


def _lies(table: TomlTable) -> Iterator[EdgeWord]:
    given: dict[str, str] = {}
    for lies in (Lies.FOLD, Lies.HEM, Lies.RAW):
        found = _hems(table) if lies is Lies.HEM else _plain(table, lies)
        for word in found:
            before = given.setdefault(word.letter, lies.value)
            if before != lies.value:
                raise table.error(
                    f"edge {word.letter} is given as {before} and as {lies.value}",
                    lies.value,
                    "Keep one of the two.",
                )
            yield word


def _plain(table: TomlTable, lies: Lies) -> Iterator[EdgeWord]:
    for letter in table.texts(lies.value, limit=NAME_LIMIT):
        yield EdgeWord(letter.upper(), lies, "", table.where(lies.value))


def _hems(table: TomlTable) -> Iterator[EdgeWord]:
    value = table.data.get("hem", [])
    values = value if isinstance(value, list) else [value]
    for each in values:
        if not isinstance(each, dict):
            for letter in table.listed("hem", each, limit=NAME_LIMIT):
                yield EdgeWord(letter.upper(), Lies.HEM, "", table.where("hem"))
            continue
        hem = table.under("hem", each)
        hem.only(_HEM)
        allowance, finish = hem.length("allowance"), choice_in(hem, "finish", Finish)
        for letter in letters_in(hem, "edge"):
            yield EdgeWord(letter, Lies.HEM, "", hem.where("edge"), allowance, finish)


def _names(table: TomlTable) -> Iterator[EdgeWord]:
    names = table.inner("names")
    for letter in names.data:
        name = names.text(letter, limit=NAME_LIMIT)
        yield EdgeWord(letter.strip().upper(), None, name, table.where("names"))


def _allowances(table: TomlTable) -> Iterator[EdgeWord]:
    widths = table.inner("allowances")
    for letter in widths.data:
        width = widths.length(letter)
        yield EdgeWord(letter.strip().upper(), None, "", widths.where(letter), allowance=width)


def _finishes(table: TomlTable) -> Iterator[EdgeWord]:
    finishes = table.inner("finish")
    for letter in finishes.data:
        finish = choice_in(finishes, letter, Finish)
        yield EdgeWord(letter.strip().upper(), None, "", finishes.where(letter), finish=finish)


def _once(table: TomlTable, words: tuple[EdgeWord, ...]) -> None:
    widths: dict[str, EdgeWord] = {}
    finishes: dict[str, EdgeWord] = {}
    for word in words:
        first = widths.setdefault(word.letter, word) if word.allowance is not None else word
        if first is not word:
            raise table.error(
                f"edge {word.letter} is given two widths, {first.allowance:g} mm and "
                f"{word.allowance:g} mm",
                "allowances" if "allowances" in table.data else "hem",
                "Keep one of the two.",
            )
        first = finishes.setdefault(word.letter, word) if word.finish is not None else word
        if first is not word:
            raise table.error(
                f"edge {word.letter} is given two finishes, {first.finish} and {word.finish}",
                "finish" if "finish" in table.data else "hem",
                "Keep one of the two.",
            )
