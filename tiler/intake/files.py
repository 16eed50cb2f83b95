"""Files of a pattern folder: what is there, what may be read, and what to do when it may not."""

from __future__ import annotations

import errno
import stat
from collections.abc import Sequence
from pathlib import Path

from tiler.pattern.errors import FileError

MIB = 1024 * 1024

_ITSELF = "Put the file itself in its place."


def is_there(path: Path) -> bool:
    """Whether a file or folder is there, at the end of links.

    Raises:
        FileError: A link that leads nowhere or round in a circle, or a name that no file can have.
    """
    try:
        if path.exists():
            return True
        link = next((part for part in (path, *path.parents) if part.is_symlink()), None)
    except (OSError, ValueError) as bad:
        raise _unusable(path, bad) from None
    if link is None:
        return False
    try:
        link.stat()
    except OSError as bad:
        if bad.errno == errno.ELOOP:
            raise FileError(
                "this is a link that leads round in a circle", where=shown(link), remedy=_ITSELF
            ) from None
        raise FileError(
            f'this is a link to "{shown(_target(link))}", which is not there',
            where=shown(link),
            remedy=f"{_ITSELF[:-1]}, or put back what it leads to.",
        ) from None
    return False


def inside(folder: Path, name: str) -> Path:
    """The file's real path, which must lie in the folder wherever links lead.

    Raises:
        FileError: It lies elsewhere.
    """
    try:
        home = folder.resolve()
        real = (home / name).resolve()
    except (OSError, RuntimeError) as bad:
        raise _unusable(folder / name, bad) from None
    if not real.is_relative_to(home):
        raise FileError(
            "a link leads out of the pattern folder",
            where=shown(folder / name),
            remedy="Put the file itself into the folder.",
        )
    return real


def content_of(path: Path, limit: int) -> bytes:
    """The file's bytes, never more than the limit.

    Raises:
        FileError: Not an ordinary file, not readable or too large.
    """
    try:
        # A pipe or a device would wait for ever.
        if not stat.S_ISREG(path.stat().st_mode):
            raise FileError("this is not an ordinary file", where=shown(path), remedy=_ITSELF)
        with path.open("rb") as file:
            content = file.read(limit + 1)
    except OSError as bad:
        raise FileError(
            f"the file cannot be read ({_reason(bad)})",
            where=shown(path),
            remedy="Check its name and its permissions.",
        ) from None
    if len(content) > limit:
        raise too_large(shown(path), limit)
    return content


def too_large(name: str, limit: int) -> FileError:
    """A file with more bytes than the limit."""
    return FileError(
        f"the file is larger than {limit // MIB} MiB",
        where=name,
        remedy="Take out pictures and lines that are not part of the piece.",
    )


def drawings_in(folder: Path) -> list[str]:
    """Names of the drawings in a folder, sorted; none where it cannot be read."""
    try:
        return sorted(
            shown(p.name) for p in folder.iterdir() if p.suffix.lower() in (".svg", ".csv")
        )
    except OSError:
        return []


def listed(drawings: Sequence[str]) -> str:
    """The first dozen names, and how many more there are."""
    more = f" and {len(drawings) - 12} more" if len(drawings) > 12 else ""
    return ", ".join(drawings[:12]) + more


def shown(path: Path | str) -> str:
    """A name that can be printed, also where the file system's bytes are no text."""
    return str(path).encode("utf-8", "replace").decode()


def _unusable(path: Path, bad: Exception) -> FileError:
    return FileError(
        f"the file cannot be reached ({_reason(bad)})",
        where=shown(path),
        remedy="Check the name, and the permissions of the folders on the way.",
    )


def _target(link: Path) -> Path | str:
    try:
        return link.readlink()
    except OSError:
        return "elsewhere"


def _reason(bad: Exception) -> str:
    return (getattr(bad, "strerror", None) or str(bad)).lower()
