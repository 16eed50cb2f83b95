"""Names: of the files to write, and of the pieces to print."""

from __future__ import annotations

import hashlib
import unicodedata
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tiler.pattern.model import Finding, Pattern

#: Bytes of a name without its ending: file systems take 255, and a number may stand behind it.
_LONGEST = 240
_CUT = _LONGEST - 9


def chosen_pieces(pattern: Pattern, names: Sequence[str]) -> tuple[str, ...]:
    """The pieces of those names, in the pattern's order, with those that they are joined to.

    Raises:
        PatternError: There is no such piece.
    """
    from tiler.layout.units import units_of
    from tiler.pattern.errors import PatternError

    known = {piece.name.lower(): piece.name for piece in pattern.pieces}
    wanted = set()
    for name in names:
        if name.lower() not in known:
            raise PatternError(
                f"there is no piece called {name!r}",
                where=pattern.title,
                remedy=f"Use one of {', '.join(repr(piece) for piece in known.values())}.",
            )
        wanted.add(known[name.lower()])
    units = [{piece.name for piece in unit} for unit in units_of(pattern)]
    wanted = set().union(*(unit for unit in units if unit & wanted))
    return tuple(piece.name for piece in pattern.pieces if piece.name in wanted)


def refuse_other(pattern: Pattern, target: Path) -> None:
    """A file of that name which holds a pattern of another title stays."""
    from tiler.pattern.errors import FileError
    from tiler.proof.title import title_of

    title = title_of(target)
    if title is not None and title != pattern.title:
        raise FileError(
            f"there is a file of another pattern, {title!r}",
            where=str(target),
            remedy="Choose another folder with --out, or another title.",
        )


def file_name_findings(pattern: Pattern) -> tuple[Finding, ...]:
    """Names of the pattern's files with which nobody can take it out of a published file again."""
    from tiler.intake.sheetfile.names import refuse_unsafe
    from tiler.pattern.errors import FileError
    from tiler.pattern.model import Finding, Severity

    remedy = "blocksheet open would refuse it. Rename the drawing, here and in pattern.toml."
    try:
        refuse_unsafe([source.name for source in pattern.sources], remedy)
    except FileError as wrong:
        words = f"{wrong.problem.replace(' inside it', '')}. {remedy}"
        text = words[0].upper() + words[1:]
        return (Finding("name-not-everywhere", Severity.WARNING, pattern.title, text),)
    return ()


def slug(title: str) -> str:
    """A file name from a title: lower case, words joined by hyphens, any alphabet."""
    plain = unicodedata.normalize("NFC", title.lower().replace("'", ""))
    kept = (c if c.isalnum() or unicodedata.category(c)[0] == "M" else " " for c in plain)
    name = "-".join("".join(kept).split())
    # File systems count bytes, and 255 is the most that all of them take.
    return name.encode()[:150].decode(errors="ignore") or "pattern"


def file_stem(words: Sequence[str], behind: str = "") -> str:
    """The slugs of several words as one file name, without its ending.

    One that would be too long for a file system is cut, and gets eight figures of its SHA-256, so
    that names which differ stay different. One that is a device on Windows gets a word behind it.

    Args:
        words: Of any alphabet.
        behind: What stands behind them as it is.
    """
    from tiler.intake.sheetfile.names import is_device

    name = "-".join(slug(word) for word in words) + behind
    if is_device(name):
        name += "-pattern"
    if len(name.encode()) <= _LONGEST:
        return name
    mark = hashlib.sha256(name.encode()).hexdigest()[:8]
    return f"{name.encode()[:_CUT].decode(errors='ignore').rstrip('-')}-{mark}"
