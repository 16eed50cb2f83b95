"""File names for drawings."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence

_LONGEST = 60
#: Names that Windows keeps for devices, whatever their ending.
#: Source: Microsoft, "Naming Files, Paths, and Namespaces".
_DEVICES = re.compile("con|prn|aux|nul|(com|lpt)[0-9]")


def drawing_names(pieces: Sequence[str]) -> dict[str, str]:
    """Name of each piece -> a file name of plain small letters, no two alike.

    >>> drawing_names(["Front facing", "front-facing"])
    {'Front facing': 'front_facing.svg', 'front-facing': 'front_facing_2.svg'}
    """
    names: dict[str, str] = {}
    taken: set[str] = set()
    for piece in pieces:
        plain = unicodedata.normalize("NFKD", piece).encode("ascii", "ignore").decode().lower()
        stem = re.sub("[^a-z0-9]+", "_", plain)[:_LONGEST].strip("_") or "piece"
        stem = f"{stem}_piece" if _DEVICES.fullmatch(stem) else stem
        name, count = stem, 1
        while name in taken:
            count += 1
            name = f"{stem}_{count}"
        taken.add(name)
        names[piece] = f"{name}.svg"
    return names
