"""Names as a reader may write them into a TOML file, for advice that can be copied."""

from __future__ import annotations

import re

_BARE = re.compile(r"[A-Za-z0-9_-]+")
_SHORT = {'"': '\\"', "\\": "\\\\", "\n": "\\n", "\t": "\\t"}


def toml_string(text: str) -> str:
    """A basic string, quotation marks included. Source: TOML 1.0, "String"."""
    return f'"{"".join(map(_escaped, text))}"'


def toml_key(name: str) -> str:
    """A key, in quotation marks where it may not stand bare. Source: TOML 1.0, "Keys"."""
    return name if _BARE.fullmatch(name) else toml_string(name)


def _escaped(letter: str) -> str:
    if letter in _SHORT:
        return _SHORT[letter]
    if letter.isprintable():
        return letter
    return f"\\u{ord(letter):04X}" if ord(letter) < 0x10000 else f"\\U{ord(letter):08X}"
