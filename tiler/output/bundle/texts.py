"""The plain texts of a bundle, as every editor on every system shows them."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from tiler.pattern.errors import PatternError
from tiler.sheets.words import languages_with, say

WIDE = 76
_WORDS = "bundle.toml"


def languages() -> tuple[str, ...]:
    """Tags of the languages that a bundle can speak."""
    return languages_with(_WORDS)


def drawn_language(language: str, words: str) -> str:
    """The language of what is drawn: the bundle's where there are such words in it, else English.

    Args:
        language: Of the bundle.
        words: The file that they stand in.
    """
    return language if language in languages_with(words) else "en"


def language_of(wanted: str, said: str = "") -> str:
    """The language of a bundle: the one that is wanted, the maker's where there is such, English.

    Args:
        wanted: Its tag; empty when nobody has asked.
        said: The tag (BCP 47) that the maker has given; empty for none.

    Raises:
        PatternError: There is no such language.
    """
    if wanted:
        if wanted.lower() not in languages():
            raise PatternError(
                f"there are no words in the language {wanted!r}",
                remedy=f"Use one of {', '.join(languages())}.",
            )
        return wanted.lower()
    first = said.lower().split("-")[0]
    return first if first in languages() else "en"


def plain_text(blocks: Sequence[str]) -> bytes:
    """Paragraphs with blank lines between them, UTF-8 with the line ends of Windows.

    Only there do old editors not know the others. Whatever is not ASCII gets a byte order mark,
    without which some take the text for another encoding.

    Args:
        blocks: Each a paragraph to be wrapped; lines that begin with blanks stay lines, and are
            wrapped under themselves.
    """
    lines: list[str] = []
    for block in blocks:
        for line in block.strip("\n").split("\n"):
            inset = len(line) - len(line.lstrip())
            lines += textwrap.wrap(
                line.strip(),
                WIDE,
                initial_indent=" " * inset,
                subsequent_indent=" " * (inset + 2 if inset else 0),
                break_long_words=False,
                break_on_hyphens=False,
            ) or [""]
        lines.append("")
    text = "\r\n".join(lines)
    return text.encode("ascii" if text.isascii() else "utf-8-sig")


def headed(key: str, language: str, **facts: object) -> str:
    """A headline and what stands under it."""
    head = say(f"bundle_{key}_head", language, **facts)
    return f"{head}\n{say(f'bundle_{key}', language, **facts)}"


def licence_text(paragraphs: Sequence[str], title: str, language: str) -> bytes:
    """What one may do with the pattern, in the maker's words; or that nothing was said."""
    if not paragraphs:
        return plain_text([title, say("bundle_no_licence", language)])
    return plain_text([title, *paragraphs])
