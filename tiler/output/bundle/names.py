"""Names inside a bundle: letters that every system has had for fifty years."""

from __future__ import annotations

import unicodedata
from collections.abc import Collection

#: Letters that do not fall apart into a plain one and an accent.
_SPELT = str.maketrans(
    {"ß": "ss", "æ": "ae", "œ": "oe", "ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ı": "i"}
)


def plain_name(words: str, otherwise: str) -> str:
    """Lower case ASCII letters and figures, joined by hyphens.

    Args:
        words: What is to be named.
        otherwise: The name where nothing is left of the words, or only a part of what was
            written in another alphabet.
    """
    lower = words.lower().translate(_SPELT).replace("'", "").replace("’", "")
    apart = unicodedata.normalize("NFKD", lower)
    base = [c for c in apart if unicodedata.category(c)[0] != "M"]
    if any(c.isalpha() and not c.isascii() for c in base):
        return otherwise
    kept = (c if c.isascii() and c.isalnum() else " " for c in base)
    return "-".join("".join(kept).split())[:60].strip("-") or otherwise


def free_name(name: str, taken: Collection[str]) -> str:
    """The name, or with a number behind it where it is taken; its ending stays."""
    stem, dot, ending = name.rpartition(".")
    number, free = 1, name
    while free in taken:
        number += 1
        free = f"{stem}-{number}{dot}{ending}"
    return free
