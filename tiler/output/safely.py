"""Files that are there whole or not at all."""

from __future__ import annotations

import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tiler.pattern.errors import FileError


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
        draft = _new_file(target.parent)
    except OSError as error:
        raise _told(error, target) from error
    try:
        yield draft
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
        _new_file(folder).unlink()
    except OSError as error:
        raise _told(error, folder) from error


def _new_file(folder: Path) -> Path:
    """An empty file of a name that nobody else has, with the permissions of any new file."""
    file = folder / f".blocksheet-{secrets.token_hex(8)}"
    file.touch(exist_ok=False)
    return file


def _told(error: OSError, target: Path) -> FileError:
    reason = error.strerror or str(error)
    return FileError(
        f"it cannot be written ({reason.lower()})",
        where=str(target),
        remedy="What was there before is untouched. Choose another folder or make room.",
    )
