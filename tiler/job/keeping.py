"""What the user wants kept from one day to the next: small JSON files in a folder of their own."""

from __future__ import annotations

import json
import math
import os
import re
from collections.abc import Mapping
from pathlib import Path

from tiler.pattern.errors import FileError, MeasureError

#: What can be kept; each has a file of its own.
KINDS = ("printers", "mats")
_NAME = re.compile(r"[^\W_](?:[\w -]{0,38}[\w-])?")


def folder() -> Path:
    """Where things are kept: ``BLOCKSHEET_HOME``, or the system's folder for settings."""
    chosen = os.environ.get("BLOCKSHEET_HOME", "")
    if chosen:
        return Path(chosen)
    from platformdirs import user_config_path

    return user_config_path("blocksheet", appauthor=False)


def load(kind: str) -> dict[str, dict[str, object]]:
    """All entries of a kind by name, in the order in which they were kept.

    Args:
        kind: One of `KINDS`.

    Raises:
        FileError: The file cannot be read, or does not hold what it should; it is left as it is.
    """
    file = _file(kind)
    try:
        text = file.read_text(encoding="utf-8")
    except FileNotFoundError:
        return {}
    except (OSError, UnicodeDecodeError) as error:
        reason = error.strerror if isinstance(error, OSError) else "it is not text"
        raise _damaged(
            file, kind, f"it cannot be read ({(reason or str(error)).lower()})"
        ) from None
    try:
        found = json.loads(text, parse_float=_finite, parse_constant=_finite)
    except (ValueError, RecursionError) as error:
        place = f" in line {error.lineno}" if isinstance(error, json.JSONDecodeError) else ""
        raise _damaged(file, kind, f"it is damaged{place}") from None
    entries = found.get(kind) if isinstance(found, dict) else None
    if not isinstance(entries, dict) or not all(isinstance(e, dict) for e in entries.values()):
        raise _damaged(file, kind, f"it does not hold {kind}")
    return entries


def save(kind: str, entries: Mapping[str, Mapping[str, object]]) -> Path:
    """Write all entries of a kind, whole or not at all.

    Args:
        kind: One of `KINDS`.
        entries: Name -> plain values.

    Returns:
        The file.

    Raises:
        FileError: It cannot be written; what was kept before is still there.
    """
    from tiler.output.safely import replacing

    file = _file(kind)
    text = json.dumps({kind: entries}, indent=2, ensure_ascii=False, allow_nan=False)
    with replacing(file) as draft:
        draft.write_text(text + "\n", encoding="utf-8")
    return file


def checked_name(name: str) -> str:
    """The name without spaces around it.

    Raises:
        MeasureError: It is empty, longer than 40 signs, or holds others than letters, digits,
            spaces, hyphens and underscores.
    """
    plain = name.strip()
    if not _NAME.fullmatch(plain):
        raise MeasureError(
            f"{name[:60]!r} cannot be a name",
            remedy="Use 1 to 40 letters, digits, spaces, - and _, a letter or digit first.",
        )
    return plain


def same_name(entries: Mapping[str, object], name: str) -> str | None:
    """The name under which an entry is kept; None when there is none.

    Capitals do not count, nor whether words are parted by spaces, hyphens or underscores: names of
    files tell neither, and a file for one would take the place of a file for the other.
    """
    wanted = _plain(name)
    return next((kept for kept in entries if _plain(kept) == wanted), None)


def _plain(name: str) -> str:
    return " ".join(re.split(r"[\s_-]+", name)).strip().casefold()


def find(kind: str, name: str) -> tuple[str, dict[str, object]]:
    """The entry of that name: the name under which it is kept, and its values.

    Raises:
        FileError: There is none, or the file cannot be read.
    """
    entries = load(kind)
    known = _known(kind, entries, name)
    return known, entries[known]


def forget(kind: str, name: str) -> str:
    """Keep an entry no longer.

    Returns:
        The name that it had.

    Raises:
        FileError: There is none, or the file cannot be read or written.
    """
    entries = load(kind)
    known = _known(kind, entries, name)
    del entries[known]
    save(kind, entries)
    return known


def _known(kind: str, entries: Mapping[str, object], name: str) -> str:
    known = same_name(entries, name)
    if known is None:
        kept = ", ".join(repr(each) for each in entries)
        word = kind.removesuffix("s")
        raise FileError(
            f"no {word} called {name!r} is kept",
            remedy=f"Use one of {kept}." if kept else f"No {word} is kept yet.",
        )
    return known


def _finite(number: str) -> float:
    """A number as JSON has them: Python's reader takes nan and inf, and our writer refuses them."""
    found = float(number)
    if not math.isfinite(found):
        raise ValueError
    return found


def _file(kind: str) -> Path:
    if kind not in KINDS:
        raise ValueError(f"nothing of the kind {kind!r} is kept")
    return folder() / f"{kind}.json"


def _damaged(file: Path, kind: str, problem: str) -> FileError:
    return FileError(
        problem,
        where=str(file),
        remedy=f"It is left as it is. Put it right in a text editor, or move it away and measure "
        f"your {kind} anew.",
    )
