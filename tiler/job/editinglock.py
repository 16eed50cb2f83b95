"""One writer at a time in a pattern's folder: threads of this process, and other processes."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Lock, RLock
from typing import TYPE_CHECKING

from tiler.pattern.errors import FileError

if TYPE_CHECKING:
    from _thread import RLock as RLockKind

try:
    import fcntl
except ImportError:  # Windows has no such locks; threads are kept apart there, processes are not.
    fcntl = None  # type: ignore[assignment]

_LOCKS: dict[Path, RLockKind] = {}
_GUARD = Lock()
_NAME = "lock"


@contextmanager
def alone_in(folder: Path) -> Iterator[None]:
    """Be the only one that changes a folder's pattern.

    Args:
        folder: Of the kept versions; it is made when it is not there.

    Raises:
        FileError: It cannot be written.
    """
    with _GUARD:
        own = _LOCKS.setdefault(folder.absolute(), RLock())
    with own:
        try:
            folder.mkdir(exist_ok=True)
            file = (folder / _NAME).open("ab")
        except OSError as bad:
            raise FileError(
                f"earlier versions cannot be kept here ({(bad.strerror or str(bad)).lower()})",
                where=str(folder),
                remedy="Nothing was changed. See that the folder can be written.",
            ) from bad
        with file:
            if fcntl is not None:
                fcntl.flock(file, fcntl.LOCK_EX)
            yield
