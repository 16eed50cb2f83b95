"""Files that are there whole or not at all."""

from __future__ import annotations

import os
import secrets
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import IO, TYPE_CHECKING

from tiler.pattern.errors import FileError

if TYPE_CHECKING:
    from concurrent.futures import Future


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
        _gone(draft)


@dataclass(frozen=True, slots=True)
class Readied:
    """A new file beside its target, on its way to the disk; made by `readied`."""

    target: Path
    draft: Path
    file: IO[bytes]
    forced: Future[None]

    def wait(self) -> None:
        """Wait until the disk has it.

        Raises:
            FileError: The disk is full.
        """
        try:
            self.forced.result()
        except OSError as error:
            raise _told(error, self.target) from error

    def place(self) -> None:
        """Put it in the target's place, once the disk has it.

        Raises:
            FileError: The disk is full, or the target cannot be replaced.
        """
        self.wait()
        try:
            self.file.close()
            self.draft.replace(self.target)
        except OSError as error:
            raise _told(error, self.target) from error


@contextmanager
def readied(target: Path, content: bytes, mode: int | None = None) -> Iterator[Readied]:
    """Bring a new file to the disk beside its target while other work goes on.

    A disk takes its time, in which it can be seen whether the file is wanted. When it is not put
    in the target's place before the block ends, it is removed, and the target stays as it was.

    Args:
        target: What it is to take the place of.
        content: Its bytes.
        mode: Its permissions; None for those of any new file.

    Raises:
        FileError: The folder cannot be written, or the disk is full.
    """
    from concurrent.futures import ThreadPoolExecutor

    draft = _new_name(target.parent)
    with ExitStack() as left:
        left.callback(_gone, draft)
        try:
            target.parent.mkdir(parents=True, exist_ok=True)
            file = draft.open("xb")
            left.callback(_closed, file)
            file.write(content)
            file.flush()
            if mode is not None:
                draft.chmod(mode)
        except OSError as error:
            raise _told(error, target) from error
        beside = left.enter_context(ThreadPoolExecutor(1))
        yield Readied(target, draft, file, beside.submit(os.fsync, file.fileno()))


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


def _closed(file: IO[bytes]) -> None:
    # On a full disk closing fails as writing has, and for the same bytes.
    with suppress(OSError):
        file.close()


def _gone(draft: Path) -> None:
    with suppress(OSError):
        draft.unlink(missing_ok=True)


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
