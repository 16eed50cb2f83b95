"""Lines of a commented TOML file: remarks, examples behind a #, and what is said."""

from __future__ import annotations

import re
import textwrap
from collections.abc import Iterator, Sequence

from tiler.intake.tomlwords import toml_key
from tiler.sheets.words import say

#: Characters in a line of remarks.
_WIDE = 96
#: Words that are typed as they stand, and are not broken over lines.
_TYPED = re.compile(r'(?:\w+ = )?"[^"]*"')
#: Stands for a space in them: no remark has it, since it is not printable.
_HELD = "\0"


class Remarks:
    """Gathers the lines.

    A remark is ``# words``; an example is ``#key = value`` on one line, which is TOML once the
    mark in front is gone.

    Args:
        language: Of the remarks.
    """

    def __init__(self, language: str) -> None:
        self.language = language
        self._lines: list[str] = []
        self._told: set[str] = set()

    def word(self, key: str, **facts: object) -> str:
        """A text of the language."""
        return say(f"new_{key}", self.language, **facts)

    def part(self, title: str) -> None:
        """Begin a part of the file."""
        self.blank()
        line = f"# ---- {_printable(title)} "
        self._lines.append(line + "-" * max(4, _WIDE - len(line)))

    def remark(self, key: str, **facts: object) -> None:
        """Words for the reader."""
        self.free(self.word(key, **facts))

    def once(self, key: str, **facts: object) -> None:
        """Words that explain what comes next, the first time only, after an empty line."""
        if key not in self._told:
            self._told.add(key)
            self.blank()
            self.remark(key, **facts)

    def told(self, key: str) -> bool:
        """Whether `once` has told it."""
        return key in self._told

    def free(self, text: str, indent: str = "") -> None:
        """Words that are made already."""
        wrapped = textwrap.wrap(
            _TYPED.sub(lambda typed: typed[0].replace(" ", _HELD), _printable(text)),
            _WIDE,
            initial_indent=f"# {indent}",
            subsequent_indent=f"# {indent}",
            break_long_words=False,
            break_on_hyphens=False,
        )
        self._lines.extend(line.replace(_HELD, " ") for line in wrapped)

    def example(self, key: str, value: str) -> None:
        """A key with a value that is TOML and has one line, as an example."""
        self._lines.append(f"#{toml_key(key)} = {value}")

    def say(self, key: str, value: str) -> None:
        """A key with its value, as said."""
        self._lines.append(f"{toml_key(key)} = {value}")

    def say_or(self, key: str, said: str, example: str) -> None:
        """What is said, or an example where nothing is."""
        if said:
            self.say(key, said)
        else:
            self.example(key, example)

    def plain(self, lines: Sequence[str]) -> None:
        """Lines as they are."""
        self._lines.extend(lines)

    def blank(self) -> None:
        """An empty line, never two."""
        if self._lines and self._lines[-1]:
            self._lines.append("")

    def lines(self) -> Iterator[str]:
        """All of them."""
        yield from self._lines


def listed(words: Sequence[str], language: str, joined: str = "and") -> str:
    """``Front, Back and Sleeve``, or with ``or``."""
    if len(words) == 1:
        return words[0]
    return say(f"new_list_{joined}", language, first=", ".join(words[:-1]), last=words[-1])


def _printable(text: str) -> str:
    """A name may hold what would end a line, or be no text in a remark."""
    return "".join(letter if letter.isprintable() else " " for letter in text)
