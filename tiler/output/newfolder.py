"""A folder that is there with all its files, or not at all."""

from __future__ import annotations

import os
import secrets
import shutil
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from tiler.pattern.errors import FileError


def refuse_filled(folder: Path) -> None:
    """See that a folder is not there yet, or empty.

    Raises:
        FileError: It holds something, is none, or is the one that the work is done from.
    """
    remedy = "Nothing was written. Choose a folder that is not there yet."
    try:
        if not folder.exists() and not folder.is_symlink():
            return
        if folder.is_symlink() or not folder.is_dir():
            raise FileError("this is there, and is no folder", where=str(folder), remedy=remedy)
        if any(folder.iterdir()):
            raise FileError("the folder is not empty", where=str(folder), remedy=remedy)
        if folder.resolve() == Path.cwd():
            raise FileError("this is the folder you are in", where=str(folder), remedy=remedy)
    except (OSError, ValueError) as wrong:
        reason = (getattr(wrong, "strerror", None) or str(wrong)).lower()
        raise FileError(
            f"it cannot be reached ({reason})", where=str(folder), remedy=remedy
        ) from None


def write_new_folder(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write files into a folder beside it, and put that in its place.

    Args:
        folder: Not there yet, or empty.
        files: Path inside of it, with forward slashes -> content. The names have been looked at.

    Raises:
        FileError: The folder holds something, or cannot be written; it is as it was then.
    """
    refuse_filled(folder)
    draft = folder.parent / f".blocksheet-{secrets.token_hex(8)}"
    above = [parent for parent in folder.parents if not parent.exists()]
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        draft.mkdir()
        for name, content in files.items():
            target = draft / name
            target.parent.mkdir(parents=True, exist_ok=True)
            # Two names that this system takes for one would fail here.
            with target.open("xb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
        if folder.exists():
            folder.rmdir()
        draft.rename(folder)
    except OSError as error:
        raise FileError(
            f"it cannot be written ({(error.strerror or str(error)).lower()})",
            where=str(folder),
            remedy="Nothing was left there. Choose another folder or make room.",
        ) from error
    finally:
        with suppress(OSError):
            shutil.rmtree(draft, ignore_errors=True)
        for parent in above:
            # One that holds the folder stays.
            with suppress(OSError):
                parent.rmdir()
