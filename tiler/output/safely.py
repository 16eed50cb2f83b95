"""Files that are there whole or not at all."""

from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from tiler.pattern.errors import FileError

_UMASK = os.umask(0)
os.umask(_UMASK)
#: What a new file may be, as for any other program; a temporary file starts out private.
_MODE = 0o666 & ~_UMASK


@contextmanager
def replacing(target: Path) -> Iterator[Path]:
    """Write to a new file beside the target, then put it in the target's place.

    When the work inside fails or is interrupted, the new file is removed and the target stays as
    it was.

    Raises:
        FileError: The folder cannot be written, or the disk is full.
    """
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=".blocksheet-", dir=target.parent)
        os.close(handle)
    except OSError as error:
        raise _told(error, target) from error
    draft = Path(name)
    try:
        yield draft
        # Some file systems have no permissions; the file is good without.
        with suppress(OSError):
            draft.chmod(_MODE)
        with draft.open("rb+") as file:
            os.fsync(file.fileno())
        draft.replace(target)
    except OSError as error:
        raise _told(error, target) from error
    finally:
        draft.unlink(missing_ok=True)


def writable(folder: Path) -> None:
    """Make the folder and see that a file can be put there, before any work is done.

    Raises:
        FileError: It cannot.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(prefix=".blocksheet-", dir=folder)
        os.close(handle)
        Path(name).unlink()
    except OSError as error:
        raise _told(error, folder) from error


def _told(error: OSError, target: Path) -> FileError:
    reason = error.strerror or str(error)
    return FileError(
        f"it cannot be written ({reason.lower()})",
        where=str(target),
        remedy="What was there before is untouched. Choose another folder or make room.",
    )
