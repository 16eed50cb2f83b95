"""What the studio says, in the user's language."""

from __future__ import annotations

import tomllib
from functools import cache

from tiler.sheets.words import shipped

#: Tag of each language -> its own name for itself.
LANGUAGES = {"en": "English", "de": "Deutsch", "uk": "Українська"}


@cache
def _texts(language: str, page: str) -> dict[str, str]:
    file = shipped("templates") / language / "studio" / f"{page}.toml"
    return {key: str(text) for key, text in tomllib.loads(file.read_text("utf-8")).items()}


def say(language: str, page: str, key: str, /, **facts: object) -> str:
    """A text with its blanks filled in: the page's own, or one that all pages share.

    Args:
        language: One of `LANGUAGES`.
        page: Whose words come first; the shell's stand behind them.
        key: Name of the text.
        facts: What goes into its blanks.

    Raises:
        KeyError: Neither file has it.
    """
    own = _texts(language, page)
    text = own[key] if key in own else _texts(language, "shell")[key]
    return text.format(**facts)


def counted(language: str, page: str, key: str, n: int, /, **facts: object) -> str:
    """A text for a number of things: the form of the language for just that number."""
    return say(language, page, f"{key}_{form_of(language, n)}", n=n, **facts)


def form_of(language: str, n: int) -> str:
    """one, few or many (CLDR plural rules for whole numbers; from memory)."""
    if language != "uk":
        return "one" if n == 1 else "many"
    tens, ones = n % 100, n % 10
    if ones == 1 and tens != 11:
        return "one"
    return "few" if 2 <= ones <= 4 and not 12 <= tens <= 14 else "many"
