"""Files that are there whole or not at all."""

from __future__ import annotations

import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager, suppress
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
    # The name is known before the file is there: a stop in between leaves nothing behind.
    draft = _new_name(target.parent)
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        draft.touch(exist_ok=False)
        yield draft
        with draft.open("rb+") as file:
            os.fsync(file.fileno())
        draft.replace(target)
    except OSError as error:
        raise _told(error, target) from error
    finally:
        with suppress(OSError):
            draft.unlink(missing_ok=True)


def writable(folder: Path) -> None:
    """Make the folder and see that a file can be put there, before any work is done.

    Raises:
        FileError: It cannot.
    """
    probe = _new_name(folder)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        probe.touch(exist_ok=False)
        probe.unlink()
    except OSError as error:
        raise _told(error, folder) from error
    finally:
        with suppress(OSError):
            probe.unlink(missing_ok=True)


def _new_name(folder: Path) -> Path:
    """A name that nobody else has."""
    return folder / f".blocksheet-{secrets.token_hex(8)}"


def _told(error: OSError, target: Path) -> FileError:
    reason = error.strerror or str(error)
    return FileError(
        f"it cannot be written ({reason.lower()})",
        where=str(target),
        remedy="What was there before is untouched. Choose another folder or make room.",
    )
