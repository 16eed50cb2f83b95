"""What the usual cloths are called in the reader's language."""

from __future__ import annotations

from tiler.sheets.words import languages_with, say

#: The file of the words, and the cloths that have one.
_WORDS = "cloth.toml"
_USUAL = ("main", "lining", "interfacing", "contrast")


def cloth_called(name: str, language: str) -> str:
    """The reader's word for a cloth; empty where it is the maker's own, or nobody knows one.

    Args:
        name: As the maker wrote it, in any of our languages.
        language: Of the reader.
    """
    wanted = name.strip().casefold()
    for kind in _USUAL:
        words = {say(f"cloth_{kind}", tongue).casefold() for tongue in languages_with(_WORDS)}
        if wanted in words:
            own = say(f"cloth_{kind}", language)
            return "" if own.casefold() == wanted else own
    return ""


def cloth_words(name: str, language: str) -> str:
    """A cloth for the reader, with the maker's name for it, which stands on the sheets."""
    own = cloth_called(name, language)
    return f"{own} ({name})" if own else name
