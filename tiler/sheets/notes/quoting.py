"""Text that others wrote, made safe in Markdown, and marked with its language.

Whoever made the pattern may write anything: it comes out as text. Marks are letters of the private
use area (Unicode, 23.5), which no text may bring along; they become ``lang`` in HTML and vanish
elsewhere.
"""

from __future__ import annotations

import re
import string
import unicodedata
from typing import Any

from markupsafe import Markup

#: Begin the maker's words and the words that stand on the sheets; end of either.
MAKER, SHEET, END = "\ue000", "\ue001", "\ue002"
MARKS = re.compile(f"[{MAKER}{SHEET}{END}]")

#: What means something to Markdown anywhere in a line (CommonMark 0.31, 2.4 and 6; tables and
#: strike-through as in GitHub Flavored Markdown).
_ANYWHERE = re.compile(r"([\\`*_\[\]<>&#|~$^{}])")
#: What begins a block where it begins a line: lists, headings under lines, rules, block quotes.
_AT_START = re.compile(r"^([-+=:!]|\d{1,9}(?=[.)](?:\s|$)))")

#: Control characters, halves of pairs, letters for private use or not yet given, line ends.
_DROPPED = ("Cc", "Cs", "Co", "Cn", "Zl", "Zp")


def plain(text: str) -> str:
    """The text in one line, without control characters and without letters for private use."""
    kept = (char if unicodedata.category(char) not in _DROPPED else " " for char in text)
    return " ".join("".join(kept).split())


def escaped(text: str) -> str:
    """Markdown that says just this text."""
    line = _ANYWHERE.sub(r"\\\1", plain(text))
    begun = _AT_START.match(line)
    if begun and begun[1].isdigit():
        line = f"{begun[1]}\\{line[begun.end() :]}"
    elif begun:
        line = f"\\{line}"
    return line


class Quoted:
    """Words in a language of their own.

    Args:
        text: What they are.
        mark: `MAKER` or `SHEET`.
    """

    def __init__(self, text: str, mark: str = MAKER) -> None:
        self.text, self._mark = text, mark

    def __html__(self) -> str:
        """The words as Markdown, between marks."""
        line = escaped(self.text)
        return f"{self._mark}{line}{END}" if line else ""

    def __str__(self) -> str:
        return plain(self.text)

    def __bool__(self) -> bool:
        return bool(plain(self.text))


class Phrase(str):
    """Words of a language with blanks in braces, which are filled in by calling it."""

    def __call__(self, **facts: Any) -> Markup:
        """The phrase as Markdown."""
        parts = []
        for literal, name, _, _ in string.Formatter().parse(self):
            parts.append(_inner(literal))
            if name is not None:
                parts.append(str(finished(facts[name])))
        return Markup("".join(parts))


def finished(value: object) -> object:
    """What a template puts out: Markdown stays, everything else becomes text."""
    if hasattr(value, "__html__"):
        return Markup(value.__html__())
    return Markup(escaped(str(value)))


def _inner(text: str) -> str:
    """As `escaped`, spaces at the ends kept."""
    return _ANYWHERE.sub(r"\\\1", text)


def unmarked(markdown: str) -> str:
    """Without the marks."""
    return MARKS.sub("", markdown)
