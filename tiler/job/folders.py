"""Folders of pictures that are there whole or not at all, with no file of others lost."""

from __future__ import annotations

import hashlib
import json
import secrets
import shutil
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from tiler.pattern.errors import FileError

#: Says which files of a folder were written by us, and what was in them.
LIST = "pictures.json"


def refuse_foreign(folder: Path) -> None:
    """See that a folder is not there, or holds nothing but what was written into it before.

    Raises:
        FileError: It holds a file of somebody else, or one that was changed since.
    """
    if not folder.exists() and not folder.is_symlink():
        return
    if not folder.is_dir() or folder.is_symlink():
        raise FileError(
            "this is no folder",
            where=str(folder),
            remedy="Move it away, or choose another folder with --out.",
        )
    known = _listed(folder)
    for file in sorted(folder.iterdir()):
        if file.name != LIST and (
            not file.is_file() or file.is_symlink() or _mark(file) != known.get(file.name)
        ):
            raise FileError(
                f"{file.name} is not as it was written here, and would be lost",
                where=str(folder),
                remedy="Move it away, or choose another folder with --out.",
            )


@contextmanager
def replacing_folder(folder: Path) -> Iterator[Path]:
    """Fill a new folder beside the old one, then put it in the old one's place.

    When the work inside fails or is interrupted, the new folder is removed and the old one stays.

    Raises:
        FileError: It cannot be written, or the old one holds files of others.
    """
    draft = folder.with_name(f".blocksheet-{secrets.token_hex(8)}")
    old = folder.with_name(f".blocksheet-{secrets.token_hex(8)}")
    try:
        draft.mkdir(parents=True)
        yield draft
        marks = {file.name: _mark(file) for file in sorted(draft.iterdir())}
        (draft / LIST).write_text(json.dumps(marks, indent=1, ensure_ascii=False) + "\n", "utf-8")
        refuse_foreign(folder)
        if folder.exists():
            folder.rename(old)
        try:
            draft.rename(folder)
        except BaseException:
            if old.exists():
                old.rename(folder)
            raise
    except OSError as error:
        raise FileError(
            f"it cannot be written ({(error.strerror or str(error)).lower()})",
            where=str(folder),
            remedy="What was there before is untouched. Choose another folder or make room.",
        ) from error
    finally:
        for left in (draft, old):
            with suppress(OSError):
                if left.exists() and (left != old or folder.exists()):
                    shutil.rmtree(left)


def _listed(folder: Path) -> dict[str, str]:
    try:
        found = json.loads((folder / LIST).read_text("utf-8"))
    except (OSError, ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}


def _mark(file: Path) -> str:
    return hashlib.sha256(file.read_bytes()).hexdigest()
